"""A count as a place in a row, as a person says it."""

from __future__ import annotations

from rivetwright.texts.catalogue import catalogue

# 11th, 12th, 13th, whatever their last figure says.
TEENS = (11, 12, 13)


def ordinal(count: int) -> str:
    """A count as a place in a row: 1st, 18th, 21st."""
    words = catalogue()
    last = str(count % 10)
    has_own = last in words.section("ordinal") and count % 100 not in TEENS
    return words.word("ordinal", last if has_own else "other").format(count=count)

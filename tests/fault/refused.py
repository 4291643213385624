"""What a refusal must be: one of two kinds, and clear."""

from __future__ import annotations

from collections.abc import Callable

from rivetwright.errors import ChainBroken, Refusal, StoreRefused


def refusal_of(do: Callable[[], object]) -> Refusal | None:
    """The refusal that something ends in, or None where it was done."""
    try:
        do()
    except (StoreRefused, ChainBroken) as refused:
        return refused
    return None


def is_clear(refused: Refusal | None) -> bool:
    """Whether a refusal says all four: asked, found, allowed, and what to do now."""
    return refused is not None and all(
        (refused.asked, refused.found, refused.allowed, refused.do)
    )

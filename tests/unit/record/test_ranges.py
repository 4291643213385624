"""Holes as facts write them."""

from __future__ import annotations

import pytest

from rivetwright.errors import FactRefused
from rivetwright.record.ranges import (
    NAMED_MAX,
    named,
    read_range,
    renamed,
    write_ranges,
)


def test_range_and_single_hole_are_read() -> None:
    """A row's id may have colons of its own; the last one counts."""
    assert read_range("r-7:1-17") == ("r-7", 1, 17)
    assert read_range("r-7:18") == ("r-7", 18, 18)
    assert read_range("aileron:r-7:18") == ("aileron:r-7", 18, 18)


def test_holes_are_gathered_row_by_row() -> None:
    """3, 1, 2 and 5 of one row, 9 of another: two stretches and a hole."""
    holes = [("b", 3), ("b", 1), ("a", 9), ("b", 2), ("b", 5)]
    assert write_ranges(holes) == ("b:1-3", "b:5", "a:9")


@pytest.mark.parametrize(
    "text",
    [
        *("b:\u0663", "b:1-\u00b2", "b:0", "b:3-1", "b:1-2-3", "b 1", ":1", "b:+1"),
        *(f"b:1-{NAMED_MAX + 1}", f"{'b' * 300}:1", f"b:{'9' * 30}"),
    ],
)
def test_range_of_another_form_is_refused(text: str) -> None:
    """Other digits, a nought, backwards, too many, too long, no row, no number."""
    with pytest.raises(FactRefused) as refused:
        read_range(text)
    assert refused.value.allowed == (
        f"<row id>:first-last, at most {NAMED_MAX} holes in one fact"
    )


def test_ranges_together_name_no_more_than_one_may() -> None:
    """5,000 holes in two stretches are taken, one more is not."""
    assert len(list(named(("a:1-4000", "b:1-1000")))) == NAMED_MAX
    with pytest.raises(FactRefused):
        list(named(("a:1-4000", "b:1-1001")))


def test_renamed_ranges_keep_their_numbers() -> None:
    """Row a is b now; c bears its old id."""
    names = {"a": "b"}
    ranges = renamed(("a:1-3", "c:4"), lambda row: names.get(row, row))
    assert ranges == ("b:1-3", "c:4")

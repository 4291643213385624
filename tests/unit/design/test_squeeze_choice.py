"""The study behind the choice of dies and shims says what its script prints."""

from __future__ import annotations

from pathlib import Path

from design.squeeze_choice import RULES, cases, report

PAGE = Path(__file__).parents[3] / "design" / "squeeze_choice.md"


def test_page_holds_what_the_script_prints() -> None:
    """The table stands in the page as printed."""
    assert report() in PAGE.read_text(encoding="utf-8")


def test_clear_gap_lies_between_the_other_two() -> None:
    """It is no wider than the thickest inside the band, no narrower than the aim's.

    A thousandth of an inch it may be narrower, where that costs fewer shims.
    """
    thickest, clear, nearest = RULES
    for case in cases():
        gaps = case.gaps()
        if gaps is not None:
            assert gaps[clear] <= gaps[thickest] + 1e-9
            assert gaps[clear] >= gaps[nearest] - 0.001 - 1e-9

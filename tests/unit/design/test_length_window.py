"""The study behind the chosen tolerances says what its script prints."""

from __future__ import annotations

from pathlib import Path

import pytest

from design.length_window import (
    CASES,
    CHOSEN,
    Case,
    agrees_with_the_package,
    report,
    verdict,
    worked_case,
)

PAGE = Path(__file__).parents[3] / "design" / "length_window.md"


def test_page_holds_what_the_script_prints() -> None:
    """Both tables and the margin stand in the page as printed."""
    assert report() in PAGE.read_text(encoding="utf-8")


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.title)
def test_script_and_package_agree_at_the_chosen_figures(case: Case) -> None:
    """The script's plain arithmetic gives the package's own metal and spread."""
    assert agrees_with_the_package(worked_case(case))


def test_verdicts_of_the_study_are_the_packages_checks() -> None:
    """Short, long and inside are where LENGTH-01, LENGTH-02 and neither stand."""
    for case in CASES:
        worked = worked_case(case)
        v = worked.at("head_volume_ratio", 0)
        high = v + worked.at("volume_over_ratio", 0)
        is_short = high < worked.at("volume_min_ratio", 0)
        assert (verdict(worked, CHOSEN) == "short") == is_short

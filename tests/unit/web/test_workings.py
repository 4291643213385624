"""Workings as the page shows them."""

from __future__ import annotations

import pytest

from rivetwright.bench.open import Assembly
from rivetwright.web.workings import every, plain, shown_working


def test_formula_is_shown_with_its_figures(assemblies: dict[str, Assembly]) -> None:
    """Edge of A19:1: .225 in = 5.715 mm over a 3/32 shank of 2.38125 mm is 2.4 D."""
    worked_plan = assemblies["aileron"].worked_plan
    hole = worked_plan.worked.holes.index("A19:1")
    shown = shown_working(worked_plan, hole, "edge_ratio")
    assert shown.put_in == "5.715 / 2.38125 = 2.4"
    assert shown.main == "2.4 D"
    assert [one.name for one in shown.inputs] == [
        "edge_distance_mm",
        "shank_diameter_mm",
    ]


def test_figure_of_every_sheet_is_shown_sheet_by_sheet(
    assemblies: dict[str, Assembly],
) -> None:
    """The three sheets at A11:5 are .025, .020 and .025."""
    worked_plan = assemblies["aileron"].worked_plan
    hole = worked_plan.worked.holes.index("A11:5")
    shown = shown_working(worked_plan, hole, "sheet_thickness_mm")
    assert shown.main == ".025 in, .020 in, .025 in"


def test_figure_met_again_is_opened_once(assemblies: dict[str, Assembly]) -> None:
    """However often it goes in, each figure's own working stands there once."""
    worked_plan = assemblies["aileron"].worked_plan
    hole = worked_plan.worked.holes.index("A11:5")
    shown = list(every(shown_working(worked_plan, hole, "legal_length_codes")))
    opened = [one.name for one in shown if not one.is_above]
    assert len(opened) == len(set(opened))
    assert any(one.is_above for one in shown)
    assert all(not one.inputs for one in shown if one.is_above)


@pytest.mark.parametrize(
    ("value", "written"),
    [(1.7780000000000002, "1.778"), (2.0, "2"), (float("nan"), "-"), ("#40", "#40")],
)
def test_plain_figures_are_written_without_noise(
    value: float | str, written: str
) -> None:
    """Rounding dust of the machine is not shown."""
    assert plain(value) == written

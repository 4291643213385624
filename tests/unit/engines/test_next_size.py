"""What the next size up would need, up to the largest rivet that is made."""

from __future__ import annotations

import math

import pytest

from rivetwright.engines.plan import WorkedPlan, work_out
from rivetwright.model.pattern import Counted
from rivetwright.model.plan import Part, Plan, Project, Row, Sheet
from rivetwright.standards.codes import rivet_code

INCH_MM = 25.4


def plan_of(diameter_32nds: int) -> WorkedPlan:
    """One universal rivet through two sheets of 1.016 mm, worked out."""
    row = Row(
        "r",
        "R",
        rivet_code("MS20470", "AD", diameter_32nds, 8),
        Counted(1),
        "",
        stack=(Sheet("sheet"), Sheet("sheet")),
    )
    sheet = Part("sheet", "sheet", 1.016, "2024-T3")
    project = Project("", "made up")
    return work_out(Plan("p", "p", project, "in", (sheet,), (), (row,), ()))


@pytest.mark.parametrize(("now", "then"), [(4, 5), (8, 9), (10, 12)])
def test_next_size_is_one_step_up(now: int, then: int) -> None:
    """A thirty-second up to 1/4 in, a sixteenth above (rework.csv)."""
    worked = plan_of(now).worked
    assert worked.at("next_diameter_mm", 0) == pytest.approx(then * INCH_MM / 32)


@pytest.mark.parametrize("now", [11, 12])
def test_largest_rivet_has_no_next_size(now: int) -> None:
    """Nothing above 3/8 in is made: the plan is worked out all the same."""
    worked = plan_of(now).worked
    assert math.isnan(worked.at("next_diameter_mm", 0))
    assert math.isnan(worked.at("next_length_16ths", 0))
    assert worked.at("next_drill_name", 0) == ""

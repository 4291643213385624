"""Shanks of oversize-shank rivets, entered by the user."""

from __future__ import annotations

import pytest

from rivetwright.engines.plan import work_out
from rivetwright.errors import PlanRefused
from rivetwright.intake.plan_file import read_plan_text
from rivetwright.intake.write_plan import write_plan

PLAN = """\
format: rivetwright plan 1
project: {id: 6b1f7a52-6c0e-4b8e-9a41-7be0c2d5f018, name: made up}
assembly: {id: a, name: A}
unit: in
rules: {oversize_shanks: {NAS1241AD4: SHANK}}
parts:
  1: {thickness: .032}
steps:
  s: {}
rows:
  R: {count: 2, stack: [1 dimple, 1 dimple], callout: NAS1241AD4-4, step: s}
"""


def test_entered_shank_is_the_diameter() -> None:
    """A shank of 0.140 in, as typed, is 0.140 x 25.4 = 3.556 mm everywhere."""
    plan = read_plan_text(PLAN.replace("SHANK", ".140"))
    worked = work_out(plan).worked
    assert worked.at("shank_diameter_mm", 0) == pytest.approx(3.556)
    assert worked.at("handbook_length_mm", 0) == pytest.approx(1.6256 + 1.5 * 3.556)
    assert read_plan_text(write_plan(plan)).rule_sets == plan.rule_sets


@pytest.mark.parametrize("shank", [".125", ".1"])
def test_shank_not_over_the_nominal_is_refused(shank: str) -> None:
    """An oversize shank is larger than the 1/8 in that the number names."""
    with pytest.raises(PlanRefused, match=r"plan:5: rules.oversize_shanks.NAS1241AD4"):
        read_plan_text(PLAN.replace("SHANK", shank))


def test_shank_of_an_ordinary_rivet_is_refused() -> None:
    """A rivet with an ordinary shank has its diameter from its number."""
    text = PLAN.replace("NAS1241AD4: SHANK", "MS20426AD4: .140")
    with pytest.raises(PlanRefused, match="oversize-shank rivet"):
        read_plan_text(text)

"""Legs that stand up along bends: read, refused, written back."""

from __future__ import annotations

import pytest

from rivetwright.errors import PlanRefused
from rivetwright.intake.plan_file import read_plan_text
from rivetwright.intake.write_plan import write_plan
from rivetwright.model.outline import AWAY, TOWARD, Leg
from rivetwright.model.plan import Plan

LEGS = "legs: [{side: v0, height: .75}, {side: u1, height: 1.5, stands: toward}]"
PLAN = """\
format: rivetwright plan 1
project: {{id: 6f0f9a52-3f44-4c0e-9d43-0a51f2c8c101, name: Try Out}}
assembly: {{id: legs, name: legs}}
unit: in
parts:
  11: {{title: web, thickness: .032}}
  12: {{title: angle, thickness: .040}}
faces:
  W:
    opposite: {opposite}
    layers:
      - {{part: 11, u: [0, 10], v: [0, 4], bends: [v0, u1], {legs}}}
      - {{part: 12, corners: [[0, 1], [9, 1], [9, 2], [0, 2]], bends: [3],
         legs: [{{side: 3, height: .5}}]}}
steps:
  s-1: {{title: rivet}}
rows:
  R1: {{face: W, at: [1, 1.5], by: [1, 0], count: 6, callout: MS20470AD4-4, step: s-1}}
"""


def plan_with(legs: str = LEGS, opposite: str = "W") -> Plan:
    """A plan with these legs on its web."""
    return read_plan_text(PLAN.format(legs=legs, opposite=opposite))


def test_legs_are_read_by_the_name_of_their_side() -> None:
    """Side v0 is side 0 of a rectangle and u1 side 1; side 3 of corners is 2."""
    web, angle = plan_with().faces[0].layers
    assert web.legs == (Leg(0, 19.05, AWAY), Leg(1, 38.1, TOWARD))
    assert angle.legs == (Leg(2, 12.7, AWAY),)


def test_legs_and_opposite_face_come_back_as_written() -> None:
    """Read, written and read again the faces are the same."""
    first = plan_with()
    text = write_plan(first)
    assert read_plan_text(text).faces == first.faces
    assert first.faces[0].opposite == "W"


@pytest.mark.parametrize(
    ("legs", "told"),
    [
        ("legs: [{side: v1, height: .75}]", "a side named in bends: v0, u1"),
        ("legs: [{side: 1, height: .75}]", "a side named in bends: v0, u1"),
        ("legs: [{side: v0, height: 0}]", "height"),
        ("legs: [{side: v0}]", "height"),
        ("legs: [{side: v0, height: .75, stands: up}]", "stands"),
    ],
)
def test_a_leg_that_cannot_stand_is_refused(legs: str, told: str) -> None:
    """A leg stands on a bend, has a height, and stands away or toward."""
    with pytest.raises(PlanRefused, match=told):
        plan_with(legs)


def test_an_opposite_face_that_is_not_there_is_refused() -> None:
    """The face on the other side of the depth is one of the plan's."""
    with pytest.raises(PlanRefused, match="opposite"):
        plan_with(opposite="X")

"""What stands round a hole: by hand, drawn, behind it, and opposite. Sizes in mm."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from rivetwright.engines.reach.drawn import depth_at
from rivetwright.engines.reach.surroundings import surroundings
from rivetwright.engines.rules import REGISTRY, Witness
from rivetwright.engines.worked import Worked
from rivetwright.model.outline import TOWARD, Face, Leg
from rivetwright.model.plan import FAR, Access, Plan, Row
from rivetwright.model.shop import Shop, Tool
from rivetwright.model.step import Need, Step
from tests.unit.engines.small import EIGHTH_MM, box, plan_of, row

SHOP = Shop(
    "s",
    "s",
    "mm",
    tools=(
        Tool("Y", "yoke", reach_mm=80.0, gap_mm=30.0, nose_mm=12.0, half_width_mm=5),
    ),
)
WEB = box("web", bends=("v0",), legs=(Leg(0, 16.0),))
PLATE = box("plate", legs=(Leg(2, 9.0, TOWARD),), bends=("v1",))
STEPS = (
    Step("1", "first"),
    Step("2", "closes it", needs=(Need("step", "1"),), closes=("F",)),
    Step("3", "afterwards", needs=(Need("step", "2"),)),
)


def plan_with(*rows: Row, **face: Any) -> Plan:
    """A plan of a web and a plate on one face."""
    plan = plan_of(*rows, layers=(WEB, PLATE), steps=STEPS)
    return replace(plan, faces=(replace(plan.faces[0], **face),))


def around(plan: Plan) -> Worked:
    """The plan with a shop beside it."""
    return Worked(plan, SHOP)


def seen(worked: Worked, name: str, hole: int = 0) -> Witness | None:
    """What a figure rests on at a hole."""
    witness = REGISTRY[name].witness
    assert witness is not None
    return witness(worked, hole)


HOLE = row("R", "MS20470AD4-4", (30.0, 20.0))
ENTERED = Access(entry_mm=7.0, throat_flange_mm=3.0, gap_behind_mm=40.0, wall_head_mm=9)


def test_drawn_surroundings_with_what_they_rest_on() -> None:
    """Nearest edge below with a flange of 16, whose web is the wall, 20 - 1 away."""
    worked = around(plan_with(HOLE))
    assert worked["entry_mm"][0] == pytest.approx(20.0)
    assert worked["throat_flange_mm"][0] == pytest.approx(16.0)
    assert worked["wall_shop_mm"][0] == pytest.approx(19.0)
    assert np.isnan(worked["wall_head_mm"][0])
    assert worked["access_from"][0] == "outlines"
    way = seen(worked, "entry_mm")
    assert way is not None
    assert (way.fields["place_u_mm"], way.fields["place_v_mm"]) == (30.0, 0.0)
    wall = seen(worked, "wall_shop_mm")
    assert wall is not None
    assert wall.fields == {"part": "web"}


def test_what_was_entered_by_hand_wins_and_the_outlines_stand_beside_it() -> None:
    """7, 3 and 9 by hand; drawn it would be 20 and 16, so the hand leaves more room."""
    worked = around(plan_with(replace(HOLE, access=ENTERED)))
    figures = [worked[name][0] for name in ("entry_mm", "throat_flange_mm")]
    assert figures == [7.0, 3.0]
    assert (worked["gap_behind_mm"][0], worked["wall_head_mm"][0]) == (40.0, 9.0)
    assert worked["access_from"][0] == "by hand"
    told = worked["access_differs"][0]
    assert told == "entry_mm throat_flange_mm wall_shop_mm"
    beside = seen(worked, "entry_mm")
    assert beside is not None
    assert beside.what == "by hand"
    assert beside.fields["from_outlines_mm"] == pytest.approx(20.0)
    wall = seen(worked, "wall_shop_mm")
    assert wall is not None
    assert wall.fields["from_outlines_mm"] == pytest.approx(19.0)


def test_each_hole_may_have_its_own_entry() -> None:
    """Two holes, two ways in."""
    pair = row("R", "MS20470AD4-4", (30.0, 20.0), (60.0, 20.0))
    access = Access(entry_mm=9.0, entry_by_hole_mm=(7.0, 9.0))
    worked = around(plan_with(replace(pair, access=access)))
    assert worked["entry_mm"].tolist() == [7.0, 9.0]


def test_a_head_on_the_far_side_turns_the_walls_round() -> None:
    """Then the web's leg, which stands away, is on the manufactured head's side."""
    worked = around(plan_with(replace(HOLE, head_side=FAR)))
    assert worked["wall_head_mm"][0] == pytest.approx(19.0)
    assert np.isnan(worked["wall_shop_mm"][0])


def test_depth_lies_on_the_line_between_two_places() -> None:
    """Half way from 10 at v 0 to 20 at v 40 it is 15; beyond either it is not known."""
    taper = ((0.0, 10.0), (40.0, 20.0))
    found = depth_at(taper, np.array([20.0, 40.0, 40.1, -0.1]))
    assert found[:2].tolist() == [15.0, 20.0]
    assert np.isnan(found[2:]).all()


@pytest.mark.parametrize(
    ("step", "depth", "both"),
    [("1", np.inf, True), ("2", 15.0, True), ("3", 15.0, False)],
)
def test_a_taper_counts_from_the_step_that_closes_the_face(
    step: str, depth: float, both: bool
) -> None:
    """Before it is shut it is open; after it nobody gets behind it any more."""
    taper = ((0.0, 10.0), (40.0, 20.0))
    worked = around(plan_with(replace(HOLE, step=step), taper_mm=taper))
    drawn = surroundings(worked).drawn
    assert drawn.gap_behind_mm[0] == depth
    assert drawn.has_both_sides[0] == both


def test_a_taper_that_no_step_closes_always_counts() -> None:
    """The depth is there, whatever the steps say."""
    plan = plan_with(HOLE, taper_mm=((0.0, 10.0), (40.0, 20.0)))
    plan = replace(plan, steps=(Step("1", "first"),))
    assert around(plan)["gap_behind_mm"][0] == pytest.approx(15.0)


def test_by_hand_closed_is_no_depth_and_taper_is_that_of_the_face() -> None:
    """Closed is 0, nothing said is open, taper is read at the hole's place."""
    taper = ((0.0, 10.0), (40.0, 20.0))
    for said, depth in (("closed", 0.0), ("taper", 15.0), ("open", np.nan)):
        access = Access(gap_behind=said)
        worked = around(plan_with(replace(HOLE, access=access), taper_mm=taper))
        assert worked["gap_behind_mm"][0] == pytest.approx(depth, nan_ok=True)


def opposite_plan(other: str, place: tuple[float, float]) -> Plan:
    """Two faces opposite each other with a hole in each."""
    rows = (HOLE, replace(row("S", other, place), face="G"))
    plan = plan_with(*rows, taper_mm=((0.0, 30.0), (50.0, 30.0)), opposite="G")
    back = Face("G", "", (WEB, PLATE), opposite="F")
    return replace(plan, faces=(plan.faces[0], back), steps=(Step("1", "first"),))


@pytest.mark.parametrize(
    ("other", "place", "takes"),
    [
        ("MS20470AD4-4", (30.0, 20.0), 0.48 * EIGHTH_MM),
        ("MS20470AD4-4", (31.0, 20.0), 0.48 * EIGHTH_MM),
        ("MS20470AD4-4", (34.0, 20.0), np.nan),
    ],
)
def test_a_rivet_opposite_takes_of_the_depth(
    other: str, place: tuple[float, float], takes: float
) -> None:
    """0.48 of 1/8 in where one lies opposite within a shank, nothing further off."""
    worked = around(opposite_plan(other, place))
    assert worked["opposite_takes_mm"][0] == pytest.approx(takes, nan_ok=True)
    left = worked["gap_if_second_mm"][0]
    assert left == pytest.approx(30.0 - takes, nan_ok=True)
    found = seen(worked, "opposite_takes_mm")
    assert (found is None) == np.isnan(takes)
    assert found is None or found.fields["hole"] == "S:1"


def test_a_face_opposite_without_holes_takes_nothing() -> None:
    """Named, but empty."""
    plan = opposite_plan("MS20470AD4-4", (30.0, 20.0))
    worked = around(replace(plan, rows=plan.rows[:1]))
    assert np.isnan(worked["opposite_takes_mm"][0])


def test_without_outlines_or_hand_nothing_is_known() -> None:
    """A count alone: no way in, no depth, and it says so."""
    plan = plan_of(row("R", "MS20470AD4-4", count=2, stack=[("web", "plain")] * 2))
    worked = around(plan)
    assert set(worked["access_from"]) == {"not known"}
    assert np.isnan(worked["throat_flange_mm"]).all()
    assert set(worked["tool_verdict"]) == {"not judged"}


def test_a_sketched_place_is_not_measured_on_the_outlines() -> None:
    """Where the place is not known nothing round it is."""
    worked = around(plan_with(replace(HOLE, places="sketched")))
    assert worked["access_from"][0] == "not known"


def test_without_a_shop_every_column_is_empty() -> None:
    """Nothing is worked out that nobody asks for."""
    worked = Worked(plan_with(HOLE))
    for name in (
        "entry_mm",
        "throat_flange_mm",
        "gap_behind_mm",
        "wall_shop_mm",
        "opposite_takes_mm",
    ):
        assert np.isnan(worked[name]).all()
        assert seen(worked, name) is None
    for name in ("access_from", "access_differs", "tools_that_fit", "in_the_way"):
        assert set(worked[name]) == {""}
    assert seen(worked, "tools_that_fit") is None

"""Each tool against what was entered by hand: clear, tight, no, and the one reason.

A 1/8 rivet of length 4/16 in through two sheets of 1 mm: tail 6.35 - 2 = 4.35 mm.
Margins: 0.10 in = 2.54 past the hole and over a flange, 0.25 in = 6.35 for the gun's
set, 0.030 in = 0.762 is tight. Sizes in mm.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import numpy as np
import pytest

from rivetwright.engines.reach.fit import (
    ToolFit,
    limit_read,
    limit_written,
    tool_at,
    tools_at,
)
from rivetwright.engines.reach.ways import ways_at
from rivetwright.engines.rules import REGISTRY
from rivetwright.engines.worked import Worked
from rivetwright.model.outline import Leg
from rivetwright.model.plan import Access, Row
from rivetwright.model.shop import Die, Shop, Squeezer, Tool
from rivetwright.model.step import Need, Step
from tests.unit.engines.small import blind, box, plan_of, row

TAIL_MM = 4.35
YOKE = Tool("Y", "yoke", reach_mm=40.0, gap_mm=20.0, nose_mm=12.0, half_width_mm=5.0)
BAR = Tool("B", "bar", reach_mm=200.0, nose_mm=20.0, half_width_mm=6.0)
PLATE = Tool("P", "back-rivet", half_width_mm=6.0)
PULLER = Tool("U", "puller", half_width_mm=4.0)
UNIVERSAL = row("R", "MS20470AD4-4", stack=[("a", "plain"), ("b", "plain")])
FLUSH = row("R", "MS20426AD4-4", stack=[("a", "dimple"), ("b", "dimple")])
BLIND = row("R", blind("BD4-1", ".02", ".10"), stack=[("a", "plain"), ("b", "plain")])


def fit(tool: Tool, access: Access, of: Row = UNIVERSAL, **shop: object) -> ToolFit:
    """How one tool fits a hole with these surroundings."""
    beside = Shop("s", "s", "mm", tools=(tool,), **shop)  # type: ignore[arg-type]
    worked = Worked(plan_of(replace(of, access=access)), beside)
    (found,) = tools_at(worked, 0)
    assert str(found) == str(tool_at(worked, tool, 0))
    return found


def told(found: ToolFit) -> tuple[str, str, float, float]:
    """Fit, limit and figures to a thousandth."""
    return found.fit, found.limit, round(found.has_mm, 3), round(found.needs_mm, 3)


# Just enough of everything, just too little, and clear of it.
YOKE_LIMITS = [
    ("reach", Access(entry_mm=37.47), Access(entry_mm=30.0), 40.0, 40.01),
    ("flange", Access(throat_flange_mm=17.47), Access(throat_flange_mm=9), 20.0, 20.01),
    (
        "gap behind",
        Access(gap_behind=("number"), gap_behind_mm=16.34),
        Access(gap_behind="number", gap_behind_mm=30.0),
        16.34,
        16.35,
    ),
    ("wall on the shop side", Access(wall_shop_mm=4.9), Access(wall_shop_mm=9), 4.9, 5),
    ("wall on the head side", Access(wall_head_mm=4.9), Access(wall_head_mm=9), 4.9, 5),
]


@pytest.mark.parametrize(("limit", "no", "clear", "has", "needs"), YOKE_LIMITS)
def test_a_yoke_is_ruled_out_by_one_thing_with_figures(
    limit: str, no: Access, clear: Access, has: float, needs: float
) -> None:
    """A hundredth or a tenth too little is no; room to spare is clear."""
    assert told(fit(YOKE, no)) == ("no", limit, has, needs)
    assert fit(YOKE, clear).fit == "clear"


@pytest.mark.parametrize(
    ("wall", "expected"), [(5.0, "tight"), (5.76, "tight"), (5.762, "clear")]
)
def test_thousandths_are_not_clearance(wall: float, expected: str) -> None:
    """Under 0.762 to spare is tight; just that much is clear."""
    assert fit(YOKE, Access(wall_shop_mm=wall)).fit == expected


def test_nothing_in_the_way_leaves_no_limit() -> None:
    """Open everywhere: the yoke's reach alone is a limit, and a bar has none."""
    assert told(fit(YOKE, Access())) == ("clear", "reach", 40.0, 2.54)
    found = fit(BAR, Access())
    assert (found.fit, found.limit) == ("clear", "reach")
    open_ended = fit(Tool("B", "bar"), Access())
    assert (open_ended.fit, open_ended.limit) == ("clear", "")
    assert np.isnan(open_ended.has_mm)


def test_a_yoke_that_jumps_a_flange_jumps_no_higher() -> None:
    """It jumps up to 18, though its throat of 20 would take 17.46."""
    offset = replace(YOKE, jumps_flange_mm=18.0)
    assert fit(offset, Access(throat_flange_mm=17.0)).fit == "clear"
    found = fit(offset, Access(throat_flange_mm=18.5))
    assert told(found) == ("no", "flange", 18.0, 18.5)


def test_the_largest_rivet_is_that_of_yoke_and_squeezer() -> None:
    """1/8 where the yoke takes 5/32 and the squeezer 3/32 is too large."""
    yoke = replace(YOKE, diameter_32nds_max=5)
    for most, expected in ((4, "clear"), (3, "no")):
        squeezer = Squeezer("s", diameter_32nds_max=most)
        found = fit(yoke, Access(), squeezers=(squeezer,))
        assert found.fit == expected
    assert told(found) == ("no", "size", 2.381, 3.175)


@pytest.mark.parametrize(
    ("limit", "access", "has", "needs"),
    [
        ("reach", Access(entry_mm=201.0), 200.0, 201.0),
        ("gap behind", Access(gap_behind_mm=24.3, gap_behind="number"), 24.3, 24.35),
        ("wall on the shop side", Access(wall_shop_mm=5.9), 5.9, 6.0),
        ("room for the set", Access(wall_head_mm=6.3), 6.3, 6.35),
    ],
)
def test_a_bar_is_ruled_out_by_one_thing_with_figures(
    limit: str, access: Access, has: float, needs: float
) -> None:
    """An arm's way, the depth, the wall, and the set on the other side."""
    assert told(fit(BAR, access)) == ("no", limit, has, needs)


def test_a_flange_is_nothing_to_a_bar() -> None:
    """It is lifted over."""
    assert fit(BAR, Access(throat_flange_mm=90.0)).fit == "clear"


def test_back_riveting_asks_for_flush_rivets_on_the_plate() -> None:
    """Universal heads, a plan without the plate, a gun without room: each is no."""
    on_plate = Access(tools=("P",))
    assert fit(PLATE, on_plate, FLUSH).fit == "clear"
    assert fit(PLATE, on_plate).limit == "flush rivets only"
    assert fit(PLATE, Access(), FLUSH).limit == "skin flat on the plate"
    low = replace(on_plate, gap_behind="number", gap_behind_mm=100.0)
    assert told(fit(PLATE, low, FLUSH)) == ("no", "room for the gun", 100.0, 152.4)
    near = replace(on_plate, wall_shop_mm=5.0)
    assert fit(PLATE, near, FLUSH).limit == "wall on the shop side"


def test_a_step_that_needs_the_plate_lays_the_skin_on_it() -> None:
    """Named for the step instead of the row."""
    step = Step("1", "back-rivet", needs=(Need("tool", "P"),))
    plan = plan_of(replace(FLUSH, access=Access()), steps=(step,))
    (found,) = tools_at(Worked(plan, Shop("s", "s", "mm", tools=(PLATE,))), 0)
    assert found.fit == "clear"


def test_blind_rivets_are_for_the_puller_alone() -> None:
    """And it for them; it needs no back side."""
    shut = Access(both_sides=False)
    assert fit(PULLER, shut, BLIND).fit == "clear"
    assert fit(PULLER, shut).limit == "blind rivets only"
    assert fit(YOKE, shut, BLIND).limit == "solid rivets only"
    assert fit(BAR, shut).limit == "closed behind"
    near = Access(wall_head_mm=3.0)
    assert fit(PULLER, near, BLIND).limit == "wall on the head side"


def test_the_dies_must_open_over_the_rivet() -> None:
    """Closed 12, stroke 6, dies 3 + 4: opens 11; L 6.35 and head are 7.72 at 1/8.

    With the dies 6 mm longer it opens 5, which is too little.
    """
    for more, expected in ((0.0, "clear"), (6.0, "no")):
        yoke = replace(YOKE, closed_height_mm=12.0)
        dies = (Die("flat", 3.0 + more), Die("cup", 4.0, diameter_32nds=4))
        press = (Squeezer("s", stroke_mm=6.0),)
        found = fit(yoke, Access(), squeezers=press, dies=dies)
        assert found.fit == expected
    assert found.limit == "opening over the rivet"
    assert found.has_mm == pytest.approx(5.0)
    assert found.needs_mm == pytest.approx(6.35 + 0.054 * 25.4, abs=1e-3)


def test_the_shortest_dies_that_fit_are_taken() -> None:
    """Flush: two flats, of which two are owned; a fixed die is the jaw itself."""
    yoke = replace(YOKE, closed_height_mm=10.0)
    press = (Squeezer("s", stroke_mm=4.0),)
    dies = (Die("flat", 3.0, count=2), Die("flat", 9.0), Die("cup", 2.0))
    needs = 6.35
    found = fit(yoke, Access(entry_mm=0.0), FLUSH, squeezers=press, dies=dies)
    assert found.fit == "clear"
    for fixed, expected in ((False, "no"), (True, "clear")):
        high = replace(yoke, closed_height_mm=8.0, has_fixed_die=fixed)
        found = fit(high, Access(), FLUSH, squeezers=press, dies=dies)
        assert found.fit == expected, needs


def test_a_flange_the_dies_must_pass_is_tight_and_never_more() -> None:
    """Opens 11; flange 10, grip 2 and head 1.37 are 13.37: ram die in after it."""
    yoke = replace(YOKE, closed_height_mm=12.0)
    dies = (Die("flat", 3.0), Die("cup", 4.0, diameter_32nds=4))
    access = Access(throat_flange_mm=10.0)
    found = fit(yoke, access, squeezers=(Squeezer("s", stroke_mm=6.0),), dies=dies)
    assert (found.fit, found.limit) == ("tight", "opening over the flange")
    assert found.has_mm == pytest.approx(11.0)
    assert found.needs_mm == pytest.approx(12.0 + 0.054 * 25.4, abs=1e-3)


def test_dies_that_nobody_knows_judge_nothing() -> None:
    """No cup of the size: the opening is left out."""
    yoke = replace(YOKE, closed_height_mm=12.0)
    press = (Squeezer("s", stroke_mm=6.0),)
    assert (
        fit(yoke, Access(), squeezers=press, dies=(Die("flat", 30.0),)).fit == "clear"
    )


def test_a_yoke_takes_the_way_that_suits_it() -> None:
    """Below a flange of 18 at 10, to the left free at 30: each yoke its own way."""
    web = box("web", bends=("v0",), legs=(Leg(0, 18.0),))
    plan = plan_of(row("R", "MS20470AD4-4", (30.0, 10.0)), layers=(web, box("plate")))
    deep = replace(YOKE, id="D", reach_mm=20.0, gap_mm=25.0)
    long = replace(YOKE, id="L", reach_mm=40.0, gap_mm=10.0)
    both = replace(YOKE, id="N", reach_mm=20.0, gap_mm=10.0)
    worked = Worked(plan, Shop("s", "s", "mm", tools=(deep, long, both)))
    fits = {one.tool.id: one for one in tools_at(worked, 0)}
    assert (fits["D"].fit, fits["L"].fit) == ("clear", "clear")
    assert told(fits["N"]) == ("no", "flange", 10.0, 20.54)


def test_no_edge_to_come_in_over_is_told_without_figures() -> None:
    """Every side turned away: the yoke has no way in, and neither has the bar."""
    shut = box("web", bends=("u0", "u1", "v0", "v1"))
    plan = plan_of(row("R", "MS20470AD4-4", (30.0, 10.0)), layers=(shut, shut))
    worked = Worked(plan, Shop("s", "s", "mm", tools=(YOKE, BAR)))
    assert [one.limit for one in tools_at(worked, 0)] == ["no way in", "no way in"]
    assert worked["in_the_way"][0] == "Y|no way in|nan|nan"


def test_a_place_that_may_be_off_rules_nothing_out_inside_its_doubt() -> None:
    """A wall 4 away for a half width of 5: no; tight where the place is within 2."""
    web = box("web", bends=("v0",), legs=(Leg(0, 18.0),))
    wide = replace(YOKE, reach_mm=200.0, gap_mm=200.0)
    for doubt, expected in ((0.0, "no"), (2.0, "tight")):
        one = row("R", "MS20470AD4-4", (30.0, 5.0), place_tolerance_mm=doubt)
        worked = Worked(
            plan_of(one, layers=(web, box("plate"))),
            Shop("s", "s", "mm", tools=(wide,)),
        )
        assert tools_at(worked, 0)[0].fit == expected


def test_what_is_not_known_is_not_judged() -> None:
    """No surroundings: the largest rivet alone can rule a yoke out."""
    small = replace(YOKE, id="S", diameter_32nds_max=3)
    worked = Worked(plan_of(UNIVERSAL), Shop("s", "s", "mm", tools=(YOKE, small)))
    assert [one.fit for one in tools_at(worked, 0)] == ["not judged", "no"]
    assert worked["tool_verdict"][0] == "not judged"


def test_tools_on_order_and_what_is_in_the_way() -> None:
    """Owned yoke no, bar on order clear: the day it is due, or that there is none."""
    access = Access(entry_mm=60.0)
    for due, words in ((date(2027, 1, 4), "B, due 2027-01-04"), (None, "B, no date")):
        bar = replace(BAR, state="on order", due=due)
        shop = Shop("s", "s", "mm", tools=(YOKE, bar))
        worked = Worked(plan_of(replace(UNIVERSAL, access=access)), shop)
        assert worked["tool_verdict"][0] == "on order"
        assert worked["tools_that_fit"][0] == "B*"
        assert worked["tools_clear"][0] == "B*"
        assert worked["tools_on_order"][0] == words
        assert worked["order_in_the_way"][0] == ""
        tool, limit, has, needs = limit_read(worked["in_the_way"][0])
        assert (tool, limit, has, needs) == ("Y", "reach", 40.0, 62.54)


def test_only_tools_on_order_are_asked_where_none_is_owned() -> None:
    """A shop whose one bar is on order, and no yoke at all."""
    bar = replace(BAR, state="on order")
    shop = Shop("s", "s", "mm", tools=(bar,))
    worked = Worked(plan_of(replace(UNIVERSAL, access=Access())), shop)
    assert worked["tool_verdict"][0] == "on order"
    assert worked["takes_two"][0] == 1
    assert worked["squeezer_in_the_way"][0] == ""


def test_a_shop_without_tools_says_nothing() -> None:
    """Nothing to compare: no verdict."""
    worked = Worked(plan_of(replace(UNIVERSAL, access=Access())), Shop("s", "s", "mm"))
    assert worked["tool_verdict"][0] == ""
    assert tools_at(worked, 0) == ()
    assert np.isnan(worked["takes_two"][0])


def test_ways_belong_to_the_squeezers_owned() -> None:
    """A yoke goes on the hand squeezer; a bar asks for two people."""
    plan = plan_of(replace(UNIVERSAL, access=Access()))
    hand = (Squeezer("h", kind="hand"),)
    shop = Shop("s", "s", "mm", tools=(YOKE, BAR, PULLER), squeezers=hand)
    found = ways_at(Worked(plan, shop), 0)
    said = [(one.tool.tool.id, one.way.value.name) for one in found]
    assert said == [("Y", "hand squeezer"), ("B", "gun and bar")]
    none_named = ways_at(Worked(plan, replace(shop, squeezers=())), 0)
    assert [one.way.value.name for one in none_named][:2] == [
        "squeezer",
        "hand squeezer",
    ]
    assert ways_at(Worked(plan), 0) == ()
    assert tools_at(Worked(plan), 0) == ()


def test_a_limit_is_written_and_read_back() -> None:
    """Tool, limit and figures; nothing where nothing limits."""
    assert limit_read(limit_written("Y", "reach", 40.0, 42.5)) == (
        "Y",
        "reach",
        40,
        42.5,
    )
    assert limit_written("Y", "", np.nan, np.nan) == ""


def test_the_tight_margin_names_its_row() -> None:
    """Its working opens on the table."""
    worked = Worked(plan_of(UNIVERSAL))
    witness = REGISTRY["tight_margin_mm"].witness
    assert witness is not None
    found = witness(worked, 0)
    assert found is not None
    assert str(found.fields["row"]).startswith("reach_margins.csv:")
    assert worked.at("tight_margin_mm", 0) == pytest.approx(0.762)


def test_tools_that_nobody_has_are_named_for_row_and_step() -> None:
    """Z9 of the row and Z1 of its step, beside a yoke that is there."""
    step = Step("1", "set", needs=(Need("tool", "Z1"), Need("tool", "Y")))
    rows = (
        replace(UNIVERSAL, access=Access(tools=("Z9", "Y"))),
        replace(UNIVERSAL, id="s", name="S", access=Access(tools=("Z9",))),
        replace(UNIVERSAL, id="t", name="T", step="2"),
    )
    plan = plan_of(*rows, steps=(step, Step("2", "later")))
    worked = Worked(plan, Shop("s", "s", "mm", tools=(YOKE,)))
    assert worked["unknown_tools"].tolist() == ["Z1, Z9", "Z1, Z9", ""]
    assert worked["planned_tools"].tolist() == ["Z9, Y", "Z9", ""]
    assert worked["planned_in_the_way"].tolist() == ["", "", ""]


def test_of_several_planned_tools_the_one_that_lacks_least_is_told() -> None:
    """60 to go: the yoke of 40 lacks 22.54, that of 60 lacks 2.54."""
    long = replace(YOKE, id="L", reach_mm=60.0)
    access = Access(entry_mm=60.0, tools=("Y", "L"))
    shop = Shop("s", "s", "mm", tools=(YOKE, long, BAR))
    worked = Worked(plan_of(replace(UNIVERSAL, access=access)), shop)
    assert limit_read(worked["planned_in_the_way"][0]) == ("L", "reach", 60.0, 62.54)

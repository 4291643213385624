"""Drill, cage and dimple dies against each part alone. Sizes in mm."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from rivetwright.engines.reach.fit import ToolFit
from rivetwright.engines.reach.preparing import preparing_at
from rivetwright.engines.worked import Worked
from rivetwright.model.outline import TOWARD, Layer, Leg
from rivetwright.model.plan import FAR, Row
from rivetwright.model.shop import Die, Shop, Tool
from tests.unit.engines.small import box, plan_of, row

YOKE = Tool("Y", "yoke", reach_mm=40.0, gap_mm=30.0, nose_mm=12.0, half_width_mm=3.0)
DIES = (
    Die("male", 10.0, diameter_32nds=4, face_mm=10.0),
    Die("female", 9.0, diameter_32nds=4, face_mm=10.0),
)
SHOP = Shop("s", "s", "mm", tools=(YOKE, Tool("B", "bar")), dies=DIES)
DIMPLED: list[tuple[str, str]] = [("skin", "dimple"), ("angle", "dimple")]
SUNK: list[tuple[str, str]] = [("skin", "countersink"), ("angle", "plain")]
SKIN = box("skin")


def angle(height_mm: float = 16.0, **more: Any) -> Layer:
    """An angle whose leg stands away along its lower side."""
    return box("angle", bends=("v0",), legs=(Leg(0, height_mm, **more),))


def hole(
    at: tuple[float, float] = (30.0, 20.0),
    stack: list[tuple[str, str]] = DIMPLED,
    **more: Any,
) -> Row:
    """One flush hole."""
    return row("R", "MS20426AD4-4", at, stack=stack, **more)


def done(
    one: Row, *layers: Layer, shop: Shop = SHOP, others: tuple[Row, ...] = ()
) -> dict[tuple[str, str], dict[str, ToolFit]]:
    """How each tool gets at each sheet, by part and operation, then by tool."""
    worked = Worked(plan_of(one, *others, layers=layers), shop)
    return {
        (work.part, work.operation): {fit.tool.id: fit for fit in work.tools}
        for work in preparing_at(worked, 0)
    }


def told(found: ToolFit) -> tuple[str, str, float, float]:
    """Fit, limit and figures to a thousandth."""
    return found.fit, found.limit, round(found.has_mm, 3), round(found.needs_mm, 3)


def test_each_part_is_looked_at_alone() -> None:
    """The skin has no leg; at the angle the die has 3 less 1 to the wall for 5."""
    found = done(hole((30.0, 3.0)), SKIN, angle())
    assert found["skin", "dimple"]["Y"].fit == "clear"
    wall = told(found["angle", "dimple"]["Y"])
    assert wall == ("no", "wall on the shop side", 2.0, 5.0)
    assert set(found["skin", "dimple"]) == {"Y"}


def test_a_dimple_in_the_middle_of_a_skin_is_out_of_reach() -> None:
    """60 to the nearest edge, and 2.54 past the hole, for a reach of 40."""
    skin, sheet = box("skin", (0, 400), (0, 120)), box("angle", (0, 400), (0, 120))
    found = done(hole((200.0, 60.0)), skin, sheet)
    assert told(found["skin", "dimple"]["Y"]) == ("no", "reach", 40.0, 62.54)


@pytest.mark.parametrize(
    ("apart", "fit"), [(10.0, "no"), (10.8, "tight"), (12, "clear")]
)
def test_the_next_dimple_keeps_the_die_away(apart: float, fit: str) -> None:
    """Die radius 5 and the next dimple's half head, 0.225 / 2 in = 2.858: 7.858.

    The dimples stand in different rows, and the one 1 mm nearer is plain.
    """
    wide = tuple(replace(die, face_mm=15.8) for die in DIES)
    other = replace(hole((30.0 + apart, 20.0)), name="S", id="s")
    plain = row(
        "T", "MS20470AD4-4", (31.0, 20.0), stack=[("skin", "plain"), ("angle", "plain")]
    )
    found = done(
        hole(), SKIN, box("angle"), shop=replace(SHOP, dies=wide), others=(other, plain)
    )
    made = found["skin", "dimple"]["Y"]
    assert made.fit == fit
    assert made.limit == "next dimple"
    assert made.needs_mm == pytest.approx(7.9 + 0.225 * 25.4 / 2, abs=0.01)


def test_dimpling_asks_for_a_pair_of_dies_and_a_seat() -> None:
    """Half a pair, dies of another size, a jaw that is its own die: each is no."""
    half = replace(SHOP, dies=DIES[:1])
    found = done(hole(), SKIN, angle(), shop=half)
    assert found["skin", "dimple"]["Y"].limit == "dimple dies"
    other = replace(SHOP, dies=tuple(replace(die, diameter_32nds=3) for die in DIES))
    found = done(hole(), SKIN, angle(), shop=other)
    assert found["skin", "dimple"]["Y"].limit == "dimple dies"
    fixed = replace(SHOP, tools=(replace(YOKE, has_fixed_die=True),))
    found = done(hole(), SKIN, angle(), shop=fixed)
    assert found["skin", "dimple"]["Y"].limit == "seat for a die"


def test_a_die_whose_face_is_not_given_is_taken_as_usual() -> None:
    """0.25 in radius: 6.35."""
    bare = replace(SHOP, dies=tuple(replace(die, face_mm=None) for die in DIES))
    found = done(hole((30.0, 6.0)), SKIN, angle(), shop=bare)
    assert told(found["angle", "dimple"]["Y"]) == (
        "no",
        "wall on the shop side",
        5.0,
        6.35,
    )


def test_the_cage_stands_on_the_head_side() -> None:
    """Its foot of 12.7 is in the way of a leg toward the head, not of one away."""
    toward = box("skin", bends=("v0",), legs=(Leg(0, 16.0, TOWARD),))
    found = done(hole((30.0, 10.0), SUNK), toward, box("angle"))
    cage = told(found["skin", "countersink"]["countersink cage"])
    assert cage == ("no", "wall on the head side", 9.0, 12.7)
    away = box("skin", bends=("v0",), legs=(Leg(0, 16.0),))
    found = done(hole((30.0, 10.0), SUNK), away, box("angle"))
    assert found["skin", "countersink"]["countersink cage"].fit == "clear"
    found = done(hole((30.0, 10.0), SUNK, head_side=FAR), box("angle"), away)
    assert found["skin", "countersink"]["countersink cage"].fit == "no"


def walled(high_mm: float, low_mm: float, apart_mm: float) -> Layer:
    """A channel so wide, one leg away and the other toward the side seen."""
    legs = (Leg(0, low_mm), Leg(2, high_mm, TOWARD))
    return box("skin", (0, 100), (0, apart_mm), bends=("v0", "v1"), legs=legs)


@pytest.mark.parametrize(
    ("low_mm", "apart_mm", "straight", "angle_drill"),
    [
        (16.0, 30.0, "clear", "clear"),
        (60.0, 30.0, "no", "clear"),
        (60.0, 18.0, "no", "no"),
    ],
)
def test_a_drill_comes_from_the_freer_side_or_over_a_low_wall(
    low_mm: float, apart_mm: float, straight: str, angle_drill: str
) -> None:
    """In the middle of a channel of 30 the walls are 14 away, of 18 they are 8.

    A straight drill needs 19.05 and stands 38.1 out of its chuck, so it reaches over a
    wall of 16; an angle drill needs 12.7.
    """
    skin = walled(60.0, low_mm, apart_mm)
    found = done(hole((30.0, apart_mm / 2), SUNK), skin, box("angle"))
    drills = found["skin", "drill"]
    assert drills["straight drill"].fit == straight
    assert drills["angle drill"].fit == angle_drill


def test_what_is_not_drawn_or_only_sketched_is_not_judged() -> None:
    """No outline under the sheet, or a place nobody measured: no tool is named."""
    assert done(row("R", "MS20426AD4-4", stack=DIMPLED))["skin", "dimple"] == {}
    found = done(hole(places="sketched"), SKIN, angle())
    assert found["skin", "drill"] == {}


def test_without_a_shop_nothing_is_asked() -> None:
    """And with one each sheet is drilled."""
    plan = plan_of(hole(), layers=(SKIN, angle()))
    assert preparing_at(Worked(plan), 0) == ()
    assert len(preparing_at(Worked(plan, SHOP), 0)) == 4

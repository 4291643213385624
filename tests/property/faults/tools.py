"""A bay with room for every tool of a small shop, and one fault at a time in it.

A web with a flange below and a free edge on the right; a rivet row up the web, and a
shop with a yoke, a bar, and another bar on order. Sizes in mm.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import date
from fractions import Fraction
from random import Random

from rivetwright.model.outline import Face, Layer, Leg, Outline
from rivetwright.model.pattern import Straight
from rivetwright.model.plan import Access, Part, Plan, Project, Row
from rivetwright.model.shop import Shop, Tool
from rivetwright.model.step import Step
from rivetwright.standards.codes import rivet_code

YOKE = Tool("Y1", "yoke", reach_mm=60.0, gap_mm=30.0, nose_mm=12.0, half_width_mm=5.0)
BAR = Tool("B1", "bar", reach_mm=300.0, nose_mm=20.0, half_width_mm=6.0)
BLADE = Tool(
    "B2",
    "bar",
    reach_mm=300.0,
    nose_mm=4.0,
    half_width_mm=5.0,
    state="on order",
    due=date(2027, 1, 4),
)
WIDTH_MM, HEIGHT_MM = 120.0, 90.0
# 1/8 in, grip 2 x 1 mm: 4/16 in leaves 4.35 mm of tail.
TAIL_MM = 6.35 - 2.0


@dataclass
class Bay:
    """A plan of one bay and a shop; a fault changes either."""

    rows: list[Row]
    tools: list[Tool]
    layers: list[Layer]
    taper_mm: float = 0.0

    def plan(self) -> Plan:
        """The plan of the bay."""
        taper = ((0.0, self.taper_mm), (HEIGHT_MM, self.taper_mm))
        face = Face(
            "F", "bay", tuple(self.layers), taper_mm=taper if taper[0][1] else ()
        )
        parts = tuple(Part(name, name, 1.0) for name in ("web", "doubler", "post"))
        return Plan(
            "bay",
            "bay",
            Project("p", "p"),
            "mm",
            parts,
            (face,),
            tuple(self.rows),
            (Step("s", "set"),),
        )

    def shop(self) -> Shop:
        """The shop beside it."""
        return Shop("shop", "shop", "mm", tools=tuple(self.tools))


def clean_bay(seed: int) -> Bay:
    """A bay in which every tool gets to every hole with room to spare."""
    dice = Random(seed)
    flange = dice.uniform(8.0, 20.0)
    web = Layer(
        "web",
        Outline.rectangle((0, WIDTH_MM), (0, HEIGHT_MM), ("v0",)),
        legs=(Leg(0, flange),),
    )
    doubler = Layer("doubler", Outline.rectangle((20, WIDTH_MM), (15, HEIGHT_MM)))
    first = WIDTH_MM - dice.uniform(15.0, 50.0), dice.uniform(25.0, 30.0)
    callout = rivet_code("MS20470", "AD", 4, Fraction(4))
    row = Row("r", "R", callout, Straight(first, (0.0, 12.0), 4), "s", face="F")
    access = Access(tools=("Y1",))
    planned = Row("q", "Q", callout, Straight((first[0], 75.0), (0, 0), 1), "s", "F")
    by_hand = replace(planned, access=replace(access, entry_mm=WIDTH_MM - first[0]))
    return Bay([row, by_hand], [YOKE, BAR, BLADE], [web, doubler])


def names(bay: Bay) -> set[str]:
    """Every hole of the bay."""
    return {"Q:1", *(f"R:{number}" for number in range(1, 5))}


def no_tool(bay: Bay, dice: Random) -> set[str]:
    """A depth that even the blade's 4 mm and the tail do not go into."""
    bay.taper_mm = 4.0 + TAIL_MM - dice.uniform(0.5, 3.0)
    return names(bay) - {"Q:1"}


def only_on_order(bay: Bay, dice: Random) -> set[str]:
    """A depth for the blade on order, too little for the yoke's 12 mm."""
    bay.taper_mm = 4.0 + TAIL_MM + dice.uniform(1.0, 5.0)
    return names(bay) - {"Q:1"}


def only_tight(bay: Bay, dice: Random) -> set[str]:
    """The bar is thicker, and the yoke's nose goes in with half a millimetre left."""
    bay.taper_mm = 12.0 + TAIL_MM + dice.uniform(0.1, 0.6)
    return names(bay) - {"Q:1"}


def planned_too_short(bay: Bay, dice: Random) -> set[str]:
    """By hand the planned yoke has too far to go; a bar gets there."""
    access = bay.rows[1].access
    assert access is not None
    entry = 60.0 + dice.uniform(0.0, 50.0)
    bay.rows[1] = replace(bay.rows[1], access=replace(access, entry_mm=entry))
    return {"Q:1"}


def unknown(bay: Bay, dice: Random) -> set[str]:
    """The plan names a tool that nobody has, beside one that is there."""
    access = bay.rows[1].access
    assert access is not None
    named = ("Y1", f"Z{dice.randint(1, 9)}")
    bay.rows[1] = replace(bay.rows[1], access=replace(access, tools=named))
    return {"Q:1"}


TOOL_FAULTS: dict[str, Callable[[Bay, Random], set[str]]] = {
    "REACH-01": no_tool,
    "REACH-02": only_on_order,
    "REACH-03": only_tight,
    "TOOL-01": planned_too_short,
    "TOOL-02": unknown,
}

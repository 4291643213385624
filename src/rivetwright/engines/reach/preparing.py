"""Whether drill, cage and dimple dies get at each sheet before the parts go together.

Each part is looked at alone, with its own legs: dimpling is done with the part in
hand. Most strokes of a squeezer are dimples.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from rivetwright.engines.reach.drawn import sight_of
from rivetwright.engines.reach.fit import ToolFit, one_fit
from rivetwright.engines.reach.limits import (
    MM_PER_32ND,
    WALL_HEAD,
    WALL_SHOP,
    Limit,
    must,
    room,
    way_in,
)
from rivetwright.engines.reach.outlines import (
    WaysIn,
    covered,
    find_standing,
    walls,
    ways_in,
)
from rivetwright.engines.reach.throat import YOKE
from rivetwright.engines.worked import Worked
from rivetwright.model.outline import Layer
from rivetwright.model.plan import COUNTERSINK, DIMPLE, FAR
from rivetwright.model.shop import Die, Shop, Tool
from rivetwright.standards.reach import reach_margin_mm
from rivetwright.units.tolerance import TOLERANCE_MM

DRILL = "drill"
EVERY_LIMIT = WALL, NEXT_DIMPLE, DIES, SEAT = (
    "wall",
    "next dimple",
    "dimple dies",
    "seat for a die",
)
STRAIGHT = Tool("straight drill", "drill")
ANGLE = Tool("angle drill", "drill")
CAGE = Tool("countersink cage", "cage")


@dataclass(frozen=True)
class SheetWork:
    """One operation on one sheet of a hole, and how each tool gets at it.

    `tools` is empty where the sheet lies in no outline: nothing is known of it then.
    """

    part: str
    operation: str
    tools: tuple[ToolFit, ...]


@dataclass(frozen=True)
class _Alone:
    """One hole in one part alone: walls on the two sides, and ways in.

    `drill_wall_mm` is the nearest wall, of the freer side, that a straight drill does
    not reach over.
    """

    head_mm: float
    shop_mm: float
    drill_wall_mm: float
    ways: WaysIn
    doubt_mm: float


def _margin_mm(name: str) -> float:
    """A margin or a usual size [mm]."""
    return float(reach_margin_mm(name).value)


def _alone(worked: Worked, hole: int, layer: Layer) -> _Alone:
    """What a part alone leaves round one of its holes."""
    holes = worked.holes
    x_mm, y_mm = holes.x_mm[[hole]], holes.y_mm[[hole]]
    thickness = {part.name: part.thickness_mm for part in worked.plan.parts}
    standing = find_standing([layer], thickness)
    sight = sight_of(worked)
    wide = max(sight.wall_mm, _margin_mm(DRILL) + _margin_mm("tight"))
    away, toward = (
        walls(standing, x_mm, y_mm, wide, is_away) for is_away in (True, False)
    )
    distance = float(away.distance_mm[0]), float(toward.distance_mm[0])
    drill = []
    for one in (away, toward):
        leg = int(one.leg[0])
        is_low = leg < 0 or standing.height_mm[leg] <= _margin_mm("free drill")
        drill.append(np.inf if is_low else float(one.distance_mm[0]))
    ways = ways_in([layer], covered([layer]), standing, x_mm, y_mm, sight)
    is_far = holes.row_of(hole).head_side == FAR
    shop, head = reversed(distance) if is_far else distance
    doubt = float(holes.place_tolerance_mm[hole])
    return _Alone(head, shop, max(drill), ways, doubt)


def _fit(
    tool: Tool, limits: Iterator[Limit] | tuple[Limit, ...], doubt: float
) -> ToolFit:
    """How one tool fits by its limits."""
    return one_fit(tool, tuple(limits), np.array([doubt]))


def _drills(alone: _Alone) -> tuple[ToolFit, ...]:
    """Straight and angle drill, from the freer side of the part."""
    freer = max(alone.head_mm, alone.shop_mm)
    straight = room(WALL, alone.drill_wall_mm, _margin_mm(DRILL), 1)
    angle = room(WALL, freer, _margin_mm("angle drill"), 1)
    return (
        _fit(STRAIGHT, (straight,), alone.doubt_mm),
        _fit(ANGLE, (angle,), alone.doubt_mm),
    )


def _dies(shop: Shop, shank_mm: float) -> list[Die]:
    """Dimple dies of a size; a pair is a male and a female one."""
    return [
        die
        for die in shop.dies
        if die.kind in ("male", "female")
        and die.diameter_32nds is not None
        and abs(die.diameter_32nds * MM_PER_32ND - shank_mm) < TOLERANCE_MM
    ]


def _next_dimple_mm(worked: Worked, hole: int, part: str) -> tuple[float, float]:
    """The nearest other dimple of a part, and the radius it has [mm]."""
    holes, stacks = worked.holes, worked.stacks
    dimpled = np.array(
        [
            any(s.part == part and s.preparation == DIMPLE for s in one.sheets)
            for one in stacks.classes
        ],
        dtype=bool,
    )
    others = dimpled[stacks.class_of] & (holes.face == holes.face[hole])
    others[hole] = False
    there = np.flatnonzero(others)
    away = np.hypot(
        holes.x_mm[there] - holes.x_mm[hole], holes.y_mm[there] - holes.y_mm[hole]
    )
    if not len(there) or np.isnan(away).all():
        return np.inf, 0.0
    at = int(np.nanargmin(away))
    head = float(worked.at("head_diameter_mm", int(there[at])))
    return float(away[at]), 0.0 if np.isnan(head) else head / 2


def _dimple(worked: Worked, hole: int, part: str, alone: _Alone) -> Iterator[ToolFit]:
    """Every yoke of the shop with dimple dies of the size."""
    shop = worked.shop
    assert shop is not None, "a yoke belongs to a shop"
    shank = float(worked.at("shank_diameter_mm", hole))
    dies = _dies(shop, shank)
    has_pair = {die.kind for die in dies} == {"male", "female"}
    faces = [die.face_mm / 2 for die in dies if die.face_mm is not None]
    radius = max(faces, default=_margin_mm("die for dimples"))
    far, next_radius = _next_dimple_mm(worked, hole, part)
    known = np.ones(1, dtype=bool)
    for tool in shop.tools:
        if tool.kind != YOKE:
            continue
        half = max(tool.half_width_mm or 0.0, radius)
        limits = (
            must(DIES, np.array([has_pair])),
            must(SEAT, np.array([not tool.has_fixed_die])),
            *way_in(tool, alone.ways, known),
            room(WALL_SHOP, alone.shop_mm, half, 1),
            room(WALL_HEAD, alone.head_mm, half, 1),
            room(NEXT_DIMPLE, far, radius + next_radius, 1),
        )
        yield _fit(tool, limits, alone.doubt_mm)


def preparing_at(worked: Worked, hole: int) -> tuple[SheetWork, ...]:
    """How drill, cage and dimple dies get at every sheet of a hole.

    Empty without a shop.

    Source: own geometry; reach_margins.csv.
    """
    if worked.shop is None:
        return ()
    found = []
    stacks = worked.stacks
    sheets = stacks.classes[int(stacks.class_of[hole])].sheets
    for number, sheet in enumerate(sheets):
        at = int(stacks.layer[hole, number])
        is_drawn = at >= 0 and not worked.holes.is_sketched[hole]
        alone = _alone(worked, hole, stacks.layers[at].layer) if is_drawn else None
        found.append(SheetWork(sheet.part, DRILL, _drills(alone) if alone else ()))
        if sheet.preparation == DIMPLE:
            fit = tuple(_dimple(worked, hole, sheet.part, alone)) if alone else ()
            found.append(SheetWork(sheet.part, DIMPLE, fit))
        if sheet.preparation == COUNTERSINK:
            cage: tuple[ToolFit, ...] = ()
            if alone:
                foot = _margin_mm("foot of the cage")
                limit = room(WALL_HEAD, alone.head_mm, foot, 1)
                cage = (_fit(CAGE, (limit,), alone.doubt_mm),)
            found.append(SheetWork(sheet.part, COUNTERSINK, cage))
    return tuple(found)

"""Each tool's limits at each hole: what it has or finds, and what is needed.

A yoke must reach past the hole, take the flange in its throat, get its nose behind,
clear the walls, and open over rivet and flange. A bar needs the depth, the wall, an
arm's way in, and on the other side room for the gun's set. A limit that is soft makes
a tool tight, never impossible.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rivetwright.engines.reach.asked import BACK_RIVET, Asked
from rivetwright.engines.reach.outlines import WaysIn
from rivetwright.engines.reach.throat import YOKE, room_over_flange_mm, throat_mm
from rivetwright.engines.rules import Column
from rivetwright.model.shop import Die, Shop, Tool
from rivetwright.standards.reach import reach_margin_mm
from rivetwright.units.tolerance import TOLERANCE_MM

BAR, PULLER = "bar", "puller"
MM_PER_32ND = 25.4 / 32

EVERY_LIMIT = (
    REACH,
    NO_WAY_IN,
    FLANGE,
    GAP,
    GAP_SECOND,
    WALL_SHOP,
    WALL_HEAD,
    SET_ROOM,
    GUN_ROOM,
    OPENS_RIVET,
    OPENS_FLANGE,
    SIZE,
    SOLID_ONLY,
    BLIND_ONLY,
    FLUSH_ONLY,
    CLOSED,
    PLATE,
) = (
    "reach",
    "no way in",
    "flange",
    "gap behind",
    "gap if second",
    "wall on the shop side",
    "wall on the head side",
    "room for the set",
    "room for the gun",
    "opening over the rivet",
    "opening over the flange",
    "size",
    "solid rivets only",
    "blind rivets only",
    "flush rivets only",
    "closed behind",
    "skin flat on the plate",
)


@dataclass(frozen=True)
class Limit:
    """One limit of one tool, shape (holes,) each.

    `has_mm` is what the tool has or the place leaves, `needs_mm` what is needed; both
    NaN for a limit that is no length. `slack_mm` is the room left, negative: none.
    """

    name: str
    has_mm: Column
    needs_mm: Column
    slack_mm: Column
    is_soft: bool = False


def room(
    name: str,
    has_mm: Column | float,
    needs_mm: Column | float,
    count: int,
    is_soft: bool = False,
) -> Limit:
    """A limit that is a length.

    Args:
        name: what it is called in the catalogue [-].
        has_mm: what the tool has or the place leaves; infinite: open [mm].
        needs_mm: what is needed [mm].
        count: number of holes [-].
        is_soft: whether it makes a tool tight alone [-].
    Source: own geometry.
    """
    has = np.broadcast_to(np.asarray(has_mm, dtype=float), (count,))
    needs = np.broadcast_to(np.asarray(needs_mm, dtype=float), (count,))
    # What is open needs nothing more, however much is asked of it.
    slack = np.where(np.isposinf(has), np.inf, has - np.where(has < np.inf, needs, 0))
    return Limit(name, has, needs, slack, is_soft)


def must(name: str, holds: NDArray[np.bool_]) -> Limit:
    """A limit that holds or does not.

    Source: own geometry.
    """
    nothing = np.full(len(holds), np.nan)
    return Limit(name, nothing, nothing, np.where(holds, np.inf, -np.inf))


def _or_open(length_mm: float | None) -> float:
    """A size of a tool; none limits nothing."""
    return np.inf if length_mm is None else length_mm


def _margin_mm(name: str) -> float:
    """A margin of the table [mm]."""
    return float(reach_margin_mm(name).value)


def _size(asked: Asked, most_32nds: int | None) -> Limit:
    """The largest rivet that a tool takes."""
    most = np.inf if most_32nds is None else most_32nds * MM_PER_32ND
    has = np.full(len(asked), most)
    fits = asked.shank_mm <= most + TOLERANCE_MM
    return Limit(SIZE, has, asked.shank_mm, np.where(fits, np.inf, -np.inf))


def _both_sides(asked: Asked) -> Iterator[Limit]:
    """What every tool for solid rivets asks."""
    yield must(SOLID_ONLY, asked.is_solid)
    yield must(CLOSED, asked.has_both_sides)


def _behind(asked: Asked, thickness_mm: float | None) -> Iterator[Limit]:
    """Depth behind for a nose or bar on the tail, now and if the other is set first."""
    needs, count = (thickness_mm or 0.0) + asked.tail_mm, len(asked)
    yield room(GAP, asked.gap_behind_mm, needs, count)
    yield room(GAP_SECOND, asked.gap_if_second_mm, needs, count, is_soft=True)


def way_in(
    tool: Tool, ways: WaysIn, is_known: NDArray[np.bool_]
) -> tuple[Limit, Limit]:
    """Reach and throat of a yoke by the way that suits it best at each hole.

    Source: the shop; reach_margins.csv.
    """
    count = len(is_known)
    reach = _or_open(tool.reach_mm)
    throat = throat_mm(tool)
    past = _margin_mm("reach past the hole")
    spare = np.minimum(reach - past - ways.entry_mm, throat - ways.flange_mm)
    best = np.full(count, -np.inf)
    np.maximum.at(best, ways.hole, spare)
    entry, flange = np.full(count, np.inf), np.zeros(count)
    chosen = np.flatnonzero(spare == best[ways.hole])
    # What is written last stands: of ways that suit alike the nearest.
    order = np.lexsort((-ways.flange_mm[chosen], -ways.entry_mm[chosen]))
    chosen = chosen[order]
    entry[ways.hole[chosen]] = ways.entry_mm[chosen]
    flange[ways.hole[chosen]] = ways.flange_mm[chosen]
    entry[~is_known] = flange[~is_known] = np.nan
    over = room_over_flange_mm(tool)
    has = throat + over
    return (
        room(REACH, reach, entry + past, count),
        room(FLANGE, np.where(flange > 0.0, has, np.inf), flange + over, count),
    )


def _least_dies_mm(tool: Tool, dies: tuple[Die, ...], asked: Asked) -> Column:
    """The shortest dies that fit each rivet, together; NaN where none is known [mm]."""
    flats = sorted(
        die.length_mm for die in dies if die.kind == "flat" for _ in range(die.count)
    )
    first, second = [*flats, np.nan, np.nan][:2]
    # A fixed die is the jaw itself: one die alone stands in the gap.
    beside_cup, beside_flat = (0.0, 0.0) if tool.has_fixed_die else (first, second)
    total = np.where(asked.is_flush, first + beside_flat, np.nan)
    for die in dies:
        if die.kind != "cup" or die.diameter_32nds is None:
            continue
        fits = np.abs(asked.shank_mm - die.diameter_32nds * MM_PER_32ND) < TOLERANCE_MM
        both = np.where(fits & ~asked.is_flush, die.length_mm + beside_cup, np.nan)
        total = np.fmin(total, both)
    return total


def _opens(tool: Tool, shop: Shop, asked: Asked, flange: Limit) -> Iterator[Limit]:
    """Whether it opens over the rivet, and over the flange on its way in.

    A flange in the way of the dies makes it tight alone: the ram die can be put in
    behind the flange.
    """
    strokes = [one.stroke_mm for one in shop.squeezers if one.stroke_mm is not None]
    if tool.closed_height_mm is None or not strokes:
        return
    count = len(asked)
    has = tool.closed_height_mm + max(strokes) - _least_dies_mm(tool, shop.dies, asked)
    has = np.where(np.isnan(has), np.inf, has)
    head = np.where(np.isnan(asked.head_height_mm), 0.0, asked.head_height_mm)
    yield room(OPENS_RIVET, has, asked.length_mm + head, count)
    if tool.jumps_flange_mm is None:
        high = flange.needs_mm - room_over_flange_mm(tool)
        stands = np.where(high > 0.0, high + asked.grip_mm + head, 0.0)
        between = np.where(stands > 0.0, has, np.inf)
        yield room(OPENS_FLANGE, between, stands, count, is_soft=True)


def _yoke(tool: Tool, shop: Shop, asked: Asked) -> Iterator[Limit]:
    """A squeezer with this yoke."""
    count = len(asked)
    reach, flange = way_in(tool, asked.ways, asked.is_known)
    yield from _both_sides(asked)
    yield reach
    yield flange
    yield from _behind(asked, tool.nose_mm)
    half = tool.half_width_mm or 0.0
    yield room(WALL_SHOP, asked.wall_shop_mm, half, count)
    yield room(WALL_HEAD, asked.wall_head_mm, half, count)
    yield from _opens(tool, shop, asked, flange)


def _bar(tool: Tool, _: Shop, asked: Asked) -> Iterator[Limit]:
    """A bucking bar, with the gun on the other side."""
    count = len(asked)
    yield from _both_sides(asked)
    yield room(REACH, _or_open(tool.reach_mm), asked.least_entry_mm, count)
    yield from _behind(asked, tool.nose_mm)
    yield room(WALL_SHOP, asked.wall_shop_mm, tool.half_width_mm or 0.0, count)
    yield room(SET_ROOM, asked.wall_head_mm, _margin_mm("room for a gun set"), count)


def _back_rivet(tool: Tool, _: Shop, asked: Asked) -> Iterator[Limit]:
    """Set and plate: the gun on the shop side, the skin flat on the plate."""
    count = len(asked)
    yield from _both_sides(asked)
    yield must(FLUSH_ONLY, asked.is_flush)
    yield must(PLATE, asked.on_plate)
    yield room(GUN_ROOM, asked.gap_behind_mm, _margin_mm("room for the gun"), count)
    yield room(WALL_SHOP, asked.wall_shop_mm, tool.half_width_mm or 0.0, count)


def _puller(tool: Tool, _: Shop, asked: Asked) -> Iterator[Limit]:
    """A puller for blind rivets, on the head side alone."""
    yield must(BLIND_ONLY, ~asked.is_solid)
    half = tool.half_width_mm or 0.0
    yield room(WALL_HEAD, asked.wall_head_mm, half, len(asked))


KINDS: Mapping[str, Callable[[Tool, Shop, Asked], Iterator[Limit]]] = {
    YOKE: _yoke,
    BAR: _bar,
    BACK_RIVET: _back_rivet,
    PULLER: _puller,
}


def limits_of(tool: Tool, shop: Shop, asked: Asked) -> tuple[Limit, ...]:
    """Every limit of one tool at some holes, those that are no length first.

    Args:
        tool: a tool of a kind that sets rivets [-].
        shop: squeezers and dies beside it [-].
        asked: what the holes ask [mm].
    Source: the shop's sizes; reach_margins.csv.
    """
    most = tool.diameter_32nds_max
    if tool.kind == YOKE:
        rated = [one.diameter_32nds_max for one in shop.squeezers]
        largest = max([one for one in rated if one is not None], default=None)
        most = min([one for one in (most, largest) if one is not None], default=None)
    return _size(asked, most), *KINDS[tool.kind](tool, shop, asked)

"""What stands round every hole at its step: by hand where it was entered, else drawn.

What a person entered wins: the outlines do not hold every obstacle. Both are kept, so
that the difference can be told.
"""

from __future__ import annotations

from dataclasses import dataclass
from weakref import WeakKeyDictionary

import numpy as np
import shapely
from numpy.typing import NDArray

from rivetwright.engines.reach.around import NO, Around, FirstWay, Ints
from rivetwright.engines.reach.drawn import depth_at, from_outlines
from rivetwright.engines.reach.outlines import WaysIn, points_at, together
from rivetwright.engines.reach.throat import flange_max_mm
from rivetwright.engines.rules import Column
from rivetwright.engines.worked import Worked
from rivetwright.model.plan import Access
from rivetwright.standards.reach import opposite_head_ratio


@dataclass(frozen=True)
class Surroundings:
    """What stands round each hole: the one used, and the one from the outlines.

    `opposite` is the hole on the face opposite, -1 where there is none;
    `opposite_takes_mm` what its shop head takes of the depth, 0 where none does.
    `way` and `drawn_way` are entry, flange and number of the first way into each hole.
    """

    used: Around
    drawn: Around
    is_by_hand: NDArray[np.bool_]
    opposite: Ints
    opposite_takes_mm: Column
    way: FirstWay
    drawn_way: FirstWay


_FOUND: WeakKeyDictionary[Worked, Surroundings] = WeakKeyDictionary()


def surroundings(worked: Worked) -> Surroundings:
    """What stands round every hole of a plan, worked out once.

    Source: own geometry, and what was entered by hand.
    """
    if worked not in _FOUND:
        drawn = from_outlines(worked)
        used, is_by_hand = _with_hand(worked, drawn)
        opposite = _opposite_holes(worked)
        takes = _opposite_takes_mm(worked, opposite)
        highest = flange_max_mm(worked.shop)
        way, drawn_way = used.first_way(highest), drawn.first_way(highest)
        _FOUND[worked] = Surroundings(
            used, drawn, is_by_hand, opposite, takes, way, drawn_way
        )
    return _FOUND[worked]


def _or_open(length_mm: float | None) -> float:
    """A length entered by hand; none means that nothing is in the way."""
    return np.inf if length_mm is None else length_mm


def _gap_mm(worked: Worked, row: int, access: Access, holes: slice) -> Column | float:
    """Free depth behind a row as entered by hand [mm]."""
    if access.gap_behind == "taper":
        faces = {face.name: face for face in worked.plan.faces}
        face = faces[worked.plan.rows[row].face]
        return depth_at(face.taper_mm, worked.holes.y_mm[holes])
    if access.gap_behind == "closed":
        return 0.0
    return _or_open(access.gap_behind_mm)


def _with_hand(worked: Worked, drawn: Around) -> tuple[Around, NDArray[np.bool_]]:
    """The drawn surroundings, with rows entered by hand in their place."""
    holes = worked.holes
    by_hand = np.zeros(len(holes), dtype=bool)
    both = drawn.has_both_sides.copy()
    gap, shop, head = (
        column.copy()
        for column in (drawn.gap_behind_mm, drawn.wall_shop_mm, drawn.wall_head_mm)
    )
    whose = drawn.wall_shop_layer.copy(), drawn.wall_head_layer.copy()
    entry, flange = np.zeros((2, len(holes)))
    for k, row in enumerate(worked.plan.rows):
        if row.access is None:
            continue
        here = slice(int(holes.row_start[k]), int(holes.row_start[k + 1]))
        access = row.access
        by_hand[here] = True
        entry[here] = access.entry_by_hole_mm or access.entry_mm or 0.0
        flange[here] = access.throat_flange_mm
        gap[here] = _gap_mm(worked, k, access, here)
        shop[here] = _or_open(access.wall_shop_mm)
        head[here] = _or_open(access.wall_head_mm)
        both[here] = access.both_sides
        whose[0][here] = whose[1][here] = NO
    entered = np.flatnonzero(by_hand)
    nowhere = np.full(len(entered), np.nan)
    hand = WaysIn(entered, entry[entered], flange[entered], nowhere, nowhere)
    ways = together((drawn.ways.at(~by_hand[drawn.ways.hole]), hand))
    known = drawn.is_known | by_hand
    return Around(known, gap, shop, head, both, ways, *whose), by_hand


def _opposite_holes(worked: Worked) -> Ints:
    """The hole at the same place on the face opposite, -1 where there is none.

    Two holes are opposite where they lie within a shank's width in u and v.
    """
    holes, plan = worked.holes, worked.plan
    found = np.full(len(holes), NO)
    faces = {face.name: k for k, face in enumerate(plan.faces)}
    shank = worked.of_holes("shank_diameter_mm")
    placed = ~np.isnan(holes.x_mm)
    for k, face in enumerate(plan.faces):
        if face.opposite not in faces:
            continue
        here = np.flatnonzero((holes.face == k) & placed)
        there = np.flatnonzero((holes.face == faces[face.opposite]) & placed)
        if not len(here) or not len(there):
            continue
        tree = shapely.STRtree(points_at(holes.x_mm[there], holes.y_mm[there]))
        points = points_at(holes.x_mm[here], holes.y_mm[here])
        (mine, theirs), distance = tree.query_nearest(
            points, return_distance=True, all_matches=False
        )
        near = distance <= shank[here[mine]]
        found[here[mine[near]]] = there[theirs[near]]
    return found


def _opposite_takes_mm(worked: Worked, opposite: Ints) -> Column:
    """How much of the depth a shop head on the opposite flange takes [mm]."""
    ratio = float(opposite_head_ratio().value)
    height = ratio * worked.of_holes("shank_diameter_mm")
    solid = worked.of_holes("is_solid")
    return np.where((opposite >= 0) & solid[opposite], height[opposite], 0.0)

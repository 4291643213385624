"""What the outlines of parts leave round a hole: ways in for a yoke, and walls.

A yoke comes in straight over an edge of all that lies there, or through a wide
cut-out; legs that stand on its way must pass inside its throat. A bend whose leg the
plan does not give is no way in.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely
from numpy.typing import NDArray

from rivetwright.engines.layers import layer_polygon
from rivetwright.engines.rules import Column
from rivetwright.engines.sides import outline_sides
from rivetwright.model.outline import AWAY, BEND, Layer
from rivetwright.units.tolerance import TOLERANCE_MM

Ints = NDArray[np.int64]

# A way that comes so near to a leg has to pass it.
TOUCHES_MM = 0.01
# How far inside a cut-out's rim it is looked whether another part covers it.
INSIDE_RATIO = 0.01


@dataclass(frozen=True)
class Sight:
    """How far round a hole is looked: for yokes, for bars, for walls [mm].

    Beyond a yoke's reach only the nearest way in counts. `cut_out_mm` is the least
    width of a cut-out that lets a yoke through.
    """

    yoke_mm: float
    bar_mm: float
    wall_mm: float
    cut_out_mm: float


@dataclass(frozen=True)
class Standing:
    """Legs and bends of some layers, as lines; shape (legs,) each.

    `height_mm` is infinite at a bend whose leg is not given; such a one is no wall,
    nothing is known of it. `inward` points from the line into its own sheet.
    """

    ends_mm: Column
    inward: Column
    height_mm: Column
    is_away: NDArray[np.bool_]
    thickness_mm: Column
    layer: Ints
    tree: shapely.STRtree


@dataclass(frozen=True)
class WaysIn:
    """Ways in, several for a hole, shape (ways,) each; sorted by hole.

    `flange_mm` is the height of legs that must pass in the throat; `u_mm`, `v_mm`
    where the way crosses the edge.
    """

    hole: Ints
    entry_mm: Column
    flange_mm: Column
    u_mm: Column
    v_mm: Column

    def at(self, kept: NDArray[np.bool_] | Ints) -> WaysIn:
        """Some of the ways."""
        columns = (self.hole, self.entry_mm, self.flange_mm, self.u_mm, self.v_mm)
        return WaysIn(*(column[kept] for column in columns))

    def of_holes(self, holes: Ints) -> WaysIn:
        """The same ways, their holes counted anew."""
        columns = (self.entry_mm, self.flange_mm, self.u_mm, self.v_mm)
        return WaysIn(holes[self.hole], *columns)


@dataclass(frozen=True)
class Walls:
    """The nearest wall of one side of each hole, shape (holes,); infinite: none.

    `leg` is which leg of `Standing` it is, -1 where there is none.
    """

    distance_mm: Column
    leg: Ints


def together(parts: Sequence[WaysIn]) -> WaysIn:
    """Ways of several groups of holes as one, sorted by hole.

    Source: own geometry.
    """
    nothing = np.zeros(0)
    none = WaysIn(nothing.astype(np.int64), nothing, nothing, nothing, nothing)
    columns = [
        np.concatenate([getattr(part, name) for part in (none, *parts)])
        for name in ("hole", "entry_mm", "flange_mm", "u_mm", "v_mm")
    ]
    found = WaysIn(*columns)
    return found.at(np.argsort(found.hole, kind="stable"))


def find_standing(
    layers: Sequence[Layer], thickness_mm: Mapping[str, float]
) -> Standing:
    """Every leg and every bend without one, of all layers.

    Args:
        layers: what lies there [-].
        thickness_mm: thickness of each part by name [mm].
    Source: own geometry.
    """
    ends, inward, height, away, thickness, of_layer = [], [], [], [], [], []
    for order, layer in enumerate(layers):
        sides = dict(outline_sides(layer, BEND))
        is_left = _turns_left(layer)
        given = {leg.side: leg for leg in layer.legs}
        for number, ((u0, v0), (u1, v1)) in sides.items():
            run = np.array((u1 - u0, v1 - v0)) / max(np.hypot(u1 - u0, v1 - v0), 1e-12)
            left = np.array((-run[1], run[0]))
            leg = given.get(number)
            ends.append(((u0, v0), (u1, v1)))
            inward.append(left if is_left else -left)
            height.append(leg.height_mm if leg else np.inf)
            away.append(leg.stands == AWAY if leg else True)
            thickness.append(thickness_mm[layer.part])
            of_layer.append(order)
    lines = np.array(ends, dtype=float).reshape(-1, 2, 2)
    return Standing(
        lines,
        np.array(inward, dtype=float).reshape(-1, 2),
        np.array(height, dtype=float),
        np.array(away, dtype=bool),
        np.array(thickness, dtype=float),
        np.array(of_layer, dtype=np.int64),
        shapely.STRtree(_lines(lines)),
    )


def _lines(ends_mm: Column) -> NDArray[np.object_]:
    """Lines by their two ends, shape (lines, 2, 2) [mm]."""
    return np.asarray(shapely.linestrings(ends_mm), dtype=object).reshape(-1)


def points_at(x_mm: Column, y_mm: Column) -> NDArray[np.object_]:
    """Places as points, shape (holes,) [mm].

    Source: own geometry.
    """
    return np.asarray(shapely.points(x_mm, y_mm), dtype=object).reshape(-1)


def _turns_left(layer: Layer) -> bool:
    """Whether the corners go round with the sheet on their left."""
    u, v = np.array(layer.outline.corners_mm).T
    return bool(np.dot(u, np.roll(v, -1)) > np.dot(v, np.roll(u, -1)))


def walls(
    standing: Standing, x_mm: Column, y_mm: Column, within_mm: float, is_away: bool
) -> Walls:
    """The nearest wall to each hole on one side of the sheets.

    A leg's line is its outer face; from inside its own sheet it is nearer by its
    thickness.

    Args:
        standing: the legs [-].
        x_mm: places along u, shape (holes,) [mm].
        y_mm: places along v, shape (holes,) [mm].
        within_mm: how far walls are looked for [mm].
        is_away: the side away from the side seen, or toward it [-].
    Source: own geometry.
    """
    distance, whose = np.full(len(x_mm), np.inf), np.full(len(x_mm), -1)
    points = points_at(x_mm, y_mm)
    far_mm = within_mm + float(standing.thickness_mm.max(initial=0.0))
    hole, leg = standing.tree.query(points, predicate="dwithin", distance=far_mm)
    is_wall = np.isfinite(standing.height_mm) & (standing.is_away == is_away)
    hole, leg = hole[is_wall[leg]], leg[is_wall[leg]]
    away = np.column_stack((x_mm[hole], y_mm[hole])) - standing.ends_mm[leg, 0]
    run = standing.ends_mm[leg, 1] - standing.ends_mm[leg, 0]
    length = np.hypot(*run.T)
    along = (away * run).sum(axis=1) / np.maximum(length, 1e-12)
    across = (away * standing.inward[leg]).sum(axis=1)
    past = np.maximum(np.maximum(-along, along - length), 0.0)
    inside = np.maximum(across - standing.thickness_mm[leg], 0.0)
    gap = np.hypot(past, np.where(across >= 0.0, inside, -across))
    kept = gap <= within_mm
    hole, leg, gap = hole[kept], leg[kept], gap[kept]
    order = np.lexsort((leg, gap, hole))
    first = np.unique(hole[order], return_index=True)[1]
    at = order[first]
    distance[hole[at]], whose[hole[at]] = gap[at], leg[at]
    return Walls(distance, whose)


def covered(layers: Sequence[Layer]) -> shapely.Geometry:
    """All that lies there as one, its round cut-outs closed.

    Source: own geometry.
    """
    return shapely.union_all([layer_polygon(layer) for layer in layers])


def ways_in(
    layers: Sequence[Layer],
    sheet: shapely.Geometry,
    standing: Standing,
    x_mm: Column,
    y_mm: Column,
    sight: Sight,
) -> WaysIn:
    """Every straight way to each hole over an edge or through a wide cut-out.

    Args:
        layers: what lies there [-].
        sheet: all of it as one, as `covered` gives it [-].
        standing: its legs [-].
        x_mm: places along u, shape (holes,) [mm].
        y_mm: places along v, shape (holes,) [mm].
        sight: how far is looked [mm].
    Source: own geometry.
    """
    edges = _over_edges(sheet, x_mm, y_mm, sight)
    rims = _through_rims(layers, x_mm, y_mm, sight)
    ways = together((edges, rims))
    if not len(ways.hole) or not len(standing.height_mm):
        return ways
    starts = np.column_stack((x_mm[ways.hole], y_mm[ways.hole]))
    ends = np.column_stack((ways.u_mm, ways.v_mm))
    paths = _lines(np.stack((starts, ends), axis=1))
    way, leg = standing.tree.query(paths, predicate="dwithin", distance=TOUCHES_MM)
    flange_mm = np.zeros(len(paths))
    for is_away in (True, False):
        of_side = standing.is_away[leg] == is_away
        highest = np.zeros(len(paths))
        np.maximum.at(highest, way[of_side], standing.height_mm[leg[of_side]])
        flange_mm += highest
    found = WaysIn(ways.hole, ways.entry_mm, flange_mm, ways.u_mm, ways.v_mm)
    found = found.at(np.isfinite(flange_mm))
    lost = np.setdiff1d(ways.hole, found.hole)
    if not len(lost) or sight.yoke_mm >= sight.bar_mm:
        return found
    # All that is near is shut: a bar may still come in from further away.
    further = replace(sight, yoke_mm=sight.bar_mm)
    rest = ways_in(layers, sheet, standing, x_mm[lost], y_mm[lost], further)
    return together((found, rest.of_holes(lost)))


def _over_edges(
    sheet: shapely.Geometry, x_mm: Column, y_mm: Column, sight: Sight
) -> WaysIn:
    """Ways straight over the sides of what lies there."""
    sides = _sides(sheet, sight.cut_out_mm)
    tree = shapely.STRtree(_lines(sides))
    points = points_at(x_mm, y_mm)
    pairs = tree.query(points, predicate="dwithin", distance=sight.yoke_mm)
    far = np.flatnonzero(np.bincount(pairs[0], minlength=len(points)) == 0)
    nearest = tree.query_nearest(
        points[far], max_distance=sight.bar_mm, all_matches=False
    )
    hole = np.concatenate((pairs[0], far[nearest[0]]))
    side = np.concatenate((pairs[1], nearest[1]))
    first, run = sides[side, 0], sides[side, 1] - sides[side, 0]
    away = np.column_stack((x_mm[hole], y_mm[hole])) - first
    along = (away * run).sum(axis=1) / np.maximum((run**2).sum(axis=1), 1e-12)
    at = first + np.clip(along, 0.0, 1.0)[:, None] * run
    entry = np.hypot(x_mm[hole] - at[:, 0], y_mm[hole] - at[:, 1])
    # Past the end of a side another side is nearer, but for a corner that points in.
    least = np.full(len(x_mm), np.inf)
    np.minimum.at(least, hole, entry)
    kept = ((along >= 0.0) & (along <= 1.0)) | (entry <= least[hole] + TOLERANCE_MM)
    ways = WaysIn(hole, entry, np.zeros(len(hole)), at[:, 0], at[:, 1])
    return ways.at(kept)


def _sides(sheet: shapely.Geometry, cut_out_mm: float) -> Column:
    """Sides round a sheet and round openings wide enough, shape (sides, 2, 2)."""
    rings = []
    for part in shapely.get_parts(sheet):
        rings.append(part.exterior)
        for rim in part.interiors:
            if _width_mm(rim) >= cut_out_mm - TOLERANCE_MM:
                rings.append(rim)
    corners = [shapely.get_coordinates(ring) for ring in rings]
    pairs = [np.stack((one[:-1], one[1:]), axis=1) for one in corners]
    return np.concatenate(pairs)


def _width_mm(rim: shapely.Geometry) -> float:
    """The narrower width of an opening [mm]."""
    box = shapely.get_coordinates(shapely.oriented_envelope(rim))
    return float(min(np.hypot(*(box[1] - box[0])), np.hypot(*(box[2] - box[1]))))


def _through_rims(
    layers: Sequence[Layer], x_mm: Column, y_mm: Column, sight: Sight
) -> WaysIn:
    """Ways through round cut-outs that no other part covers there."""
    found = []
    round_cuts = [
        (cut.centre_mm, cut.radius_mm)
        for layer in layers
        for cut in layer.cut_outs
        if cut.centre_mm is not None and cut.radius_mm is not None
    ]
    wide = [one for one in round_cuts if 2 * one[1] >= sight.cut_out_mm - TOLERANCE_MM]
    if not wide:
        return together(())
    sheet = _with_cut_outs(layers)
    shapely.prepare(sheet)
    for (u, v), radius in wide:
        away = np.hypot(x_mm - u, y_mm - v)
        near = np.flatnonzero((away > radius) & (away - radius <= sight.bar_mm))
        turn = np.column_stack((x_mm[near] - u, y_mm[near] - v)) / away[near, None]
        rim = np.array((u, v)) + radius * turn
        inside = rim - INSIDE_RATIO * radius * turn
        kept = ~np.asarray(shapely.contains_xy(sheet, *inside.T))
        entry = away[near] - radius
        ways = WaysIn(near, entry, np.zeros(len(near)), rim[:, 0], rim[:, 1])
        found.append(ways.at(kept))
    return together(found)


def _with_cut_outs(layers: Sequence[Layer]) -> shapely.Geometry:
    """All that lies there as one, with its round cut-outs open."""
    sheets = []
    for layer in layers:
        sheet = layer_polygon(layer)
        for cut in layer.cut_outs:
            if cut.centre_mm is not None and cut.radius_mm is not None:
                # 256 corners: the rim is true to a ten-thousandth of its radius.
                disc = shapely.Point(cut.centre_mm).buffer(cut.radius_mm, quad_segs=64)
                sheet = shapely.difference(sheet, disc)
        sheets.append(sheet)
    return shapely.union_all(sheets)

"""Distance from many holes to the sides of an outline, in one pass."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from rivetwright.engines.rules import Column
from rivetwright.model.outline import Layer
from rivetwright.model.pattern import Point

Side = tuple[Point, Point]

# Holes times sides worked at once: what the processor keeps at hand.
BLOCK = 8192


def outline_sides(layer: Layer, kind: str = "") -> list[tuple[int, Side]]:
    """Sides of an outline, all or of one kind: their number and their two ends [mm].

    Source: own geometry.
    """
    corners = layer.outline.corners_mm
    ends = zip(corners, (*corners[1:], corners[0]), strict=True)
    sides = zip(layer.outline.sides, ends, strict=True)
    return [(k, pair) for k, (side, pair) in enumerate(sides) if kind in ("", side)]


def distance_to_sides_mm(sides: Sequence[Side], x_mm: Column, y_mm: Column) -> Column:
    """Distance from each hole to the nearest of some sides, shape (holes,) [mm].

    Infinite where there is no side.
    Source: own geometry.
    """
    least = np.full(len(x_mm), np.inf)
    ends = np.array(sides, dtype=float).reshape(-1, 2, 2)
    first, run = ends[:, 0], ends[:, 1] - ends[:, 0]
    square = (run**2).sum(axis=1)
    square[square == 0.0] = 1.0  # a side without length is its first end
    block = max(1, BLOCK // max(1, len(x_mm)))
    for k in range(0, len(ends), block):
        u, v = first[k : k + block].T[..., None]
        run_u, run_v = run[k : k + block].T[..., None]
        away_u, away_v = x_mm - u, y_mm - v
        along = (away_u * run_u + away_v * run_v) / square[k : k + block, None]
        np.clip(along, 0.0, 1.0, out=along)
        away_u -= along * run_u
        away_v -= along * run_v
        found = (away_u**2 + away_v**2).min(axis=0)
        np.minimum(least, found, out=least)
    return np.asarray(np.sqrt(least))


def distance_to_edges_mm(
    layer: Layer, x_mm: Column, y_mm: Column, kind: str = ""
) -> Column:
    """Distance to the nearest side or cut-out of one layer, shape (holes,) [mm].

    `kind` says which sides of the outline count; the rims of cut-outs always do.
    Source: own geometry.
    """
    sides = [pair for _, pair in outline_sides(layer, kind)]
    for cut in layer.cut_outs:
        rim = cut.corners_mm
        sides += zip(rim, (*rim[1:], *rim[:1]), strict=True)
    nearest = distance_to_sides_mm(sides, x_mm, y_mm)
    for cut in layer.cut_outs:
        if cut.centre_mm is not None and cut.radius_mm is not None:
            u, v = cut.centre_mm
            rim_mm = np.abs(np.hypot(x_mm - u, y_mm - v) - cut.radius_mm)
            nearest = np.fmin(nearest, rim_mm)
    return nearest

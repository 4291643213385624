"""Rows that follow an edge: at one distance from it, evenly along it."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely
from numpy.typing import NDArray

from rivetwright.engines.row_finder.lines import ARC_LEAST, EDGE, Line
from rivetwright.model.pattern import Places

# Further from an edge than this a row does not belong to it (judgement).
EDGE_MM_MOST = 40.0


def rows_along_edges(
    places_mm: Places, outlines_mm: Sequence[Places], tolerance_mm: float
) -> list[Line]:
    """Rows of five holes or more along the edges of outlines, straight or curved.

    Args:
        places_mm: places of holes that belong to no row yet, shape (holes, 2) [mm].
        outlines_mm: corners of closed outlines, each of shape (corners, 2) [mm].
        tolerance_mm: how far a place may be off [mm].

    Returns:
        Lines; a hole stands in one of them at most.
    """
    lines: list[Line] = []
    free = np.ones(len(places_mm), dtype=bool)
    points = np.asarray(shapely.points(places_mm)) if len(places_mm) else np.array([])
    for outline in outlines_mm:
        ring = shapely.LinearRing(outline)
        away = np.asarray(shapely.distance(ring, points))
        near = np.flatnonzero(free & (away <= EDGE_MM_MOST))
        near = near[np.argsort(away[near], kind="stable")]
        cuts = np.flatnonzero(np.diff(away[near]) > tolerance_mm) + 1
        for band in np.split(near, cuts):
            along = np.asarray(shapely.line_locate_point(ring, points[band]))
            order = np.argsort(along, kind="stable")
            for run in even_runs(along[order], 4 * tolerance_mm):
                holes = tuple(int(hole) for hole in band[order][run])
                free[list(holes)] = False
                lines.append(Line(EDGE, holes))
    return lines


def even_runs(along_mm: NDArray[np.float64], slack_mm: float) -> list[slice]:
    """Stretches of five places or more that follow one another evenly.

    Args:
        along_mm: rising places along a line, shape (holes,) [mm].
        slack_mm: how much two distances may differ [mm].

    Returns:
        The stretches, in order; none share a place.
    """
    gaps = np.diff(along_mm)
    runs: list[slice] = []
    first = 0
    while first + ARC_LEAST <= len(along_mm):
        last = first + 1
        while last < len(gaps) + 1 and abs(gaps[last - 1] - gaps[first]) <= slack_mm:
            last += 1
        if last - first >= ARC_LEAST and gaps[first] > slack_mm:
            runs.append(slice(first, last))
            first = last
        else:
            first += 1
    return runs


def distance_to_edge_mm(
    places_mm: Places, outlines_mm: Sequence[Places], tolerance_mm: float
) -> float | None:
    """The one distance from a row to the nearest edge, where there is one.

    Args:
        places_mm: places of the row's holes, shape (holes, 2) [mm].
        outlines_mm: corners of closed outlines, each of shape (corners, 2) [mm].
        tolerance_mm: how much it may differ from hole to hole [mm].

    Returns:
        The distance [mm]; None where the row runs along no edge within 40 mm.
    """
    if not outlines_mm:
        return None
    rings = shapely.MultiLineString([shapely.LinearRing(one) for one in outlines_mm])
    shapely.prepare(rings)
    away = np.asarray(shapely.distance(rings, shapely.points(places_mm)))
    is_one = np.ptp(away) <= 2 * tolerance_mm and away.max() <= EDGE_MM_MOST
    return round(float(away.mean()), 4) if is_one else None

"""Lines and curves joined end to end into closed outlines."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable, Sequence

import numpy as np
import shapely

from rivetwright.model.pattern import Point

Run = Sequence[Point]

# Ends this near are one corner; a draughtsman's snap leaves far less.
JOIN_MM = 0.05
# A curve becomes corners no further from it than this.
CHORD_MM = 0.01
ROUND_CORNERS_LEAST = 12
ROUND_OFF_MM = 0.02


def joined_runs(runs: Iterable[Run]) -> tuple[list[list[Point]], list[list[Point]]]:
    """Join runs of places at their ends.

    Args:
        runs: lines of one layer, each a list of places [mm].

    Returns:
        Closed loops without the repeated corner, and lines that stay open.
    """
    lines = [list(run) for run in runs]
    at: dict[Point, list[int]] = defaultdict(list)
    for k, line in enumerate(lines):
        for end in (line[0], line[-1]):
            at[_snapped(end)].append(k)
    used = [False] * len(lines)
    loops: list[list[Point]] = []
    open_lines: list[list[Point]] = []
    for k, line in enumerate(lines):
        if used[k]:
            continue
        used[k] = True
        chain = line
        for _ in range(2):
            chain = chain[::-1]
            while not _is_closed(chain):
                following = [m for m in _near(at, chain[-1]) if not used[m]]
                if not following:
                    break
                used[following[0]] = True
                after = lines[following[0]]
                if math.dist(after[0], chain[-1]) > math.dist(after[-1], chain[-1]):
                    after = after[::-1]
                chain = [*chain, *after[1:]]
        if _is_closed(chain):
            loops.append(chain[:-1])
        else:
            open_lines.append(chain)
    return loops, open_lines


def _snapped(place: Point) -> Point:
    """The cell of a grid that a place lies in."""
    return round(place[0] / JOIN_MM), round(place[1] / JOIN_MM)


def _near(at: dict[Point, list[int]], place: Point) -> list[int]:
    """Lines that end near a place."""
    u, v = _snapped(place)
    cells = ((u + du, v + dv) for du in (0, -1, 1) for dv in (0, -1, 1))
    return [k for cell in cells for k in at.get(cell, ())]


def _is_closed(chain: Run) -> bool:
    """Whether a line ends where it began."""
    return len(chain) > 3 and math.dist(chain[0], chain[-1]) <= JOIN_MM


def round_of(corners: Run) -> tuple[Point, float] | None:
    """Centre and diameter of a circle that was drawn with corners, or None.

    Args:
        corners: corners of a closed outline [mm].

    Returns:
        Centre and diameter [mm].
    """
    if len(corners) < ROUND_CORNERS_LEAST:
        return None
    places = np.asarray(corners)
    centre = (places.min(axis=0) + places.max(axis=0)) / 2
    # Corners may be unevenly spaced, so the circle is fitted. Curves that were made
    # to corners stand out a little between their ends, so the least radius counts.
    sides = np.column_stack((2 * (places - centre), np.ones(len(places))))
    found, *_ = np.linalg.lstsq(sides, ((places - centre) ** 2).sum(axis=1))
    centre = centre + found[:2]
    radii = np.hypot(*(places - centre).T)
    if np.ptp(radii) > 2 * ROUND_OFF_MM:
        return None
    steps = np.hypot(*(places - np.roll(places, 1, axis=0)).T)
    if steps.max() > radii.mean():
        return None
    return (round(float(centre[0]), 4), round(float(centre[1]), 4)), round(
        float(2 * radii.min()), 4
    )


def tidy_corners(corners: Run) -> tuple[Point, ...] | None:
    """An outline without needless corners; None where it crosses itself or is flat."""
    ring = shapely.Polygon(corners).simplify(CHORD_MM)
    if not isinstance(ring, shapely.Polygon) or not ring.is_valid or ring.area < 1e-3:
        return None
    return tuple(
        (round(u, 4) + 0.0, round(v, 4) + 0.0) for u, v in ring.exterior.coords[:-1]
    )

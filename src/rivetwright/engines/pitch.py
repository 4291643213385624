"""Pitch over all neighbours on the face, and the distance between rows."""

from __future__ import annotations

import numpy as np
import shapely
from numpy.typing import NDArray
from scipy.spatial import cKDTree

from rivetwright.engines.given import OWN_GEOMETRY
from rivetwright.engines.layers import holes_by_face
from rivetwright.engines.rules import GEOMETRY, HOLE, Column, Witness, formula, rule
from rivetwright.engines.worked import Worked
from rivetwright.model.plan import SKETCHED
from rivetwright.units.tolerance import TOLERANCE_MM

Ints = NDArray[np.int64]

# Rows closer to parallel than this count as neighbours side by side (judgement).
PARALLEL_SINE_MAX = 0.26


def _nearest_in(tree_holes: Ints, asked: Ints, place: Column) -> tuple[Column, Ints]:
    """Nearest other hole out of `tree_holes` for each asked hole: distance, which."""
    tree = cKDTree(place[tree_holes])
    count = min(2, len(tree_holes))
    _, found = tree.query(place[asked], k=[*range(1, count + 1)])
    neighbour = tree_holes[found]
    # A hole finds itself first, or second where another lies on the same spot.
    other = neighbour[:, 0].copy()
    if count == 2:
        is_self = other == asked
        other[is_self] = neighbour[is_self, 1]
    distance = np.hypot(*(place[other] - place[asked]).T)
    distance[other == asked] = np.inf
    return distance, other


def _pitch_of_face(here: Ints, place: Column, diameter: Column) -> tuple[Column, Ints]:
    """Governing neighbour of every hole of one face: distance and which.

    The neighbour governs whose distance is smallest against the larger of the
    two diameters, so a large rivet further off may govern a small one.
    """
    best = np.full(len(here), np.inf)
    distance_mm = np.full(len(here), np.nan)
    neighbour = np.full(len(here), -1, dtype=np.int64)
    sizes = diameter[here]
    for size in np.unique(sizes[~np.isnan(sizes)]):
        of_size = here[sizes == size]
        distance, other = _nearest_in(of_size, here, place)
        ratio = distance / np.fmax(size, sizes)
        closer = ratio < best
        best[closer] = ratio[closer]
        distance_mm[closer] = distance[closer]
        neighbour[closer] = other[closer]
    return distance_mm, neighbour


def _governing_neighbour(worked: Worked, hole: int) -> Witness | None:
    """The neighbour that governs the pitch of a hole."""
    other = int(worked["pitch_neighbour"][hole])
    if other < 0:
        return None
    return Witness(
        "neighbour",
        {
            "hole": worked.holes.name(other),
            "diameter_mm": float(worked.at("shank_diameter_mm", other)),
            "distance_mm": float(worked["pitch_mm"][hole]),
        },
    )


@rule(
    "pitch_mm",
    inputs=("shank_diameter_mm", "place_u_mm", "place_v_mm"),
    formula="distance to the hole on the face nearest against the larger diameter",
    unit="mm",
    source=OWN_GEOMETRY,
    level=HOLE,
    kind=GEOMETRY,
    witness=_governing_neighbour,
    also=("pitch_neighbour",),
)
def pitch_mm(
    worked: Worked, diameter_mm: Column, u_mm: Column, v_mm: Column
) -> tuple[Column, Column]:
    """Pitch to the governing neighbour.

    Source: own geometry over all holes of the face. NaN where no place is known,
    where it is only sketched, or where the hole is alone.
    """
    holes = worked.holes
    place = np.column_stack((u_mm, v_mm))
    distance = np.full(len(holes), np.nan)
    neighbour = np.full(len(holes), -1, dtype=np.int64)
    for _, _, on_face in holes_by_face(worked.plan, holes):
        here = on_face[~holes.is_sketched[on_face]]
        if len(here) > 1:
            found = _pitch_of_face(here, place, diameter_mm)
            distance[here], neighbour[here] = found
    return distance, neighbour


@rule(
    "pitch_diameter_mm",
    inputs=("shank_diameter_mm", "pitch_mm"),
    formula="larger diameter of the hole and its governing neighbour",
    unit="mm",
    source=OWN_GEOMETRY,
    level=HOLE,
    kind=GEOMETRY,
    witness=_governing_neighbour,
)
def pitch_diameter_mm(worked: Worked, diameter_mm: Column, _: Column) -> Column:
    """Diameter that the pitch is measured against.

    Source: own reading: the larger of the two rivets.
    """
    other = worked["pitch_neighbour"]
    both = np.fmax(diameter_mm, diameter_mm[other])
    return np.where(other >= 0, both, np.nan)


formula(
    "pitch_ratio",
    "Pitch in rivet diameters",
    "pitch_mm / pitch_diameter_mm",
    unit="D",
    source=OWN_GEOMETRY,
    level=HOLE,
)


def _row_lines(
    worked: Worked, on_face: Ints, place: Column
) -> list[tuple[int, shapely.LineString]]:
    """Rows of a face as lines from hole to hole; single holes and rings left out."""
    lines = []
    for row in np.unique(worked.holes.row[on_face]):
        if worked.plan.rows[row].places == SKETCHED:
            continue
        spots = place[slice(*worked.holes.row_start[row : row + 2])]
        spots = spots[~np.isnan(spots[:, 0])]
        if len(spots) > 1 and np.hypot(*(spots[-1] - spots[0])) > TOLERANCE_MM:
            lines.append((int(row), shapely.LineString(spots)))
    return lines


def _side_by_side_mm(first: shapely.LineString, second: shapely.LineString) -> float:
    """Distance across between two nearly parallel rows, else infinity.

    Rows that follow one another along the same line are not side by side.
    """
    a = np.asarray(first.coords)
    b = np.asarray(second.coords)
    along = (a[-1] - a[0]) / np.hypot(*(a[-1] - a[0]))
    other = (b[-1] - b[0]) / np.hypot(*(b[-1] - b[0]))
    if abs(along[0] * other[1] - along[1] * other[0]) > PARALLEL_SINE_MAX:
        return np.inf
    spans = [np.sort((line @ along)[[0, -1]]) for line in (a, b)]
    if min(s[1] for s in spans) <= max(s[0] for s in spans):
        return np.inf
    return float(first.distance(second))


def _rows_of_face(
    lines: list[tuple[int, shapely.LineString]], reach_mm: float
) -> list[tuple[int, int, float]]:
    """Pairs of neighbouring rows side by side: row, row, distance [mm]."""
    shapes = [line for _, line in lines]
    if len(lines) < 2:
        return []
    pairs = shapely.STRtree(shapes).query(shapes, "dwithin", distance=reach_mm)
    found = []
    for one, two in pairs.T:
        across = _side_by_side_mm(shapes[one], shapes[two]) if one != two else np.inf
        if np.isfinite(across):
            found.append((lines[one][0], lines[two][0], across))
    return found


def _neighbour_row(worked: Worked, hole: int) -> Witness | None:
    """The row that lies nearest beside the row of a hole."""
    other = int(worked["row_beside"][hole])
    if other < 0:
        return None
    fields = {"row": worked.plan.rows[other].name}
    return Witness("row", fields)


@rule(
    "row_distance_mm",
    inputs=("shank_diameter_mm", "place_u_mm", "place_v_mm"),
    formula="distance across to the nearest parallel row of the face",
    unit="mm",
    source=OWN_GEOMETRY,
    level=HOLE,
    kind=GEOMETRY,
    witness=_neighbour_row,
    also=("row_beside",),
)
def row_distance_mm(
    worked: Worked, d_mm: Column, u_mm: Column, v_mm: Column
) -> tuple[Column, Column]:
    """Row distance.

    Source: own geometry. NaN where no parallel row lies within 8 D.
    """
    holes = worked.holes
    count = len(worked.plan.rows)
    least = np.full(count, np.inf)
    beside = np.full(count, -1, dtype=np.int64)
    reach_mm = 8 * float(np.nanmax(d_mm, initial=0.0))
    place = np.column_stack((u_mm, v_mm))
    for _, _, on_face in holes_by_face(worked.plan, holes):
        lines = _row_lines(worked, on_face, place)
        for one, two, across in _rows_of_face(lines, reach_mm):
            if across < least[one]:
                least[one], beside[one] = across, two
    spread = np.where(np.isinf(least), np.nan, least)
    return spread[holes.row], beside[holes.row]


formula(
    "row_distance_ratio",
    "Row distance in rivet diameters",
    "row_distance_mm / shank_diameter_mm",
    unit="D",
    source=OWN_GEOMETRY,
    level=HOLE,
)

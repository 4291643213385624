"""Pitch over all neighbours on the face, and the distance between rows."""

from __future__ import annotations

from dataclasses import dataclass

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

# A hole and the six that can lie equally near it.
CANDIDATES = 7
# Rows closer to parallel than this count as neighbours side by side (judgement).
PARALLEL_SINE_MAX = 0.26


def _nearest_in(of_size: Ints, asked: Ints, place: Column) -> tuple[Column, Ints]:
    """Nearest other holes out of `of_size` for each asked hole: distances, which.

    Both of shape (asked, candidates); the hole itself is infinitely far.
    """
    count = min(CANDIDATES, len(of_size))
    tree = cKDTree(place[of_size])
    found = tree.query(place[asked], k=[*range(1, count + 1)])
    distance, other = np.asarray(found[0]), of_size[found[1]]
    distance[other == asked[:, None]] = np.inf
    return distance, other


def _pitch_of_face(
    here: Ints, place: Column, diameter: Column, order: Ints
) -> tuple[Column, Ints]:
    """Governing neighbour of every hole of one face: distance and which.

    The neighbour governs whose distance is smallest against the larger of the
    two diameters, so a large rivet further off may govern a small one. Of equal
    ones the first in `order` governs.
    """
    sizes = diameter[here]
    distances, others, ratios = [], [], []
    for size in np.unique(sizes[~np.isnan(sizes)]):
        distance, other = _nearest_in(here[sizes == size], here, place)
        distances.append(distance)
        others.append(other)
        ratios.append(distance / np.fmax(size, sizes)[:, None])
    if not ratios:
        return np.full(len(here), np.nan), np.full(len(here), -1, dtype=np.int64)
    distance_mm, neighbour = np.hstack(distances), np.hstack(others)
    ratio = np.hstack(ratios)
    tied = ratio <= ratio.min(axis=1, keepdims=True) + TOLERANCE_MM
    first = np.where(tied, order[neighbour], np.iinfo(np.int64).max).argmin(axis=1)
    at = np.arange(len(here)), first
    alone = np.isinf(distance_mm[at])
    return (
        np.where(alone, np.nan, distance_mm[at]),
        np.where(alone, -1, neighbour[at]),
    )


def _rank_by_name(worked: Worked) -> Ints:
    """Place of every row when rows are sorted by name, shape (rows,)."""
    names = np.array([row.name for row in worked.plan.rows], dtype=str)
    return np.argsort(np.argsort(names, kind="stable"), kind="stable")


def _order_by_name(worked: Worked) -> Ints:
    """Place of every hole when rows are sorted by name, shape (holes,)."""
    rank = _rank_by_name(worked)
    most = int(worked.holes.number.max(initial=0)) + 1
    row, number = worked.holes.row, worked.holes.number
    return np.asarray(rank[row] * most + number, dtype=np.int64)


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
    order = _order_by_name(worked)
    for _, _, on_face in holes_by_face(worked.plan, holes):
        here = on_face[~holes.is_sketched[on_face]]
        if len(here) > 1:
            found = _pitch_of_face(here, place, diameter_mm, order)
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
    "pitch_min_mm",
    "Least pitch, as a length",
    "pitch_min_ratio * pitch_diameter_mm",
    unit="mm",
    source=OWN_GEOMETRY,
    level=HOLE,
)
formula(
    "row_min_mm",
    "Least row distance, as a length",
    "row_min_ratio * shank_diameter_mm",
    unit="mm",
    source=OWN_GEOMETRY,
)
formula(
    "pitch_ratio",
    "Pitch in rivet diameters",
    "pitch_mm / pitch_diameter_mm",
    unit="D",
    source=OWN_GEOMETRY,
    level=HOLE,
)


@dataclass(frozen=True)
class _RowLine:
    """A row as a line from hole to hole, and its two outermost holes."""

    row: int
    line: shapely.LineString
    ends: Column


def _row_lines(worked: Worked, on_face: Ints, place: Column) -> list[_RowLine]:
    """Rows of a face in order of name; single holes and sketched rows left out."""
    rank, lines = _rank_by_name(worked), []
    for row in sorted(np.unique(worked.holes.row[on_face]), key=lambda k: rank[k]):
        if worked.plan.rows[row].places == SKETCHED:
            continue
        spots = place[slice(*worked.holes.row_start[row : row + 2])]
        spots = spots[~np.isnan(spots[:, 0])]
        ends = _outermost(spots)
        if np.hypot(*(ends[1] - ends[0])) > TOLERANCE_MM:
            lines.append(_RowLine(int(row), shapely.LineString(spots), ends))
    return lines


def _outermost(spots: Column) -> Column:
    """The two ends of a row, wherever in its numbers they stand, shape (2, 2)."""
    one = spots[np.hypot(*(spots - spots[0]).T).argmax()]
    two = spots[np.hypot(*(spots - one).T).argmax()]
    return np.stack((one, two))


def _side_by_side(one: Column, two: Column) -> NDArray[np.bool_]:
    """Whether rows run nearly parallel and beside each other, pair by pair.

    Ends of shape (pairs, 2, 2). Rows that follow one another are not side by side;
    the pitch between their holes judges them.
    """
    along, other = (
        (ends[:, 1] - ends[:, 0]) / np.hypot(*(ends[:, 1] - ends[:, 0]).T)[:, None]
        for ends in (one, two)
    )
    sine = np.abs(along[:, 0] * other[:, 1] - along[:, 1] * other[:, 0])
    spans = [np.einsum("pek,pk->pe", ends, along) for ends in (one, two)]
    last = np.minimum(*(span.max(axis=1) for span in spans))
    first = np.maximum(*(span.min(axis=1) for span in spans))
    return np.asarray((sine <= PARALLEL_SINE_MAX) & (last > first + TOLERANCE_MM))


def _rows_of_face(
    lines: list[_RowLine], reach_mm: float
) -> list[tuple[int, int, float]]:
    """Pairs of neighbouring rows side by side: row, row, distance [mm]."""
    if len(lines) < 2:
        return []
    shapes = np.array([line.line for line in lines], dtype=object)
    ends = np.stack([line.ends for line in lines])
    one, two = shapely.STRtree(shapes).query(shapes, "dwithin", distance=reach_mm)
    once = one < two
    one, two = one[once], two[once]
    across = np.asarray(shapely.distance(shapes[one], shapes[two]))
    # Rows that share a line or cross are judged by pitch too.
    beside = _side_by_side(ends[one], ends[two]) & (across > TOLERANCE_MM)
    pairs = zip(one[beside], two[beside], across[beside].tolist(), strict=True)
    found = [(lines[k].row, lines[m].row, far) for k, m, far in pairs]
    return [*found, *((two, one, far) for one, two, far in found)]


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
    rank = _rank_by_name(worked)
    for _, _, on_face in holes_by_face(worked.plan, holes):
        lines = _row_lines(worked, on_face, place)
        found = _rows_of_face(lines, reach_mm)
        # Of rows equally near the first by name, whatever the order of the file.
        for one, two, across in sorted(found, key=lambda pair: rank[pair[1]]):
            if across < least[one] - TOLERANCE_MM:
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

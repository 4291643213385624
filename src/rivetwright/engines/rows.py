"""Distance between rows that run side by side on a face."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from rivetwright.engines.given import OWN_GEOMETRY
from rivetwright.engines.layers import holes_by_face
from rivetwright.engines.pitch import rank_by_name
from rivetwright.engines.rules import GEOMETRY, HOLE, Column, Witness, formula, rule
from rivetwright.engines.worked import Worked
from rivetwright.model.plan import SKETCHED
from rivetwright.units.tolerance import TOLERANCE_MM

Ints = NDArray[np.int64]

# Rows closer to parallel than this count as neighbours side by side (judgement).
PARALLEL_SINE_MAX = 0.26

formula(
    "row_min_mm",
    "Least row distance, as a length",
    "row_min_ratio * shank_diameter_mm",
    unit="mm",
    source=OWN_GEOMETRY,
)


@dataclass(frozen=True)
class _RowLine:
    """A row as a line from hole to hole, and its two outermost holes."""

    row: int
    line: shapely.LineString
    ends: Column


def _row_lines(
    worked: Worked, on_face: Ints, place: Column, rank: Ints
) -> list[_RowLine]:
    """Rows of a face in order of name; single holes and sketched rows left out."""
    lines = []
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
    rank = rank_by_name(worked)
    for _, _, on_face in holes_by_face(worked.plan, holes):
        lines = _row_lines(worked, on_face, place, rank)
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

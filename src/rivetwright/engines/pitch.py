"""Pitch: the distance to the governing neighbour, over all holes of the face."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.spatial import cKDTree

from rivetwright.engines.given import OWN_GEOMETRY
from rivetwright.engines.layers import holes_by_face
from rivetwright.engines.rules import GEOMETRY, HOLE, Column, Witness, formula, rule
from rivetwright.engines.stacks import NO
from rivetwright.engines.worked import Worked
from rivetwright.units.tolerance import TOLERANCE_MM

Ints = NDArray[np.int64]

# A hole and the six that can lie equally near it.
CANDIDATES = 7


@dataclass(frozen=True)
class _OfSize:
    """The holes of one diameter on a face, ready to be searched."""

    diameter_mm: float
    holes: Ints
    tree: cKDTree

    def nearest(
        self, asked: Ints, place: Column, within_mm: float
    ) -> tuple[Column, Ints]:
        """Nearest other holes for each asked one: distances, which.

        Both of shape (asked, candidates); the hole itself, and what lies further
        off than `within_mm`, is infinitely far.
        """
        count = min(CANDIDATES, len(self.holes))
        found = self.tree.query(
            place[asked], [*range(1, count + 1)], distance_upper_bound=within_mm
        )
        # One more than there are holes: the tree's word for none.
        other = np.append(self.holes, NO)[found[1]]
        distance = np.asarray(found[0])
        distance[other == asked[:, None]] = np.inf
        return distance, other


def _governing(
    asked: Ints, mine_mm: float, groups: list[_OfSize], place: Column, order: Ints
) -> tuple[Column, Ints]:
    """Governing neighbour of holes of one diameter: distance and which.

    The neighbour governs whose distance is smallest against the larger of the
    two diameters, so a large rivet further off may govern a small one. Of equal
    ones the first in `order` governs.
    """
    distances, others, ratios = [], [], []
    least = np.full(len(asked), np.inf)
    # The own size first: mostly nearest, it bounds the search among the others.
    for group in sorted(groups, key=lambda group: group.diameter_mm != mine_mm):
        larger_mm = float(np.fmax(group.diameter_mm, mine_mm))
        within_mm = float(least.max()) * larger_mm + TOLERANCE_MM
        distance, other = group.nearest(asked, place, within_mm)
        distances.append(distance)
        others.append(other)
        ratios.append(distance / larger_mm)
        least = np.minimum(least, ratios[-1].min(axis=1))
    distance_mm, neighbour = np.hstack(distances), np.hstack(others)
    tied = np.hstack(ratios) <= least[:, None] + TOLERANCE_MM
    first = np.where(tied, order[neighbour], np.iinfo(np.int64).max).argmin(axis=1)
    at = np.arange(len(asked)), first
    alone = np.isinf(least)
    return (
        np.where(alone, np.nan, distance_mm[at]),
        np.where(alone, NO, neighbour[at]),
    )


def _pitch_of_face(
    here: Ints, place: Column, diameter: Column, order: Ints
) -> tuple[Column, Ints]:
    """Governing neighbour of every hole of one face: distance and which."""
    sizes = diameter[here]
    known = np.unique(sizes[~np.isnan(sizes)])
    groups = []
    for size in known.tolist():
        of_size = here[sizes == size]
        groups.append(_OfSize(size, of_size, cKDTree(place[of_size])))
    distance_mm = np.full(len(here), np.nan)
    neighbour = np.full(len(here), NO, dtype=np.int64)
    for size in [*known.tolist(), np.nan]:
        # A shank not entered has no size; its neighbours judge the pitch.
        asked = np.isnan(sizes) if np.isnan(size) else sizes == size
        if groups and asked.any():
            found = _governing(here[asked], size, groups, place, order)
            distance_mm[asked], neighbour[asked] = found
    return distance_mm, neighbour


def rank_by_name(worked: Worked) -> Ints:
    """Place of every row when rows are sorted by name, shape (rows,).

    Source: own order, so that the order of the file does not matter.
    """
    names = np.array([row.name for row in worked.plan.rows], dtype=str)
    return np.argsort(np.argsort(names, kind="stable"), kind="stable")


def _order_by_name(worked: Worked) -> Ints:
    """Place of every hole when rows are sorted by name, shape (holes,)."""
    rank = rank_by_name(worked)
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
    "pitch_ratio",
    "Pitch in rivet diameters",
    "pitch_mm / pitch_diameter_mm",
    unit="D",
    source=OWN_GEOMETRY,
    level=HOLE,
)

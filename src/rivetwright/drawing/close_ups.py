"""Which parts of a face are too crowded at a scale, and are drawn larger as well."""

from __future__ import annotations

import math
from collections.abc import Iterable
from itertools import pairwise

import numpy as np
import shapely
from scipy.sparse.csgraph import connected_components
from scipy.spatial import cKDTree

from rivetwright.drawing.view import (
    Box,
    Places,
    Window,
    face_box_mm,
    find_face,
    fitting_scale,
    holes_on_face,
    larger_scale,
)
from rivetwright.engines.plan import WorkedPlan

# Holes nearer together than this as drawn hide each other's signs and names.
CRAMPED_DRAWN_MM = 3.6
ROOMY_DRAWN_MM = 6.0
LINK_DRAWN_MM = 7.0
SAME_PLACE_MM = 0.05
ROOM_MM = 14.0
ROUND_HOLES_MM = 45.0
MOST_OF_FACE = 0.6
NUMERALS = ["I", "II", "III", "IV", "V", "VI", "VII", "VIII", "IX", "X", "XI", "XII"]
# Larger than full size is of no use beside the part.
LARGEST_SCALE = 1.0
# A close-up must be this much larger than the map beside it.
WORTH_DRAWING = 1.6
NEXT_SCALE = 1.001
# A face may be broken this far, in shares, from where equal parts would meet.
BREAK_REACH = 0.02


def close_ups(
    worked_plan: WorkedPlan,
    face_name: str,
    scale: float,
    room_mm: tuple[float, float],
) -> list[tuple[Window, float]]:
    """Windows of a face to draw larger beside its map at a scale, and their scale.

    `room_mm` is the width and height on paper that a window may take. A crowded
    part too large for it is cut into as many windows as it needs.

    Raises:
        NotFound: the plan has no such face.
    """
    k, face = find_face(worked_plan.worked.plan, face_name)
    columns = worked_plan.worked.holes
    holes = holes_on_face(columns, k)
    places = np.column_stack((columns.x_mm[holes], columns.y_mm[holes]))
    limits = face_box_mm(face, places)
    found: list[tuple[Box, float]] = []
    for cluster, apart in _crowds(places, scale):
        roomy = max(LARGEST_SCALE, larger_scale(apart / ROOMY_DRAWN_MM))
        around = _around(cluster, limits, ROOM_MM)
        wanted = _filling(around, roomy, room_mm)
        if wanted * WORTH_DRAWING <= scale:
            for box in _tiles(around, wanted, room_mm):
                found.append((box, wanted))
    named = zip(_names(len(found)), found, strict=True)
    return [(Window(name, box), wanted) for name, (box, wanted) in named]


def part_with_holes(worked_plan: WorkedPlan, face_name: str) -> Window | None:
    """The part of a face where its holes lie; None where it is most of the face.

    Raises:
        NotFound: the plan has no such face.
    """
    k, face = find_face(worked_plan.worked.plan, face_name)
    columns = worked_plan.worked.holes
    holes = holes_on_face(columns, k)
    if not len(holes):
        return None
    places = np.column_stack((columns.x_mm[holes], columns.y_mm[holes]))
    whole = face_box_mm(face, places)
    box = _around(places, whole, ROUND_HOLES_MM)
    if _area(box) > MOST_OF_FACE * _area(whole):
        return None
    return Window("", box)


def parts_of_face(
    worked_plan: WorkedPlan, face_name: str, window: Window | None, count: int
) -> list[Window]:
    """A face, or its part with holes, in so many parts along its longer side.

    It is broken between two holes, near where equal parts would meet.

    Raises:
        NotFound: the plan has no such face.
    """
    k, face = find_face(worked_plan.worked.plan, face_name)
    columns = worked_plan.worked.holes
    holes = holes_on_face(columns, k)
    places = np.column_stack((columns.x_mm[holes], columns.y_mm[holes]))
    box = window.box_mm if window else face_box_mm(face, places)
    axis = 0 if box[2] - box[0] >= box[3] - box[1] else 1
    low, high = box[axis], box[axis + 2]
    share = (high - low) / count
    cuts = [
        _between_holes(places[:, axis], low + n * share, BREAK_REACH * share)
        for n in range(1, count)
    ]
    windows = []
    for n, (start, stop) in enumerate(pairwise([low, *cuts, high]), start=1):
        ends = list(box)
        ends[axis], ends[axis + 2] = start, stop
        u0, v0, u1, v1 = ends
        windows.append(Window("", (u0, v0, u1, v1), n, count))
    return windows


def _between_holes(along: Places, middle: float, reach: float) -> float:
    """The place midway between the holes about a wanted one, or as near as allowed."""
    low, high = along[along <= middle], along[along > middle]
    before = float(low.max()) if len(low) else middle - reach
    after = float(high.min()) if len(high) else middle + reach
    midway = (before + after) / 2
    return min(max(midway, middle - reach), middle + reach)


def _area(box: Box) -> float:
    """Area of a box."""
    u0, v0, u1, v1 = box
    return (u1 - u0) * (v1 - v0)


def _crowds(places: Places, scale: float) -> list[tuple[Places, float]]:
    """Groups of holes that are cramped at a scale, and how far apart they lie."""
    if len(places) < 2:
        return []
    tree = cKDTree(places)
    nearest = np.asarray(tree.query(places, k=2)[0])[:, 1]
    cramped = (nearest > SAME_PLACE_MM) & (nearest < CRAMPED_DRAWN_MM * scale)
    chosen = places[cramped]
    if not len(chosen):
        return []
    reach = LINK_DRAWN_MM * scale
    links = cKDTree(chosen).sparse_distance_matrix(cKDTree(chosen), reach)
    count, group = connected_components(links, directed=False)
    groups = [
        (chosen[group == g], float(nearest[cramped][group == g].min()))
        for g in range(count)
    ]
    return sorted(groups, key=lambda one: tuple(one[0].min(axis=0).tolist()))


def _around(places: Places, limits: Box, room_mm: float) -> Box:
    """A box round some holes with room for what lies beside them."""
    u0, v0 = (places.min(axis=0) - room_mm).tolist()
    u1, v1 = (places.max(axis=0) + room_mm).tolist()
    box = shapely.intersection(shapely.box(u0, v0, u1, v1), shapely.box(*limits))
    low_u, low_v, high_u, high_v = (float(value) for value in box.bounds)
    return low_u, low_v, high_u, high_v


def _filling(box: Box, roomy: float, room_mm: tuple[float, float]) -> float:
    """The largest usual scale that needs no more windows than a roomy one."""
    fewest = len(list(_tiles(box, roomy, room_mm)))
    scale = LARGEST_SCALE
    while scale < roomy and len(list(_tiles(box, scale, room_mm))) > fewest:
        scale = fitting_scale(scale * NEXT_SCALE)
    return min(scale, roomy)


def _tiles(box: Box, scale: float, room_mm: tuple[float, float]) -> Iterable[Box]:
    """A box in as many equal parts as the paper asks for at a scale."""
    u0, v0, u1, v1 = box
    across = _parts(u1 - u0, room_mm[0] * scale)
    down = _parts(v1 - v0, room_mm[1] * scale)
    for row in range(down):
        for column in range(across):
            yield (
                u0 + (u1 - u0) * column / across,
                v0 + (v1 - v0) * row / down,
                u0 + (u1 - u0) * (column + 1) / across,
                v0 + (v1 - v0) * (row + 1) / down,
            )


def _parts(length: float, room: float) -> int:
    """How many parts a length needs so that each has room."""
    return max(1, math.ceil(length / room - 1e-9))


def _names(count: int) -> list[str]:
    """Numerals while they last, then plain numbers."""
    if count <= len(NUMERALS):
        return NUMERALS[:count]
    return [str(k + 1) for k in range(count)]

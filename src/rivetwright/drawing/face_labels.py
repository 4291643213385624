"""Names of rows and parts on a hole map, where they can be read."""

from __future__ import annotations

import math

import numpy as np
import shapely
from numpy.typing import NDArray
from scipy.spatial import cKDTree
from shapely.geometry.base import BaseGeometry

from rivetwright.drawing.face_signs import FaceSigns
from rivetwright.drawing.frame import Frame
from rivetwright.drawing.labels import (
    Label,
    Room,
    place_apart,
    place_beside,
    place_inside,
)
from rivetwright.drawing.outlines import DrawnLayer
from rivetwright.drawing.svg import Element, add, path_through
from rivetwright.drawing.view import Box, Places
from rivetwright.engines.plan import WorkedPlan
from rivetwright.model.pattern import Point

Ints = NDArray[np.int64]

ROW_MM, NUMBER_MM, PART_MM = 3.1, 2.6, 3.4
CLEAR_MM = 0.3
TARGETS_A_SIDE = 19
HALO_MM = 0.9


def add_labels(
    world: Element,
    worked_plan: WorkedPlan,
    holes: Ints,
    signs: FaceSigns,
    layers: list[DrawnLayer],
    frame: Frame,
    taken: list[Box],
) -> None:
    """Name every row at its ends and every part inside its outline."""
    reach = signs.reach[:, None]
    boxes = np.hstack((signs.places - reach, signs.places + reach))
    room = Room(boxes, frame.inner, list(taken))
    group = add(
        world,
        "g",
        class_="labels",
        stroke_width=HALO_MM * frame.scale,
        text_anchor="middle",
    )
    _add_row_names(group, worked_plan, holes, signs, room, frame.scale)
    _add_part_names(group, layers, signs, room, frame.scale)


def _add_row_names(
    group: Element,
    worked_plan: WorkedPlan,
    holes: Ints,
    signs: FaceSigns,
    room: Room,
    scale: float,
) -> None:
    """Name and first number at a row's first end, last number at its last."""
    columns = worked_plan.worked.holes
    rows = columns.row[holes]
    starts = np.flatnonzero(np.diff(rows, prepend=-1))
    ends = np.append(starts[1:], len(rows)) - 1
    spans = list(zip(starts.tolist(), ends.tolist(), strict=True))
    for is_first in (True, False):
        for first, last in spans:
            at = first if is_first else last
            if not is_first and first == last:
                continue
            name = columns.name(int(holes[at]))
            words = name if is_first else name.rpartition(":")[2]
            label = place_beside(
                room,
                words,
                tuple(signs.places[at].tolist()),
                _away(signs.places, first, last, is_first),
                height=(ROW_MM if is_first else NUMBER_MM) * scale,
                clear=float(signs.reach[at]) + CLEAR_MM * scale,
            )
            if label is not None:
                class_ = "halo row-name strong" if is_first else "halo row-end"
                row = columns.row_of(int(holes[at])).name
                _write(group, label, class_, scale, data_row=row)


def _away(places: Places, first: int, last: int, is_first: bool) -> Point:
    """The direction out of a row at one of its ends."""
    if first == last:
        return (0.0, -1.0)
    end, beside = (first, first + 1) if is_first else (last, last - 1)
    x, y = (places[end] - places[beside]).tolist()
    length = math.hypot(x, y)
    return (x / length, y / length) if length else (0.0, -1.0)


def _add_part_names(
    group: Element,
    layers: list[DrawnLayer],
    signs: FaceSigns,
    room: Room,
    scale: float,
) -> None:
    """Name each part inside its outline, or beside it with a line to it."""
    lines = shapely.union_all([one.lines for one in layers])
    for one in layers:
        name = one.layer.part
        height = PART_MM * scale
        others = shapely.union_all([o.sheet for o in layers if o is not one])
        regions = (shapely.difference(one.sheet, others), one.shown, one.sheet)
        label = place_inside(room, name, regions, lines, height=height)
        if label is None:
            target = _target(one, signs)
            label = place_apart(room, name, target, height=height, step=2.0 * scale)
        if label is not None:
            _write(group, label, "halo part-name", scale, data_part=name)


def _target(one: DrawnLayer, signs: FaceSigns) -> Point:
    """A place on a part for its leader to end at, away from the holes."""
    region: BaseGeometry = one.sheet if one.shown.is_empty else one.shown
    left, top, right, bottom = region.bounds
    x, y = np.meshgrid(
        *(_inner_steps(*ends) for ends in ((left, right), (top, bottom)))
    )
    points = np.asarray(shapely.points(x.ravel(), y.ravel()), dtype=object)
    points = points[shapely.contains(region, points)]
    if not len(points):
        points = np.array([shapely.point_on_surface(region)])
    room = shapely.distance(points, shapely.boundary(region))
    if len(signs.places):
        places = shapely.get_coordinates(points)
        nearest = np.asarray(cKDTree(signs.places).query(places)[0])
        room = np.fmin(room, nearest - signs.reach.max())
    best = points[int(np.argmax(room))]
    return float(best.x), float(best.y)


def _inner_steps(low: float, high: float) -> NDArray[np.float64]:
    """Places between two ends, without the ends."""
    return np.linspace(low, high, TARGETS_A_SIDE + 2)[1:-1]


def _write(
    group: Element, label: Label, class_: str, scale: float, **named: str
) -> None:
    """Write a label, with its leader where it lies apart."""
    x, y = label.place
    if label.points_at is not None:
        path = path_through([label.place, label.points_at])
        add(group, "path", d=path, class_="leader", stroke_width=0.2 * scale)
        end_x, end_y = label.points_at
        if "part-name" in class_:
            add(group, "circle", class_="leader-end", cx=end_x, cy=end_y, r=0.5 * scale)
    add(
        group,
        "text",
        label.words,
        x=x,
        y=y,
        dy=0.35 * label.height,
        font_size=label.height,
        class_=class_,
        **named,
    )

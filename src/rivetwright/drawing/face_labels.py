"""Names of rows and parts on a hole map, where they can be read."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from scipy.spatial import cKDTree

from rivetwright.drawing.face_signs import FaceSigns
from rivetwright.drawing.frame import Frame
from rivetwright.drawing.labels import (
    APART,
    NEAR,
    Label,
    Room,
    place_apart,
    place_beside,
    place_inside,
)
from rivetwright.drawing.outlines import DrawnLayer, line_runs
from rivetwright.drawing.svg import Element, add, path_through
from rivetwright.drawing.view import Box, Places
from rivetwright.engines.plan import WorkedPlan
from rivetwright.model.pattern import Point

Ints = NDArray[np.int64]

ROW_MM, NUMBER_MM, PART_MM = 3.1, 2.6, 3.4
FIFTH_MM = 2.1
# Rows of more holes than this have every fifth one numbered on paper.
SHORT_ROW, FIFTH = 12, 5
ACROSS = (90.0, -90.0)
CLEAR_MM = 0.3
PLACES_A_LINE = 19
TARGETS = 5
HALO_MM = 0.9


def add_labels(
    world: Element,
    worked_plan: WorkedPlan,
    holes: Ints,
    signs: FaceSigns,
    layers: list[DrawnLayer],
    frame: Frame,
    taken: list[Box],
    *,
    with_numbers: bool,
) -> None:
    """Name every row at its ends and every part inside its outline.

    `with_numbers` adds every fifth hole's number in long rows, where room is left.
    """
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
    if with_numbers:
        _add_numbers(group, worked_plan, holes, signs, room, frame.scale)


@dataclass(frozen=True)
class _RowEnd:
    """One end of a row on a face: where it is, and what is written beside it."""

    row: str
    words: str
    place: Point
    away: Point
    reach: float
    is_first: bool

    @property
    def height_mm(self) -> float:
        """Height of its letters as drawn."""
        return ROW_MM if self.is_first else NUMBER_MM


def _row_ends(worked_plan: WorkedPlan, holes: Ints, signs: FaceSigns) -> list[_RowEnd]:
    """Both ends of every row on a face: the first ends, then the last ones."""
    columns = worked_plan.worked.holes
    rows = columns.row[holes]
    starts = np.flatnonzero(np.diff(rows, prepend=-1))
    ends = np.append(starts[1:], len(rows)) - 1
    first_ends: list[_RowEnd] = []
    last_ends: list[_RowEnd] = []
    for first, last in zip(starts.tolist(), ends.tolist(), strict=True):
        for at in dict.fromkeys((first, last)):
            is_first = at == first
            name = columns.name(int(holes[at]))
            end = _RowEnd(
                row=columns.row_of(int(holes[at])).name,
                words=name if is_first else name.rpartition(":")[2],
                place=tuple(signs.places[at].tolist()),
                away=_away(signs.places, first, last, is_first),
                reach=float(signs.reach[at]),
                is_first=is_first,
            )
            (first_ends if is_first else last_ends).append(end)
    return first_ends + last_ends


def _add_row_names(
    group: Element,
    worked_plan: WorkedPlan,
    holes: Ints,
    signs: FaceSigns,
    room: Room,
    scale: float,
) -> None:
    """Name and first number at a row's first end, last number at its last.

    Those that find room beside their hole come first; the others stand apart.
    """
    waiting = _row_ends(worked_plan, holes, signs)
    for reaches in (NEAR, APART):
        placed = [(end, _place_row_end(end, room, scale, reaches)) for end in waiting]
        for end, label in placed:
            if label is not None:
                class_ = "row-name strong" if end.is_first else "row-end"
                _write(group, label, f"halo {class_}", scale, data_row=end.row)
        waiting = [end for end, label in placed if label is None]


def _place_row_end(
    end: _RowEnd, room: Room, scale: float, reaches: tuple[float, ...]
) -> Label | None:
    """Words beside one end of a row; a row's name may stand anywhere near."""
    height = end.height_mm * scale
    clear = end.reach + CLEAR_MM * scale
    label = place_beside(
        room,
        end.words,
        end.place,
        end.away,
        height=height,
        clear=clear,
        reaches=reaches,
    )
    if label is None and end.is_first and reaches is APART:
        label = place_apart(room, end.words, [end.place], height=height, step=2 * scale)
    return label


def _away(places: Places, first: int, last: int, is_first: bool) -> Point:
    """The direction out of a row at one of its ends."""
    if first == last:
        return (0.0, -1.0)
    end, beside = (first, first + 1) if is_first else (last, last - 1)
    x, y = (places[end] - places[beside]).tolist()
    length = math.hypot(x, y)
    return (x / length, y / length) if length else (0.0, -1.0)


def _add_numbers(
    group: Element,
    worked_plan: WorkedPlan,
    holes: Ints,
    signs: FaceSigns,
    room: Room,
    scale: float,
) -> None:
    """Number every fifth hole of long rows, across the row, where room is left."""
    columns = worked_plan.worked.holes
    rows, numbers = columns.row[holes], columns.number[holes]
    is_long = np.diff(columns.row_start)[rows] > SHORT_ROW
    same_as_next = rows[1:] == rows[:-1]
    is_inside = np.zeros(len(holes), dtype=bool)
    is_inside[1:-1] = same_as_next[1:] & same_as_next[:-1]
    for k in np.flatnonzero(is_long & is_inside & (numbers % FIFTH == 0)).tolist():
        label = place_beside(
            room,
            str(numbers[k]),
            tuple(signs.places[k].tolist()),
            _away(signs.places, k, k + 1, is_first=True),
            height=FIFTH_MM * scale,
            clear=float(signs.reach[k]) + CLEAR_MM * scale,
            turns=ACROSS,
        )
        if label is not None:
            row = columns.row_of(int(holes[k])).name
            _write(group, label, "halo row-number", scale, data_row=row)


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
        if one.sheet.is_empty:
            continue
        height = PART_MM * scale
        others = shapely.union_all([o.sheet for o in layers if o is not one])
        regions = (shapely.difference(one.sheet, others), one.shown)
        label = place_inside(room, name, regions, lines, height=height)
        if label is None:
            targets = _targets(one, layers, signs, room)
            label = place_apart(room, name, targets, height=height, step=2.0 * scale)
        if label is not None:
            _write(group, label, "halo part-name", scale, data_part=name)


def _targets(
    one: DrawnLayer, layers: list[DrawnLayer], signs: FaceSigns, room: Room
) -> list[Point]:
    """Places for a part's leader to end at: on its own lines, else inside it.

    Away from holes, from the lines of other parts and from words, the best first.
    """
    places = _places_on(one)
    points = np.asarray(shapely.points(places), dtype=object)
    others = shapely.union_all([o.lines for o in layers if o is not one])
    clear = np.full(len(places), np.inf)
    if not others.is_empty:
        clear = np.fmin(clear, shapely.distance(points, others))
    if len(signs.places):
        nearest = np.asarray(cKDTree(signs.places).query(places)[0])
        clear = np.fmin(clear, nearest - signs.reach.max())
    for box in room.taken:
        clear = np.fmin(clear, shapely.distance(points, shapely.box(*box)))
    best = np.argsort(-clear, kind="stable")[:TARGETS]
    return [(float(x), float(y)) for x, y in places[best]]


def _places_on(one: DrawnLayer) -> Places:
    """Places spread along a part's own lines, or inside it where it has none."""
    runs = line_runs(one.lines)
    if runs:
        spread = np.linspace(0.0, 1.0, PLACES_A_LINE + 2)[1:-1]
        lines = [shapely.LineString(run) for run in runs]
        found = [
            shapely.line_interpolate_point(line, spread, normalized=True)
            for line in lines
        ]
        return np.asarray(shapely.get_coordinates(np.concatenate(found)))
    region = one.sheet if one.shown.is_empty else one.shown
    left, top, right, bottom = region.bounds
    x, y = np.meshgrid(
        *(
            np.linspace(low, high, PLACES_A_LINE + 2)[1:-1]
            for low, high in ((left, right), (top, bottom))
        )
    )
    points = np.asarray(shapely.points(x.ravel(), y.ravel()), dtype=object)
    inside = points[shapely.contains(region, points)]
    if not len(inside):
        inside = np.array([shapely.point_on_surface(region)])
    return np.asarray(shapely.get_coordinates(inside))


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

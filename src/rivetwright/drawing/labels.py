"""Put words where they can be read: clear of holes, of each other, of the rim."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from rivetwright.drawing.view import Box, Places
from rivetwright.model.pattern import Point

Mask = NDArray[np.bool_]

# Mean width of a letter against its height, on the wide side so that nothing touches.
LETTER_WIDTH = 0.61
LINE_HEIGHT = 1.1
CANDIDATES_A_SIDE = 24
TURNS_TRIED = (0, 90, -90, 45, -45, 135, -135, 180)
NEAR = (1.0,)
APART = (2.2, 3.6)
DIRECTIONS = 16
RINGS = 30
FREE_PLACES = 160
END_ROOM = 0.2


@dataclass(frozen=True)
class Label:
    """Words centred at a place, with the place they point at where they lie apart."""

    words: str
    place: Point
    height: float
    points_at: Point | None = None


def width_of(words: str, height: float) -> float:
    """Room that words take along the line, in the unit of `height`."""
    return len(words) * LETTER_WIDTH * height


def box_about(place: Point, words: str, height: float) -> Box:
    """The room that words take when they are centred at a place."""
    half_width = width_of(words, height) / 2
    half_height = LINE_HEIGHT * height / 2
    x, y = place
    return x - half_width, y - half_height, x + half_width, y + half_height


@dataclass
class Room:
    """What is still free: boxes of holes and of labels already placed, and the frame.

    `hole_boxes` has the shape (holes, 4).
    """

    hole_boxes: Places
    frame: Box
    taken: list[Box] = field(default_factory=list)

    @cached_property
    def holes(self) -> shapely.STRtree:
        """The holes' boxes, to be searched by place."""
        return shapely.STRtree(_shapes(self.hole_boxes))

    def take(self, box: Box) -> None:
        """Mark a box as used."""
        self.taken.append(box)

    def free_of(self, boxes: Places) -> Mask:
        """Which boxes are inside the frame and touch nothing, shape (boxes,)."""
        left, top, right, bottom = self.frame
        free: Mask = (boxes[:, 0] >= left) & (boxes[:, 1] >= top)
        free &= (boxes[:, 2] <= right) & (boxes[:, 3] <= bottom)
        free[np.unique(self.holes.query(_shapes(boxes))[0])] = False
        return free & ~_touching(boxes, np.array(self.taken).reshape(-1, 4))

    def crossed_by(self, leaders: list[tuple[Point, Point]]) -> Mask:
        """Which lines cross a hole or words already placed, shape (lines,)."""
        lines = shapely.linestrings(np.array(leaders))
        crossed: Mask = np.zeros(len(leaders), dtype=bool)
        words = shapely.STRtree(_shapes(np.array(self.taken).reshape(-1, 4)))
        for tree in (self.holes, words):
            crossed[np.unique(tree.query(lines, predicate="intersects")[0])] = True
        return crossed

    def first_free(self, boxes: Iterable[Box]) -> int | None:
        """Index of the first free box, None where all are taken."""
        tried = np.array(list(boxes), dtype=float).reshape(-1, 4)
        free = np.flatnonzero(self.free_of(tried))
        return int(free[0]) if len(free) else None


def _shapes(boxes: Places) -> NDArray[np.object_]:
    """Boxes for the geometry library, shape (boxes,)."""
    return np.asarray(shapely.box(*boxes.T), dtype=object)


def _touching(boxes: Places, others: Places) -> Mask:
    """Which boxes overlap any of some others, shape (boxes,)."""
    left, top, right, bottom = boxes.T[..., None]
    apart = (right <= others[:, 0]) | (left >= others[:, 2])
    apart |= (bottom <= others[:, 1]) | (top >= others[:, 3])
    overlaps: Mask = (~apart).any(axis=1)
    return overlaps


def place_beside(
    room: Room,
    words: str,
    at: Point,
    away: Point,
    *,
    height: float,
    clear: float,
    reaches: tuple[float, ...] = NEAR,
    turns: tuple[float, ...] = TURNS_TRIED,
) -> Label | None:
    """Words beside a hole: outward along the row first, then across it, then apart.

    `away` is the direction in which the row does not go; `clear` the distance
    from the hole's centre to the words, `reaches` the multiples of it to try and
    `turns` the degrees from `away`.
    """
    tries = [
        (_beside(words, at, away, turn, height, clear * reach), reach > 1.0)
        for reach in reaches
        for turn in turns
    ]
    free = room.first_free(box_about(place, words, height) for place, _ in tries)
    if free is None:
        return None
    place, is_apart = tries[free]
    room.take(box_about(place, words, height))
    return Label(words, place, height, at if is_apart else None)


def _beside(
    words: str, at: Point, away: Point, turn: float, height: float, clear: float
) -> Point:
    """The middle of words that lie in one direction from a hole and clear of it."""
    angle = math.atan2(away[1], away[0]) + math.radians(turn)
    x, y = math.cos(angle), math.sin(angle)
    half_width = width_of(words, height) / 2
    half_height = LINE_HEIGHT * height / 2
    return (
        at[0] + clear * x + half_width * _past_diagonal(x),
        at[1] + clear * y + half_height * _past_diagonal(y),
    )


def _past_diagonal(part: float) -> float:
    """-1 or 1 where a direction leads that way, so that words begin at a corner."""
    return max(-1.0, min(1.0, 1.5 * part))


def place_inside(
    room: Room,
    words: str,
    regions: Iterable[BaseGeometry],
    lines: BaseGeometry,
    *,
    height: float,
) -> Label | None:
    """Words inside the first of some regions that has room for them.

    Clear of lines where that is possible, near the region's top left corner.
    """
    wide, high = width_of(words, height), LINE_HEIGHT * height
    for region in regions:
        if region.is_empty:
            continue
        places = _grid(region, wide, high)
        half = np.array([wide, high]) / 2
        boxes = np.hstack((places - half, places + half))
        shapes = _shapes(boxes)
        shapely.prepare(region)
        inside = shapely.contains(region, shapes) & room.free_of(boxes)
        shapely.prepare(lines)
        for good in (inside & ~shapely.intersects(lines, shapes), inside):
            if good.any():
                k = int(np.flatnonzero(good)[0])
                x, y = places[k].tolist()
                room.take(tuple(boxes[k].tolist()))
                return Label(words, (x, y), height)
    return None


def _grid(region: BaseGeometry, wide: float, high: float) -> Places:
    """Places to try in a region, row by row from the top left, shape (places, 2)."""
    left, top, right, bottom = region.bounds
    x = _steps(left + wide / 2, right - wide / 2, wide / 2)
    y = _steps(top + high / 2, bottom - high / 2, high / 2)
    grid = np.array([(a, b) for b in y for a in x]).reshape(-1, 2)
    corner = np.array([left, top])
    order = np.argsort(np.abs(grid - corner).sum(axis=1), kind="stable")
    return np.asarray(grid[order])


def _steps(low: float, high: float, step: float) -> Places:
    """Evenly spaced places from low to high, few enough to try them all."""
    if high < low:
        return np.array([(low + high) / 2])
    count = min(CANDIDATES_A_SIDE, max(2, int((high - low) / step) + 1))
    return np.linspace(low, high, count)


def place_apart(
    room: Room, words: str, targets: list[Point], *, height: float, step: float
) -> Label | None:
    """Words at the free place nearest to any target, pointing at it.

    The leader keeps clear of holes and of other words where that is possible.
    """
    angles = [2 * math.pi * k / DIRECTIONS for k in range(DIRECTIONS)]
    tries = [
        (target, (target[0] + reach * math.cos(a), target[1] + reach * math.sin(a)))
        for reach in (step * ring for ring in range(1, RINGS))
        for target in targets
        for a in angles
    ]
    boxes = np.array([box_about(place, words, height) for _, place in tries])
    free = np.flatnonzero(room.free_of(boxes) & ~_over(boxes, tries))[:FREE_PLACES]
    if not len(free):
        return None
    clear = free[~room.crossed_by([tries[k] for k in free])]
    target, place = tries[int(clear[0] if len(clear) else free[0])]
    room.take(box_about(place, words, height))
    return Label(words, place, height, target)


def _over(boxes: Places, leaders: list[tuple[Point, Point]]) -> Mask:
    """Which boxes hide the end of their own leader."""
    x, y = np.array([target for target, _ in leaders]).T
    pad = (boxes[:, 3] - boxes[:, 1]) * END_ROOM
    inside: Mask = (boxes[:, 0] - pad < x) & (x < boxes[:, 2] + pad)
    inside &= (boxes[:, 1] - pad < y) & (y < boxes[:, 3] + pad)
    return inside

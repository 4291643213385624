"""How a face is looked at: turned, mirrored, with y upward, at which scale."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rivetwright.errors import NotFound, nearest_hint
from rivetwright.model.columns import Holes
from rivetwright.model.outline import Face
from rivetwright.model.pattern import Point
from rivetwright.model.plan import Plan

Places = NDArray[np.float64]
Box = tuple[float, float, float, float]

SIDES = ("v0", "u1", "v1", "u0")
BOX_SIDES = ("u0", "v0", "u1", "v1")
SAME_MM = 1e-6
# Outward direction of each side of a face, before it is turned.
_OUTWARD = {"v0": (0, -1), "u1": (1, 0), "v1": (0, 1), "u0": (-1, 0)}
_POSITIONS = {(0, 1): "bottom", (1, 0): "right", (0, -1): "top", (-1, 0): "left"}
LONG_SIDE_DRAWN_MM = 250.0
NARROWEST_SCALE = 0.5
HOLE_ROOM_MM = 6.0
USUAL_STEPS = tuple(
    step / 4 for step in (4, 5, 6, 8, 10, 12, 14, 16, 18, 20, 22, 24, 28, 32, 36, 40)
)


def fitting_scale(least: float) -> float:
    """The nearest usual scale (1 : n) that is no larger than 1 : least."""
    power = 10.0 ** math.floor(math.log10(max(least, 1e-9)))
    steps = [step * power for step in USUAL_STEPS]
    return next(step for step in steps if step >= least * (1 - 1e-9))


def larger_scale(most: float) -> float:
    """The nearest usual scale (1 : n) that is no smaller than 1 : most."""
    power = 10.0 ** math.floor(math.log10(max(most, 1e-9)))
    steps = [step * power for step in USUAL_STEPS]
    return next(step for step in reversed(steps) if step <= most * (1 + 1e-9))


@dataclass(frozen=True)
class Window:
    """A part of a face that is drawn by itself: its name and its place on the face.

    `box_mm` is u0, v0, u1, v1. Without a name it is no close-up but the face with
    an empty part of it left away, or one `part` of so many `parts` of a long face
    that stand one below the other.
    """

    name: str
    box_mm: Box
    part: int = 1
    parts: int = 1


@dataclass(frozen=True)
class Look:
    """How a hole map is asked for.

    `mirror` shows the face from its other side; `quarter_turns` turn it
    clockwise as seen; `scale` is millimetres on the part for one as drawn, and
    None draws the long side 250 mm long. `window` shows a part of the face
    alone; `marked` are windows whose place is shown; `held` are holes that get a
    sheet holder.
    """

    for_paper: bool = False
    mirror: bool = False
    quarter_turns: int = 0
    labels: bool = True
    scale: float | None = None
    window: Window | None = None
    marked: tuple[Window, ...] = ()
    held: frozenset[int] = frozenset()


@dataclass(frozen=True)
class View:
    """Turn face places into picture places, where y grows downward.

    `mirror` shows the face from its other side; `quarter_turns` turn it
    clockwise as seen. `low`, `high` bound what is shown of the face, as seen [mm].
    `cut` are the sides (u0, u1, v0, v1) where the face goes on beyond that.
    """

    mirror: bool
    quarter_turns: int
    low: Point
    high: Point
    window: Window | None = None
    cut: tuple[str, ...] = ()

    @property
    def is_close_up(self) -> bool:
        """Whether a named part of a face is shown and not the face."""
        return self.window is not None and bool(self.window.name)

    def seen(self, places_mm: Places) -> Places:
        """Places of the face as places in the picture, shape (..., 2) [mm]."""
        turned: Places = places_mm @ _matrix(self.mirror, self.quarter_turns).T
        return turned

    def direction(self, along: Point) -> Point:
        """A direction on the face as seen."""
        x, y = _matrix(self.mirror, self.quarter_turns) @ np.asarray(along)
        return float(x), float(y)

    def position(self, side: str) -> str:
        """Where a side (u0, u1, v0, v1) lies as seen: top, right, bottom or left."""
        x, y = self.direction(_OUTWARD[side])
        return _POSITIONS[round(x), round(y)]

    @property
    def size_mm(self) -> Point:
        """Width and height of what lies on the face, as seen [mm]."""
        return self.high[0] - self.low[0], self.high[1] - self.low[1]

    @property
    def usual_scale(self) -> float:
        """Millimetres on the part for one millimetre as drawn, when none is asked."""
        return max(NARROWEST_SCALE, max(self.size_mm) / LONG_SIDE_DRAWN_MM)


def _matrix(mirror: bool, quarter_turns: int) -> NDArray[np.float64]:
    """Face to picture: mirrored, then y downward, then turned clockwise."""
    matrix = np.diag([-1.0 if mirror else 1.0, -1.0])
    for _ in range(quarter_turns % 4):
        matrix = np.array([[0.0, -1.0], [1.0, 0.0]]) @ matrix
    return matrix


def find_face(plan: Plan, name: str) -> tuple[int, Face]:
    """A face and its index by name.

    Raises:
        NotFound: the plan has no such face.
    """
    for k, face in enumerate(plan.faces):
        if face.name == name:
            return k, face
    names = [face.name for face in plan.faces]
    raise NotFound(
        asked=f"draw the face {name}",
        found=f"no face {name}",
        allowed="a face of this plan" + nearest_hint(name, names),
        do="name a face as the plan writes it",
    )


def holes_on_face(holes: Holes, face: int) -> NDArray[np.int64]:
    """Indices of the holes that have a place on a face."""
    return np.flatnonzero((holes.face == face) & ~np.isnan(holes.x_mm))


def look_at(face: Face, places_mm: Places, look: Look) -> View:
    """The view of a face, or of a window of it, and of the holes on it."""
    whole = face_box_mm(face, places_mm)
    box = look.window.box_mm if look.window else whole
    low, high = seen_box(box, look.mirror, look.quarter_turns)
    beyond = (b - w for b, w in zip(box, whole, strict=True))
    cut = tuple(
        side
        for side, way, by in zip(BOX_SIDES, (1, 1, -1, -1), beyond, strict=True)
        if way * by > SAME_MM
    )
    return View(look.mirror, look.quarter_turns % 4, low, high, look.window, cut)


def seen_box(box_mm: Box, mirror: bool, quarter_turns: int) -> tuple[Point, Point]:
    """Top left and bottom right corner of a box of the face as seen."""
    corners = np.array(box_mm).reshape(2, 2) @ _matrix(mirror, quarter_turns).T
    low, high = corners.min(axis=0), corners.max(axis=0)
    return (float(low[0]), float(low[1])), (float(high[0]), float(high[1]))


def face_box_mm(face: Face, places_mm: Places) -> Box:
    """What lies on a face: u0, v0, u1, v1 of its outlines and holes [mm]."""
    corners = [corner for layer in face.layers for corner in layer.outline.corners_mm]
    room = _room_for(places_mm)
    everything = np.array([*corners, *room], dtype=float).reshape(-1, 2)
    if not len(everything):
        everything = np.array([[0.0, 0.0], [HOLE_ROOM_MM, HOLE_ROOM_MM]])
    u0, v0 = everything.min(axis=0).tolist()
    u1, v1 = everything.max(axis=0).tolist()
    return u0, v0, u1, v1


def _room_for(places_mm: Places) -> Iterable[Point]:
    """Corners of a box round the holes, for a face without outlines."""
    if not len(places_mm):
        return ()
    low = places_mm.min(axis=0) - HOLE_ROOM_MM
    high = places_mm.max(axis=0) + HOLE_ROOM_MM
    return (float(low[0]), float(low[1])), (float(high[0]), float(high[1]))

"""Where the holes of a row lie: the ways a drawing gives them.

Every pattern is a frozen value that keeps the form it was written in and can
expand itself to places. Lengths in mm, angles in degrees counter-clockwise.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

Point = tuple[float, float]
Places = NDArray[np.float64]


class Pattern(Protocol):
    """Anything that knows how many holes it has and where they are."""

    @property
    def count(self) -> int:
        """Number of positions."""
        ...

    def places_mm(self) -> Places:
        """Positions in order, shape (count, 2) [mm]; NaN where no place is known."""
        ...


@dataclass(frozen=True)
class Straight:
    """First hole, step from hole to hole, and how many."""

    first_mm: Point
    step_mm: Point
    count: int

    def places_mm(self) -> Places:
        """Positions in order, shape (count, 2) [mm]."""
        index = np.arange(self.count, dtype=np.float64)[:, None]
        places: Places = np.asarray(self.first_mm) + index * np.asarray(self.step_mm)
        return places


@dataclass(frozen=True)
class Between:
    """First hole, last hole, and how many, evenly spaced."""

    first_mm: Point
    last_mm: Point
    count: int

    def places_mm(self) -> Places:
        """Positions in order, shape (count, 2) [mm]."""
        return np.linspace(self.first_mm, self.last_mm, self.count)


@dataclass(frozen=True)
class Pitched:
    """First hole, last hole, and the pitch wished for.

    The pitch is evened out so that both ends keep their hole.
    """

    first_mm: Point
    last_mm: Point
    pitch_mm: float

    @property
    def count(self) -> int:
        """Number of positions: the nearest whole number of pitches, plus one."""
        return max(1, round(math.dist(self.first_mm, self.last_mm) / self.pitch_mm)) + 1

    def places_mm(self) -> Places:
        """Positions in order, shape (count, 2) [mm]."""
        return np.linspace(self.first_mm, self.last_mm, self.count)


@dataclass(frozen=True)
class Arc:
    """Holes on a circle from one angle to another, both ends holding a hole."""

    centre_mm: Point
    radius_mm: float
    from_deg: float
    to_deg: float
    count: int

    def places_mm(self) -> Places:
        """Positions in order, shape (count, 2) [mm]; a full turn does not repeat."""
        is_closed = abs(abs(self.to_deg - self.from_deg) - 360.0) < 1e-9
        angle = np.radians(
            np.linspace(self.from_deg, self.to_deg, self.count, endpoint=not is_closed)
        )
        unit = np.column_stack((np.cos(angle), np.sin(angle)))
        return np.asarray(self.centre_mm) + self.radius_mm * unit


@dataclass(frozen=True)
class Polyline:
    """Holes evenly spaced along a line with corners, both ends holding a hole."""

    corners_mm: tuple[Point, ...]
    count: int

    def places_mm(self) -> Places:
        """Positions in order, shape (count, 2) [mm], spaced along the line."""
        corners = np.asarray(self.corners_mm)
        along = np.concatenate(
            ([0.0], np.cumsum(np.hypot(*np.diff(corners, axis=0).T)))
        )
        at = np.linspace(0.0, along[-1], self.count)
        return np.column_stack([np.interp(at, along, corners[:, k]) for k in (0, 1)])


@dataclass(frozen=True)
class Points:
    """Every hole written out."""

    points_mm: tuple[Point, ...]

    @property
    def count(self) -> int:
        """Number of positions."""
        return len(self.points_mm)

    def places_mm(self) -> Places:
        """Positions in order, shape (count, 2) [mm]."""
        return np.asarray(self.points_mm, dtype=np.float64).reshape(-1, 2)


@dataclass(frozen=True)
class Counted:
    """A count alone: the drawing gives no places."""

    count: int

    def places_mm(self) -> Places:
        """Shape (count, 2), all NaN."""
        return np.full((self.count, 2), np.nan)

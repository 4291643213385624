"""The straight line or the circle that evenly spaced holes lie on."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rivetwright.model.pattern import Places, Point

Column = NDArray[np.float64]


@dataclass(frozen=True)
class StraightFit:
    """Place of position 0 and step to the next [mm], and how far holes are off."""

    origin_mm: Point
    step_mm: Point
    off_mm: Column

    @property
    def pitch_mm(self) -> float:
        """Distance from position to position [mm]."""
        return math.hypot(*self.step_mm)

    def place_mm(self, position: Column | float) -> Places:
        """Where positions lie, shape (..., 2) [mm]."""
        along: Places = np.asarray(position)[..., None] * np.asarray(self.step_mm)
        return np.asarray(self.origin_mm) + along


@dataclass(frozen=True)
class ArcFit:
    """Circle, angle of position 0 and from position to position [rad]."""

    centre_mm: Point
    radius_mm: float
    first_rad: float
    turn_rad: float
    off_mm: Column

    @property
    def pitch_mm(self) -> float:
        """Distance across from position to position [mm]."""
        return 2 * self.radius_mm * abs(math.sin(self.turn_rad / 2))

    def place_mm(self, position: Column | float) -> Places:
        """Where positions lie, shape (..., 2) [mm]."""
        angle = self.first_rad + np.asarray(position) * self.turn_rad
        unit = np.stack((np.cos(angle), np.sin(angle)), axis=-1)
        return np.asarray(self.centre_mm) + self.radius_mm * unit


def fit_straight(places_mm: Places, position: Column) -> StraightFit:
    """Fit evenly spaced places on a straight line, least squares.

    Args:
        places_mm: places of holes, shape (holes, 2) [mm].
        position: number of each hole along the row, gaps counted, shape (holes,) [-].

    Returns:
        The line and how far each hole is off it [mm].
    """
    middle, centre = position.mean(), places_mm.mean(axis=0)
    along = position - middle
    step = along @ places_mm / (along @ along)
    origin = centre - middle * step
    off = places_mm - origin - position[:, None] * step
    return StraightFit(
        (float(origin[0]), float(origin[1])),
        (float(step[0]), float(step[1])),
        np.hypot(*off.T),
    )


def fit_arc(places_mm: Places, position: Column) -> ArcFit | None:
    """Fit evenly spaced places on a circle.

    Args:
        places_mm: places of holes in order, shape (holes, 2) [mm].
        position: number of each hole along the row, gaps counted, shape (holes,) [-].

    Returns:
        The circle and how far each hole is off it [mm]; None where holes lie straight.
    """
    middle = places_mm.mean(axis=0)
    local = places_mm - middle
    sides = np.column_stack((2 * local, np.ones(len(local))))
    found, _, rank, _ = np.linalg.lstsq(sides, (local**2).sum(axis=1))
    if rank < 3:
        return None
    radius = math.sqrt(max(0.0, found[2] + found[0] ** 2 + found[1] ** 2))
    if not 0 < radius < 1e6:
        return None
    spokes = local - found[:2]
    angle = np.unwrap(np.arctan2(spokes[:, 1], spokes[:, 0]))
    along = position - position.mean()
    turn = float(along @ angle / (along @ along))
    first = float(angle.mean() - position.mean() * turn)
    fit = ArcFit(
        (float(found[0] + middle[0]), float(found[1] + middle[1])),
        radius,
        first,
        turn,
        np.empty(0),
    )
    off = np.hypot(*(places_mm - fit.place_mm(position)).T)
    return ArcFit(fit.centre_mm, radius, first, turn, off)

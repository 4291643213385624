"""Which shim to buy where the pieces owned cannot hold the band."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from rivetwright.engines.rules import Column
from rivetwright.units.tolerance import TOLERANCE_MM


@dataclass(frozen=True)
class ShimToBuy:
    """A shim by its thickness: least and most that holds the band, and the best.

    The best closes the gap to the one aimed at.
    """

    low_mm: float
    best_mm: float
    high_mm: float


def shims_that_hold(
    gap_mm: Column, low_mm: float, aim_mm: float, high_mm: float
) -> tuple[ShimToBuy, ...]:
    """Every shim that, with pieces owned, would make a gap inside the band.

    Args:
        gap_mm: gaps that the pieces owned leave, in rising order [mm].
        low_mm: gap of the least head [mm].
        aim_mm: gap of the head aimed at [mm].
        high_mm: gap of the most head [mm].

    Returns:
        One for each gap wider than the band, thinnest first; empty where none is.

    Source: own geometry.
    """
    wide = np.asarray(gap_mm)[np.asarray(gap_mm) > high_mm + TOLERANCE_MM].tolist()
    return tuple(ShimToBuy(gap - high_mm, gap - aim_mm, gap - low_mm) for gap in wide)


def shim_to_buy(
    gap_mm: Column, low_mm: float, aim_mm: float, high_mm: float
) -> ShimToBuy | None:
    """The thinnest shim that would make the gap hold the band, None where none does.

    Args:
        gap_mm: gaps that the pieces owned leave, in rising order [mm].
        low_mm: gap of the least head [mm].
        aim_mm: gap of the head aimed at [mm].
        high_mm: gap of the most head [mm].

    Returns:
        The shim; where every gap is too narrow already no shim helps.

    Source: own geometry.
    """
    return next(iter(shims_that_hold(gap_mm, low_mm, aim_mm, high_mm)), None)

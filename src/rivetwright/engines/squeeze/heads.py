"""From head to gap and back, with the yoke sprung; over arrays of any one shape.

With no load the dies stand nearer than at the end by what the force springs the
yoke: gap = stack, seats and head, less force over stiffness, less the offset.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from rivetwright.engines.forming import force_slope_n_mm, squeeze_force_n
from rivetwright.engines.rules import Column

ROUNDS = 60
# What counts as no further change, in millimetres.
STILL_MM = 1e-9
# A head is never taken thinner than this share of the shank: nothing is known there.
THINNEST_D = 0.05


@dataclass(frozen=True)
class Metal:
    """What is squeezed: shank, volume of the head, force against 2117-T4; (n,) each."""

    shank_mm: Column
    volume_ratio: Column
    factor: Column

    def force_n(self, height_mm: Column) -> Column:
        """Force at a head height [mm] [N].

        NaN where volume or alloy is not known, and for a head next to nothing.
        """
        is_there = height_mm >= THINNEST_D * self.shank_mm
        height = np.where(is_there, height_mm, np.nan)
        return squeeze_force_n(self.shank_mm, height, self.volume_ratio, self.factor)

    def spring_force_n(self, height_mm: Column) -> Column:
        """The same for the spring [mm]: nought where no force is known [N]."""
        return np.nan_to_num(self.force_n(height_mm), nan=0.0)

    def slope_n_mm(self, height_mm: Column) -> Column:
        """How the force changes with the height [mm]; nought where none is known."""
        metal = (self.shank_mm, height_mm, self.volume_ratio, self.factor)
        return np.nan_to_num(force_slope_n_mm(*metal), nan=0.0)


def gap_of_head_mm(
    height_mm: Column, under_mm: Column | float, metal: Metal, mm_per_n: float
) -> Column:
    """Gap with no load that makes a head of this height.

    Args:
        height_mm: head height [mm].
        under_mm: stack, stand-off and seat, less the offset [mm].
        metal: what is squeezed.
        mm_per_n: how far one newton opens the yoke [mm/N].

    Returns:
        The gap [mm].

    Source: forming model, gap equation; DERIVED.
    """
    sprung = metal.spring_force_n(height_mm) * mm_per_n if mm_per_n else 0.0
    return np.asarray(under_mm + height_mm - sprung)


def head_of_gap_mm(
    gap_mm: Column, under_mm: Column | float, metal: Metal, mm_per_n: float
) -> Column:
    """Head height that a gap makes when the ram goes to its end.

    The height less the spring rises with the height, so the answer is enclosed; steps
    go along the tangent, and halve what encloses it where that leads outside.

    Args:
        gap_mm: gap with no load [mm].
        under_mm: stack, stand-off and seat, less the offset [mm].
        metal: what is squeezed.
        mm_per_n: how far one newton opens the yoke [mm/N].

    Returns:
        The height [mm]; nought or less where the dies would meet the stack.

    Source: forming model, gap equation; DERIVED.
    """
    wanted = gap_mm - under_mm
    if not mm_per_n:
        return wanted
    # Between the unsprung height and that with the whole of its force lies the answer.
    low = np.maximum(wanted, THINNEST_D * metal.shank_mm)
    high = low + mm_per_n * metal.spring_force_n(low) + STILL_MM
    height = low
    for _ in range(ROUNDS):
        over = height - mm_per_n * metal.spring_force_n(height) - wanted
        low, high = np.where(over < 0, height, low), np.where(over < 0, high, height)
        step = over / (1 - mm_per_n * metal.slope_n_mm(height))
        tangent = height - step
        is_between = (tangent > low) & (tangent < high)
        new = np.where(is_between, tangent, (low + high) / 2)
        moved, height = np.abs(new - height), new
        if not np.any(moved > STILL_MM):
            break
    return height

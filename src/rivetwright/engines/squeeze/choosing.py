"""Which combination is put in: the thicker head among those that hold the band.

An under-set rivet can be squeezed again, an over-set one is drilled out. So, of the
combinations whose head lies inside the band, the widest gap wins; first among those
that keep clear of both limits by what one head scatters. Gaps that a caliper does
not tell apart count the same: then fewer changes decide, then fewer shims. All of it
is exact, for every gap that the pieces can leave is in the list. What other rules
would give stands in design/squeeze_choice.md.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import IntEnum

import numpy as np

from rivetwright.engines.rules import Column
from rivetwright.engines.squeeze.stacking import Combinations, Ints
from rivetwright.standards.squeeze import squeeze_figure
from rivetwright.units.tolerance import TOLERANCE_MM

TELLS_APART_MM = squeeze_figure("tells apart")
NO = -1


class Rule(IntEnum):
    """By which rule a combination was chosen, best first."""

    THICKER_CLEAR = 0
    THICKER = 1
    NEAREST = 2
    NOTHING = 3


@dataclass(frozen=True)
class Asked:
    """Gaps asked for, shape (n,) each [mm]: aimed at, band, and band clear of scatter.

    The band's ends are the gaps that make its least and its most head.
    """

    aim_mm: Column
    low_mm: Column
    high_mm: Column
    clear_low_mm: Column
    clear_high_mm: Column


@dataclass(frozen=True)
class Chosen:
    """Combination chosen for each gap asked for: index or -1, turn, gap, rule."""

    index: Ints
    turned_mm: Column
    gap_mm: Column
    rule: Ints


def _widest(gap_mm: Column, low_mm: Column, high_mm: Column) -> Ints:
    """Of gaps in rising order the widest between two ends; -1 where none lies there."""
    at = np.searchsorted(gap_mm, high_mm + TOLERANCE_MM, side="right") - 1
    holds = (at >= 0) & (gap_mm[np.maximum(at, 0)] >= low_mm - TOLERANCE_MM)
    return np.where(holds, at, NO)


def _cheapest(found: Combinations, widest: Ints, low_mm: Column) -> Ints:
    """Of combinations as wide as the widest, by a caliper, the one that costs least."""
    gap_mm = found.gap_mm
    least = np.maximum(gap_mm[widest] - TELLS_APART_MM, low_mm) - TOLERANCE_MM
    first = np.minimum(np.searchsorted(gap_mm, least, side="left"), widest)
    pairs, of_pair = np.unique(
        np.column_stack((first, widest)), axis=0, return_inverse=True
    )
    best = [
        min(
            range(a, b + 1),
            key=lambda k: (found.changes[k], found.shims[k], -gap_mm[k]),
        )
        for a, b in pairs.tolist()
    ]
    return np.array(best, dtype=np.int64)[of_pair.reshape(-1)]


def _nearest(gap_mm: Column, high_mm: Column) -> Ints:
    """Where none holds the band: the first gap above it, else the widest below."""
    above = np.searchsorted(gap_mm, high_mm + TOLERANCE_MM, side="right")
    return np.minimum(above, len(gap_mm) - 1)


def _turned(
    found: Combinations, asked: Asked, index: Ints, rule: Ints
) -> tuple[Ints, Column, Ints]:
    """Use a threaded holder, set to the gap aimed at, where stacks do it less well."""
    turned_mm = np.zeros(len(index))
    left = rule > Rule.THICKER_CLEAR
    for k in found.turning:
        out_mm = found.gap_mm[k] - asked.aim_mm
        takes = left & (out_mm >= -TOLERANCE_MM)
        takes &= out_mm <= found.turn_mm[k] + TOLERANCE_MM
        index = np.where(takes, k, index)
        turned_mm = np.where(takes, np.maximum(out_mm, 0.0), turned_mm)
        rule = np.where(takes, Rule.THICKER_CLEAR, rule)
        left &= ~takes
    return index, turned_mm, rule


def choose(found: Combinations, asked: Asked) -> Chosen:
    """The combination for every gap asked for.

    A gap asked for that is not a number gets none, and so do all where no die fits.
    """
    count = len(asked.aim_mm)
    index = np.full(count, NO, dtype=np.int64)
    rule = np.full(count, int(Rule.NOTHING), dtype=np.int64)
    turned_mm = np.zeros(count)
    if len(found):
        known = np.isfinite(asked.low_mm) & np.isfinite(asked.high_mm)
        for name, low_mm, high_mm in (
            (Rule.THICKER_CLEAR, asked.clear_low_mm, asked.clear_high_mm),
            (Rule.THICKER, asked.low_mm, asked.high_mm),
        ):
            at = _widest(found.gap_mm, low_mm, high_mm)
            new = (at >= 0) & (index < 0) & known
            index[new] = _cheapest(found, at[new], low_mm[new])
            rule[new] = name
        left = (index < 0) & known
        index[left] = _nearest(found.gap_mm, asked.high_mm[left])
        rule[left] = Rule.NEAREST
        index, turned_mm, rule = _turned(found, asked, index, rule)
    gap_mm = np.full(count, np.nan)
    there = index >= 0
    gap_mm[there] = found.gap_mm[index[there]] - turned_mm[there]
    return Chosen(index, turned_mm, gap_mm, rule)

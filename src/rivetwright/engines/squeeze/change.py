"""Fewest changes: what on the tool now would do for the next rivet, nearly as it is."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass

import numpy as np

from rivetwright.engines.squeeze.stacking import Combinations, OnTool, Pieces
from rivetwright.model.shop import Die
from rivetwright.units.tolerance import TOLERANCE_MM


@dataclass(frozen=True)
class Swap:
    """What to take out and what to put in, to come from one set-up to another."""

    dies_out: tuple[Die, ...]
    dies_in: tuple[Die, ...]
    shims_out_mm: tuple[float, ...]
    shims_in_mm: tuple[float, ...]
    pin_mm: float | None
    is_new_yoke: bool


def least_change(found: Combinations, low_mm: float, high_mm: float) -> Pieces | None:
    """Of the combinations that hold the band the one with fewest changes.

    Equal ones are told apart by their shims, then by the thicker head.

    Args:
        found: combinations with their changes against what is on the tool.
        low_mm: gap of the least head [mm].
        high_mm: gap of the most head [mm].

    Returns:
        Its pieces; None where none holds the band.

    Source: own search, exact.
    """
    first = int(np.searchsorted(found.gap_mm, low_mm - TOLERANCE_MM, side="left"))
    end = int(np.searchsorted(found.gap_mm, high_mm + TOLERANCE_MM, side="right"))
    if first >= end:
        return None
    best = min(
        range(first, end),
        key=lambda k: (found.changes[k], found.shims[k], -found.gap_mm[k]),
    )
    return found.pieces[best]


def swap(now: OnTool | None, squeezer: str, yoke: str, new: Pieces) -> Swap:
    """What to take out and put in; a bare squeezer has nothing to take out.

    `pin_mm` is the pin to put in, None where it stays. The ram keeps its die, pin and
    shims when the yoke is changed.
    """
    old = now.pieces if now is not None and now.squeezer == squeezer else None
    is_new_yoke = old is None or now is None or now.yoke != yoke
    taken, put = [], []
    if is_new_yoke or old is None or old.fixed != new.fixed:
        taken.append(old.fixed if old else None)
        put.append(new.fixed)
    if old is None or old.ram != new.ram:
        taken.append(old.ram if old else None)
        put.append(new.ram)
    before = Counter(old.shims_mm if old else ())
    after = Counter(new.shims_mm)
    return Swap(
        tuple(die for die in taken if die is not None),
        tuple(die for die in put if die is not None),
        tuple((before - after).elements()),
        tuple((after - before).elements()),
        None if old and old.pin_mm == new.pin_mm else new.pin_mm,
        is_new_yoke,
    )

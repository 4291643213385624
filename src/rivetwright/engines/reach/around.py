"""What stands round holes, as columns."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rivetwright.engines.reach.outlines import WaysIn
from rivetwright.engines.rules import Column
from rivetwright.units.tolerance import TOLERANCE_MM

Ints = NDArray[np.int64]
NO = -1


@dataclass(frozen=True)
class FirstWay:
    """The first way into each hole, shape (holes,) each; infinite and -1: none."""

    entry_mm: Column
    flange_mm: Column
    number: Ints


@dataclass(frozen=True)
class Around:
    """What stands round each hole, shape (holes,) each; infinite where it is open.

    `wall_shop_layer` and `wall_head_layer` say whose wall it is, by the plan's list of
    layers, -1 where there is none or it was entered by hand. NaN: not known.
    """

    is_known: NDArray[np.bool_]
    gap_behind_mm: Column
    wall_shop_mm: Column
    wall_head_mm: Column
    has_both_sides: NDArray[np.bool_]
    ways: WaysIn
    wall_shop_layer: Ints
    wall_head_layer: Ints

    def least_entry_mm(self) -> Column:
        """Entry of the nearest way, whatever stands on it; infinite: none [mm]."""
        entry = np.full(len(self.is_known), np.inf)
        np.minimum.at(entry, self.ways.hole, self.ways.entry_mm)
        entry[~self.is_known] = np.nan
        return entry

    def first_way(self, flange_max_mm: float) -> FirstWay:
        """The nearest way over a flange no higher than a yoke may pass [mm].

        Where every way has a higher flange than that, the nearest of all; infinite and
        -1 where there is no way.
        """
        ways = self.ways
        entry = np.full(len(self.is_known), np.inf)
        flange, number = np.zeros(len(entry)), np.full(len(entry), NO)
        is_high = ways.flange_mm > flange_max_mm + TOLERANCE_MM
        order = np.lexsort((ways.flange_mm, ways.entry_mm, is_high, ways.hole))
        holes, first = np.unique(ways.hole[order], return_index=True)
        number[holes] = order[first]
        entry[holes] = ways.entry_mm[order[first]]
        flange[holes] = ways.flange_mm[order[first]]
        entry[~self.is_known] = flange[~self.is_known] = np.nan
        return FirstWay(entry, flange, number)

"""One row of a batch by itself: its figures, and the strokes its ram may make."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from rivetwright.engines.rules import Column
from rivetwright.engines.squeeze.batch import Batch
from rivetwright.engines.squeeze.needs import CENTRAL, HIGH, LOW, Needs
from rivetwright.engines.squeeze.stacking import Pieces
from rivetwright.engines.squeeze.stall import (
    AirPress,
    HandPress,
    Press,
    Stop,
    Stroke,
    hand_force_n,
    stop_of,
)
from rivetwright.engines.squeeze.taught import Taught
from rivetwright.standards.spread import Spread


def spread_of(values: Column) -> Spread | None:
    """Low to high as a spread; None where one of them is not known."""
    if not np.all(np.isfinite(values)):
        return None
    return Spread(*sorted(float(value) for value in values))


@dataclass(frozen=True)
class OneRow:
    """One set-up being worked out: its batch narrowed to it, pieces and press."""

    batch: Batch
    row: int
    needs: Needs
    pieces: Pieces | None
    press: Press | None

    @property
    def gap_mm(self) -> float:
        """Closed gap with no load; NaN where nothing is put in [mm]."""
        return float(self.batch.gap_mm[self.row])

    @property
    def taught(self) -> Taught:
        """What measured heads taught of its dies."""
        return self.batch.taught(self.row)

    @property
    def has_metal(self) -> bool:
        """Whether any metal stands out for a head."""
        return bool(self.needs.volume_ratio[0] > 0)

    @property
    def met_left_mm(self) -> float:
        """Travel left where the ram meets the rivet [mm]."""
        over = self.needs.seat_mm[0] + self.needs.length_mm[0]
        return float(over - self.gap_mm)

    def strokes(self) -> list[Stroke]:
        """The stroke with least, usual and most force; empty where not known."""
        if self.press is None or self.pieces is None or not self.has_metal:
            return []
        if not np.all(np.isfinite(self.needs.factor)):
            return []
        spring, under = self.batch.spring, self.needs.under_mm[:, 0]
        offset = float(self.batch.offset_mm[self.row])
        ends: tuple[tuple[int, int, float], ...] = (
            (LOW, HIGH, spring.low_mm_n),
            (CENTRAL, CENTRAL, spring.mm_n),
            (HIGH, LOW, spring.high_mm_n),
        )
        if self.taught.is_own:
            # Its own heads tell what lies under them and how far the yoke opens.
            ends = tuple((force, CENTRAL, spring.mm_n) for force, _, _ in ends)
        return [
            Stroke(
                self.gap_mm,
                float(under[lies]) - offset,
                self.needs.metal(force),
                opens,
                self.press,
                self.batch.asking.pressure_kpa,
            )
            for force, lies, opens in ends
        ]

    def stops(self) -> list[Stop]:
        """Where the ram stops with least, usual and most force; empty if not known.

        A hand is not rated as air is: it pulls harder, or stops where it likes.
        """
        if not isinstance(self.press, AirPress):
            return []
        return [stop_of(stroke, self.met_left_mm) for stroke in self.strokes()]

    def hand_n(self) -> Spread | None:
        """The hand's greatest pull, None where it is not known [N]."""
        if not isinstance(self.press, HandPress):
            return None
        pulls = [
            hand_force_n(stroke, self.press, self.met_left_mm)
            for stroke in self.strokes()
        ]
        return spread_of(np.array(pulls)) if pulls else None

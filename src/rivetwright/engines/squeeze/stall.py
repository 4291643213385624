"""What a squeezer gives, and where its ram stops short of its end.

A toggle gives most near the end of its travel. Where the force needed is more than
that, the ram stalls: the head stays too thick whatever lies under the die.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from rivetwright.engines.forming import available_force_n, toggle_force_n
from rivetwright.engines.rules import Column
from rivetwright.engines.squeeze.heads import Metal, head_of_gap_mm
from rivetwright.model.shop import Squeezer
from rivetwright.standards.forming import forming_constant
from rivetwright.standards.source import Source, Status
from rivetwright.standards.squeeze import squeeze_constant

HAND = "hand"
HAND_OPENS_DEG = float(squeeze_constant("hand opens").value)
NEARLY_STRAIGHT_MM = 1e-3
GRID = 65
HALVINGS = 50
SHOP = Source("the shop file", "", Status.READ)


@dataclass(frozen=True)
class AirPress:
    """A pneumatic squeezer: its force, the pressure for it, the travel it ends at."""

    force_n: float
    pressure_kpa: float
    ends_mm: float
    source: Source

    def gives_n(self, left_mm: Column, pressure_kpa: float | None = None) -> Column:
        """Force with so much travel left [mm], at a pressure [kPa] or as rated [N]."""
        at = self.pressure_kpa if pressure_kpa is None else pressure_kpa
        return available_force_n(
            self.force_n, self.pressure_kpa, self.ends_mm, left_mm, at
        )


@dataclass(frozen=True)
class HandPress:
    """What a hand squeezer gives: hand, lever and a toggle that straightens.

    Its toggle has no cylinder behind it that ends before it does, so near the end it
    gives whatever the yoke bears: only on the way there can a hand be too weak.
    """

    hand_n: float
    lever_ratio: float
    stroke_mm: float
    source: Source

    def gives_n(self, left_mm: Column, pressure_kpa: float | None = None) -> Column:
        """Force with so much travel left [mm]; a pressure [kPa] changes nothing [N]."""
        left = np.maximum(left_mm, NEARLY_STRAIGHT_MM)
        angle = np.radians(HAND_OPENS_DEG) * np.sqrt(left / self.stroke_mm)
        knee = np.tan(np.minimum(angle, np.radians(HAND_OPENS_DEG)))
        return toggle_force_n(self.hand_n * self.lever_ratio, 1.0, knee)


Press = AirPress | HandPress


def press_of(squeezer: Squeezer) -> Press | None:
    """What is known of a squeezer's force; None where too little is."""
    if squeezer.kind == HAND:
        hand, lever, stroke = (
            squeezer.hand_force_n,
            squeezer.lever_ratio,
            squeezer.stroke_mm,
        )
        if not (hand and lever and stroke):
            return None
        return HandPress(hand, lever, stroke, squeeze_constant("hand opens").source)
    if not (squeezer.force_n and squeezer.pressure_kpa):
        return None
    assumed = forming_constant("rated travel")
    ends_mm = squeezer.ends_mm or float(assumed.value)
    source = SHOP if squeezer.ends_mm else assumed.source
    return AirPress(squeezer.force_n, squeezer.pressure_kpa, ends_mm, source)


def end_force_n(press: Press | None, pressure_kpa: float | None) -> float | None:
    """What the end of the stroke gives [N], at a pressure [kPa] or as rated.

    None where it is not known; nor has a hand squeezer one, whose end is in the hand.
    """
    if not isinstance(press, AirPress):
        return None
    return float(press.gives_n(np.zeros(1), pressure_kpa)[0])


@dataclass(frozen=True)
class Stop:
    """Where a ram stops: travel left, and the head it leaves."""

    left_mm: float
    head_mm: float

    @property
    def is_stalled(self) -> bool:
        """Whether it stops short of its end."""
        return self.left_mm > 0


@dataclass(frozen=True)
class Stroke:
    """One rivet under one ram: gap, what lies under the head, metal, spring, press."""

    gap_mm: float
    under_mm: float
    metal: Metal
    mm_per_n: float
    press: Press
    pressure_kpa: float | None = None

    def head_mm(self, left_mm: Column) -> Column:
        """Head height with so much travel left, were the ram to stop there [mm]."""
        return head_of_gap_mm(
            self.gap_mm + left_mm, self.under_mm, self.metal, self.mm_per_n
        )

    def lacking_n(self, left_mm: Column) -> Column:
        """Force needed less force given, with so much travel left [mm] [N]."""
        needed = self.metal.force_n(self.head_mm(left_mm))
        return needed - self.press.gives_n(left_mm, self.pressure_kpa)


def stop_of(stroke: Stroke, met_mm: float) -> Stop:
    """Where the ram stops: at its end, or where first the force does not suffice.

    Args:
        stroke: the rivet, the gap and the squeezer.
        met_mm: travel left where the ram meets the rivet [mm].

    Returns:
        The travel left and the head made [mm].

    Source: toggle near dead centre against the force model; DERIVED.
    """
    lefts = np.linspace(0.0, max(met_mm, 0.0), GRID)
    lacks = np.flatnonzero(stroke.lacking_n(lefts) > 0)
    if not len(lacks):
        return Stop(0.0, float(stroke.head_mm(np.zeros(1))[0]))
    # The ram comes from the far end, so the last of the grid is met first.
    first = int(lacks[-1])
    stuck, free = lefts[first], lefts[min(first + 1, GRID - 1)]
    for _ in range(HALVINGS):
        middle = (stuck + free) / 2
        if stroke.lacking_n(np.array([middle]))[0] > 0:
            stuck = middle
        else:
            free = middle
    left = float(free)
    return Stop(left, float(stroke.head_mm(np.array([left]))[0]))


def hand_force_n(stroke: Stroke, press: HandPress, met_mm: float) -> float:
    """The greatest pull of the hand on the way to the end.

    Args:
        stroke: the rivet and the gap.
        press: the hand squeezer.
        met_mm: travel left where the ram meets the rivet [mm].

    Returns:
        The pull [N].

    Source: toggle of equal arms; angle of squeeze_constants.csv, JUDGEMENT.
    """
    lefts = np.linspace(0.0, max(met_mm, 0.0), GRID)
    needed = stroke.metal.force_n(stroke.head_mm(lefts))
    share = np.nan_to_num(needed, nan=0.0) / press.gives_n(lefts)
    return float(press.hand_n * share.max())

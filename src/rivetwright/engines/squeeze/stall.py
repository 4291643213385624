"""What a squeezer gives, and where its ram stops short of its end.

A toggle gives most near the end of its travel. Where the force needed is more than
that, the ram stalls: the head stays too thick whatever lies under the die.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from rivetwright.engines.forming import available_force_n
from rivetwright.engines.rules import Column
from rivetwright.engines.squeeze.heads import Metal, head_of_gap_mm
from rivetwright.model.shop import Squeezer
from rivetwright.standards.forming import forming_constant
from rivetwright.standards.source import Source, Status

HAND = "hand"
GRID = 65
HALVINGS = 50
SHOP = Source("the shop file", "", Status.READ)


@dataclass(frozen=True)
class Press:
    """What a squeezer gives at its end: force, at which pressure; and where it ends.

    A hand squeezer's force is the hand's times the ratio of its lever, and no air
    belongs to it: its pressure is None.
    """

    force_n: float
    pressure_kpa: float | None
    ends_mm: float
    source: Source

    def gives_n(self, left_mm: Column, pressure_kpa: float | None = None) -> Column:
        """Force with so much travel left [mm], at a pressure [kPa] or as rated [N]."""
        rated = self.pressure_kpa
        if rated is None:
            return available_force_n(self.force_n, 1.0, self.ends_mm, left_mm, 1.0)
        at = rated if pressure_kpa is None else pressure_kpa
        return available_force_n(self.force_n, rated, self.ends_mm, left_mm, at)


def press_of(squeezer: Squeezer) -> Press | None:
    """What is known of a squeezer's force; None where too little is."""
    assumed = forming_constant("rated travel")
    ends_mm = squeezer.ends_mm or float(assumed.value)
    source = SHOP if squeezer.ends_mm else assumed.source
    if squeezer.kind == HAND:
        if not (squeezer.hand_force_n and squeezer.lever_ratio):
            return None
        force_n = squeezer.hand_force_n * squeezer.lever_ratio
        return Press(force_n, None, ends_mm, source)
    if not (squeezer.force_n and squeezer.pressure_kpa):
        return None
    return Press(squeezer.force_n, squeezer.pressure_kpa, ends_mm, source)


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

"""Heads of a made-up squeezer, as hand calculations need them."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from rivetwright.engines.learning.measured import Measured
from rivetwright.engines.squeeze.heads import Metal, head_of_gap_mm
from rivetwright.engines.squeeze.taught import DieSet
from rivetwright.model.shop import Tool

MIL = 0.0254
IN = 25.4
EIGHTH = DieSet("squeezer", "Y", 4, True)
LARGER = DieSet("squeezer", "Y", 5, True)
# A yoke so stiff that a hand calculation may forget it, and one of no given stiffness.
STIFF = Tool("Y", "yoke", stiffness_n_mm=1e12)
UNKNOWN = Tool("Y", "yoke", reach_mm=1.5 * IN)
RIGID_MM = 60 * MIL
VOLUME = 1.2


def lifted(
    lifts_mil: Iterable[float], dies: DieSet = EIGHTH, period: int = 0
) -> list[Measured]:
    """Heads so much higher [0.001 in] than a rigid tool would make them."""
    shank = dies.diameter_32nds * IN / 32
    return [
        Measured(dies, RIGID_MM + mil * MIL, RIGID_MM, shank, VOLUME, period=period)
        for mil in lifts_mil
    ]


def sprung(
    offset_mm: float,
    opens_mm_n: float,
    count: int,
    dies: DieSet = EIGHTH,
    rigid_mm: float = RIGID_MM,
) -> list[Measured]:
    """Heads without scatter, of an offset and a spring, by the forming model."""
    shank = dies.diameter_32nds * IN / 32
    metal = Metal(np.array([shank]), np.array([VOLUME]), np.array([1.0]))
    made = head_of_gap_mm(np.array([rigid_mm]), -offset_mm, metal, opens_mm_n)
    return [Measured(dies, float(made[0]), rigid_mm, shank, VOLUME)] * count

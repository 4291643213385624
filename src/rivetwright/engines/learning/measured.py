"""One measured head beside what a rigid tool would have made of its gap."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import isfinite

import numpy as np

from rivetwright.engines.squeeze.heads import Metal
from rivetwright.engines.squeeze.needs import needs_of, solid_classes
from rivetwright.engines.squeeze.stacking import Ints
from rivetwright.engines.squeeze.taught import DieSet
from rivetwright.engines.worked import Worked

# A set of dies between two moments at which the memory of its offset was dropped.
Stretch = tuple[DieSet, int]


@dataclass(frozen=True)
class Measured:
    """One measured head; `rigid_mm` is what its gap would leave in a rigid tool.

    Shank, metal of the head [pi/4 D^3] and the alloy's factor tell its force at any
    height; `unsure_mm` is how far dimple and manufactured head may put `rigid_mm` off.
    A `period` ends where the memory of the offset is dropped: after an alarm, or when
    a die was changed or ground. Of a head at which the ram stalled nothing is learnt.
    """

    dies: DieSet
    height_mm: float
    rigid_mm: float
    shank_mm: float
    volume_ratio: float
    factor: float = 1.0
    unsure_mm: float = 0.0
    period: int = 0
    is_stalled: bool = False

    @property
    def lift_mm(self) -> float:
        """How much thicker it came out than in a rigid tool [mm]."""
        return self.height_mm - self.rigid_mm

    @property
    def stretch(self) -> Stretch:
        """Its dies and period: what shares one offset."""
        return self.dies, self.period


def die_set_at(worked: Worked, hole: int, squeezer: str, yoke: str) -> DieSet | None:
    """The set of dies that squeezes a hole's rivet; None where it is not a solid one.

    Args:
        worked: the worked plan.
        hole: index of the hole.
        squeezer: title of the squeezer.
        yoke: id of the yoke.
    """
    mine = _class_of(worked, hole)
    if mine is None:
        return None
    needs = needs_of(worked, mine)
    return DieSet(
        squeezer,
        yoke,
        int(needs.diameter_32nds[0]),
        bool(needs.is_flush[0]),
        bool(needs.is_dimpled[0]),
    )


def measured_at(
    worked: Worked,
    hole: int,
    squeezer: str,
    yoke: str,
    *,
    gap_mm: float,
    height_mm: float,
    is_stalled: bool = False,
    period: int = 0,
) -> Measured | None:
    """A measured head to learn from.

    Leave out a head that is out of shape, or whose metal is not that of the rivet
    called for: its force is not the one reckoned here.

    Args:
        worked: the worked plan.
        hole: index of the hole.
        squeezer: title of the squeezer.
        yoke: id of the yoke.
        gap_mm: closed gap it was set with, no load on it [mm].
        height_mm: height measured [mm].
        is_stalled: whether the ram stopped short of its end.
        period: how often the memory of these dies was dropped before [-].

    Returns:
        The head; None for a rivet that is not solid, or where stack or force are not
        known.
    """
    dies, mine = die_set_at(worked, hole, squeezer, yoke), _class_of(worked, hole)
    if dies is None or mine is None:
        return None
    needs = needs_of(worked, mine)
    low, central, high = needs.under_mm[:, 0].tolist()
    metal = needs.metal()
    force_n = float(metal.force_n(np.array([height_mm]))[0])
    if not (isfinite(central) and isfinite(force_n)):
        return None
    unsure_mm = (high - low) / 2
    return Measured(
        dies,
        height_mm,
        gap_mm - central,
        float(metal.shank_mm[0]),
        float(metal.volume_ratio[0]),
        float(metal.factor[0]),
        unsure_mm if isfinite(unsure_mm) else 0.0,
        period,
        is_stalled,
    )


def metal_of(heads: Sequence[Measured]) -> Metal:
    """Shank, metal and factor of some heads side by side."""
    shank, volume, factor = (
        np.array([getattr(one, name) for one in heads], dtype=float)
        for name in ("shank_mm", "volume_ratio", "factor")
    )
    return Metal(shank, volume, factor)


def _class_of(worked: Worked, hole: int) -> Ints | None:
    """The class of a hole as a column of one; None where its rivet is not solid."""
    mine = int(worked.stacks.class_of[hole])
    is_solid = mine in solid_classes(worked)
    return np.array([mine], dtype=np.int64) if is_solid else None

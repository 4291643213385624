"""How far a yoke springs open under the force, known or judged.

A stiffness read off or learnt is taken as it is. Where none is known, spring is a
range from nought to what a yoke of that reach is judged to give; the middle counts
nought, for a spring left out only makes the head thicker, which can be mended.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import log

from rivetwright.model.shop import Tool
from rivetwright.standards.source import Source, Status
from rivetwright.standards.squeeze import squeeze_constant

REACHES_MM = (1.5 * 25.4, 4 * 25.4)
KNOWN = Source("the shop file", "stiffness of the yoke", Status.READ)
# An arm as a cantilever: beyond the longer reach it softens at most with its cube.
CANTILEVER = 3.0


@dataclass(frozen=True)
class Spring:
    """How far one newton opens a yoke: least, taken, most; and how that is known."""

    low_mm_n: float
    mm_n: float
    high_mm_n: float
    source: Source

    @property
    def is_known(self) -> bool:
        """Whether the yoke's own stiffness is known."""
        return self.source is KNOWN


def judged_stiffness_n_mm(reach_mm: float | None) -> float:
    """Stiffness judged for a yoke of a reach, on the soft side.

    A power law runs through the two judged yokes. A shorter yoke is taken as stiff
    as the short one, a longer one softens with the cube of its reach; one whose
    reach is not given counts as the long one.

    Args:
        reach_mm: reach of the yoke, None where it is not given [mm].

    Returns:
        Force that opens it by one millimetre [N/mm].

    Source:
        squeeze_constants.csv; arms as cantilevers, rough; FROM MEMORY.
    """
    stiff = float(squeeze_constant("stiffness at 1.5 in").value)
    soft = float(squeeze_constant("stiffness at 4 in").value)
    short, far = REACHES_MM
    reach = far if reach_mm is None else max(reach_mm, short)
    if reach > far:
        return float(soft * (far / reach) ** CANTILEVER)
    power = log(stiff / soft) / log(far / short)
    return float(stiff * (short / reach) ** power)


def spring_of(yoke: Tool) -> Spring:
    """The spring of a yoke: its own where known, else from nought to the judged one."""
    if yoke.stiffness_n_mm:
        one = 1 / yoke.stiffness_n_mm
        return Spring(one, one, one, KNOWN)
    judged = squeeze_constant("stiffness at 1.5 in").source
    return Spring(0.0, 0.0, 1 / judged_stiffness_n_mm(yoke.reach_mm), judged)

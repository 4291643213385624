"""The figures a clean assembly keeps to, worked out apart from the engines, in inches.

Heads, holes and limits as the tables have them (3/32 to 3/16 in); the volume of
metal as `engines.head` describes it, written a second time in plain arithmetic.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

DIAMETERS = (3, 4, 5, 6)
HOLE_IN = {3: 0.098, 4: 0.1285, 5: 0.159, 6: 0.191}
UNIVERSAL_WIDTH_IN = {3: 0.187, 4: 0.250, 5: 0.312, 6: 0.375}
FLUSH_WIDTH_IN = {3: 0.179, 4: 0.225, 5: 0.286, 6: 0.353}
WIDTH_MIN_IN = {3: 0.122, 4: 0.163, 5: 0.203, 6: 0.244}
HEIGHT_MIN_IN = {3: 0.038, 4: 0.050, 5: 0.062, 6: 0.075}
HEIGHT_MAX_IN = {3: 0.050, 4: 0.070, 5: 0.088, 6: 0.105}
COUNTERSINK_SHEET_IN = {3: 0.040, 4: 0.050, 5: 0.064, 6: 0.072}
LAND_IN = 0.008
LENGTH_OFF_IN, SHANK_OVER_IN, SHANK_UNDER_IN = 0.005, 0.003, 0.001
OVER_DRIVEN_D = 1.75
WANTED_VOLUME = 1.2
SIN, COS, TAN = (f(math.radians(50)) for f in (math.sin, math.cos, math.tan))

PLAIN, DIMPLE, COUNTERSINK = "plain", "dimple", "countersink"


@dataclass(frozen=True)
class Joint:
    """A stack as a rivet feels it: sheets [in] with their preparation, the rivet."""

    thicknesses_in: tuple[float, ...]
    preparations: tuple[str, ...]
    diameter: int
    is_flush: bool

    @property
    def diameter_in(self) -> float:
        """Shank diameter [in]."""
        return self.diameter / 32

    @property
    def grip_in(self) -> float:
        """Sum of the sheets [in]."""
        return sum(self.thicknesses_in)

    @property
    def stand_off_in(self) -> tuple[float, float]:
        """Least and most that a dimple stands proud under the shop head [in]."""
        if self.preparations[-1] != DIMPLE:
            return 0.0, 0.0
        width = FLUSH_WIDTH_IN if self.is_flush else UNIVERSAL_WIDTH_IN
        high = (width[self.diameter] - HOLE_IN[self.diameter]) / 2 / TAN
        pairs = zip(self.thicknesses_in, self.preparations, strict=True)
        dimpled = sum(t for t, how in pairs if how == DIMPLE)
        return max(0.0, high - (1 - SIN) * dimpled), high


@dataclass(frozen=True)
class Metal:
    """Metal for the head in pi/4 D^3: as named, and how far it may be off."""

    named: float
    low: float
    high: float
    least: float
    most: float

    @property
    def verdict(self) -> str:
        """Where it lies: short, long, straddles or inside."""
        if self.high < self.least:
            return "short"
        if self.low > self.most:
            return "long"
        is_sure = self.low >= self.least and self.high <= self.most
        return "inside" if is_sure else "straddles"


def metal(joint: Joint, length_16ths: Fraction | float) -> Metal:
    """What a rivet of this length has for its head in this joint."""
    n, d, grip = joint.diameter, joint.diameter_in, joint.grip_in
    stand_low, stand_high = joint.stand_off_in
    stand = (stand_low + stand_high) / 2
    growth = 0.006 if DIMPLE in joint.preparations else 0.003
    hole = HOLE_IN[n] + growth / 2
    out = float(length_16ths) / 16 - grip - stand
    named = out / d - ((hole / d) ** 2 - 1) * grip / d
    fixed = (
        LENGTH_OFF_IN / d,
        (stand - stand_low) / d,
        2 * hole * growth / 2 * grip / d**3,
    )
    over = math.hypot(*fixed, 2 * (out + grip) * SHANK_OVER_IN / d**2)
    under = math.hypot(*fixed, 2 * (out + grip) * SHANK_UNDER_IN / d**2)
    least = WIDTH_MIN_IN[n] ** 2 * HEIGHT_MIN_IN[n] / d**3
    most = OVER_DRIVEN_D**2 * HEIGHT_MAX_IN[n] / d
    return Metal(named, named - under, named + over, least, most)


def supplied(diameter: int, whole_only: Sequence[int]) -> list[Fraction]:
    """Length codes in the bag: sixteenths from -2 on, with half sizes or without."""
    step = 2 if diameter in whole_only else 1
    return [Fraction(k, 2) for k in range(4, 33, step)]


def fitting_length(joint: Joint, whole_only: Sequence[int]) -> Fraction:
    """The supplied length whose metal is nearest to 1.2, well inside the window."""
    best = min(
        supplied(joint.diameter, whole_only),
        key=lambda length: abs(metal(joint, length).named - WANTED_VOLUME),
    )
    assert metal(joint, best).verdict == "inside", (joint, best)
    return best


def handbook_length(joint: Joint, whole_only: Sequence[int]) -> Fraction:
    """The supplied length nearest to grip + 1.5 D, ties upward."""
    wanted_16ths = 16 * (joint.grip_in + 1.5 * joint.diameter_in)
    lengths = supplied(joint.diameter, whole_only)
    return min(lengths, key=lambda c: (round(abs(c - wanted_16ths), 6), -c))


def nested_land_in(joint: Joint) -> float:
    """Metal left under a countersink that receives the dimples above it [in]."""
    nested, sheet = 0.0, 0.0
    for thick, how in zip(joint.thicknesses_in, joint.preparations, strict=True):
        if how == COUNTERSINK:
            sheet = thick
            break
        nested += thick
    width = FLUSH_WIDTH_IN[joint.diameter] + 2 * nested * (1 - SIN) / COS
    return sheet - (width - HOLE_IN[joint.diameter]) / 2 / TAN

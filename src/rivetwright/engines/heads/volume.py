"""The metal of a head: how much was found, how much was called for, what explains it.

Width squared times height is the metal of a head; what the rivet called for leaves
for it is known with its tolerances. The difference is what a shorter or longer rivet,
a wide hole, or metal between the sheets would have to make up.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction
from math import hypot, sqrt

from rivetwright.engines.forming import head_width_mm, volume_ratio
from rivetwright.engines.heads.called import Called
from rivetwright.engines.heads.entry import Head
from rivetwright.standards.forming import forming_constant
from rivetwright.standards.head_checks import head_check_figure
from rivetwright.standards.source import Source, Status
from rivetwright.standards.spread import Spread

VOLUME = Source(
    "own geometry", "width^2 x height = D^2 x tail, less hole fill", Status.DERIVED
)
WIDTH_SPREAD = float(forming_constant("width spread").value)
READING_MM = head_check_figure("reading")


class Amount(StrEnum):
    """Metal found against metal called for."""

    LESS = "less"
    RIGHT = "right"
    MORE = "more"


@dataclass(frozen=True)
class OtherLength:
    """A supplied length, the metal it would leave, and what then is left over.

    `off` is metal found less that metal, in pi/4 D^3; `is_within` says that it lies
    inside the tolerance.
    """

    length_16ths: Fraction
    volume: float
    off: float
    is_within: bool


@dataclass(frozen=True)
class Metal:
    """The volume working of one head, all in pi/4 D^3 but what names its unit.

    `tolerance` is that of the difference, on the side it lies. `like_length_mm` is
    the length of the rivet that would have made it; `lengths` are the supplied ones,
    the nearest first. `like_hole_mm` is the hole that would have swallowed the rest,
    `like_gap_mm` the opening between the sheets; None where metal is not missing.
    """

    found: float
    called: Spread
    tolerance: float
    amount: Amount
    like_length_mm: float
    lengths: tuple[OtherLength, ...]
    like_hole_mm: float | None
    like_gap_mm: float | None

    @property
    def nearest(self) -> OtherLength:
        """The supplied length that explains the metal best."""
        return self.lengths[0]


def metal_of(head: Head, called: Called) -> Metal | None:
    """The volume working of a head; None where a size or a figure is missing.

    Args:
        head: as measured [mm].
        called: what was called for at the hole.
    """
    width_mm, height_mm = head.width_mm, head.height_mm
    # A figure that no table gives is NaN, and so is all that rests on it.
    is_known = called.volume.central == called.volume.central
    if not width_mm or not height_mm or not is_known:
        return None
    found = float(volume_ratio(called.shank_mm, width_mm, height_mm))
    off = found - called.volume.central
    # A caliper's reading counts twice at the width, which is squared; the model's
    # own spread is one of width too.
    read = hypot(2 * READING_MM / width_mm, READING_MM / height_mm)
    model = 2 * WIDTH_SPREAD
    end = called.volume.low if off < 0 else called.volume.high
    side = abs(called.volume.central - end)
    tolerance = hypot(side, found * read, found * model)
    lengths = _lengths(found, called, tolerance)
    is_called = lengths[0].length_16ths == called.code.length_16ths
    amount = _amount(off, tolerance, is_called)
    is_short = amount is Amount.LESS
    return Metal(
        found,
        called.volume,
        tolerance,
        amount,
        called.length_mm + off * called.shank_mm,
        lengths,
        _hole_mm(called, -off) if is_short else None,
        -off * called.shank_mm if is_short else None,
    )


def width_at_mm(called: Called, metal: float, height_mm: float) -> float:
    """Width that a head of so much metal [pi/4 D^3] has at a height [mm]."""
    return float(head_width_mm(called.shank_mm, height_mm, metal))


def _amount(off: float, tolerance: float, is_called_nearest: bool) -> Amount:
    """Right inside the tolerance, or while no other supplied length is nearer."""
    if abs(off) <= tolerance or is_called_nearest:
        return Amount.RIGHT
    return Amount.LESS if off < 0 else Amount.MORE


def _lengths(found: float, called: Called, tolerance: float) -> tuple[OtherLength, ...]:
    """The supplied lengths, the one that explains the metal best first."""
    every = {*called.supplied_16ths, called.code.length_16ths}
    made = []
    for length in sorted(every):
        volume = called.volume_of_16ths(length)
        off = found - volume
        made.append(OtherLength(length, volume, off, abs(off) <= tolerance))
    return tuple(sorted(made, key=lambda one: abs(one.off)))


def _hole_mm(called: Called, missing: float) -> float:
    """Hole that swallows the metal that is missing [pi/4 D^3] beside the usual fill."""
    grip_d = called.grip_mm / called.shank_mm
    return called.shank_mm * sqrt(1 + (called.fill_ratio + missing) / grip_d)

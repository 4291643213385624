"""Rivets counted on a scale: what one weighs by its volume, and how many that makes.

The shank is a cylinder. A flush head is a cone cut off at the shank; a universal
head lies between a cap of a sphere and a cylinder; that and the tolerances of shank
and length are the spread that is told.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil, floor, pi

from rivetwright.errors import OutsideTable, QuantityRefused
from rivetwright.standards.codes import RivetCode
from rivetwright.standards.density import density_g_mm3
from rivetwright.standards.heads import (
    Spread,
    length_tolerance_mm,
    manufactured_head,
    shank_tolerance_mm,
)
from rivetwright.standards.source import Looked, Source, Status, weakest

GEOMETRY = Source("own geometry", "shank and head by volume", Status.DERIVED)
LEAST_SAMPLE = 10


@dataclass(frozen=True)
class PieceWeight:
    """What one rivet weighs [g]: at least, about, at most; and how sure that is."""

    low_g: float
    mid_g: float
    high_g: float
    status: Status

    def count(self, weight_g: float) -> tuple[int, int, int]:
        """Pieces that a weight makes: at least, about, at most.

        Args:
            weight_g: what they weigh together, without the tin [g].

        Source: division.
        """
        return (
            floor(weight_g / self.high_g),
            round(weight_g / self.mid_g),
            ceil(weight_g / self.low_g),
        )


def flush_head_mm3(width_mm: float, shank_mm: float, height_mm: float) -> float:
    """Volume of a flush head: a cone cut off at the shank.

    Args:
        width_mm: width of the head [mm].
        shank_mm: diameter of the shank [mm].
        height_mm: height of the cone [mm].

    Source: own geometry.
    """
    a, b = width_mm / 2, shank_mm / 2
    return pi * height_mm / 3 * (a * a + a * b + b * b)


def cap_mm3(width_mm: float, height_mm: float) -> float:
    """Volume of a cap of a sphere.

    Args:
        width_mm: its width [mm].
        height_mm: its height [mm].

    Source: own geometry.
    """
    half = width_mm / 2
    return pi * height_mm / 6 * (3 * half * half + height_mm * height_mm)


def cylinder_mm3(width_mm: float, length_mm: float) -> float:
    """Volume of a cylinder.

    Args:
        width_mm: its diameter [mm].
        length_mm: its length [mm].

    Source: own geometry.
    """
    return pi / 4 * width_mm * width_mm * length_mm


def piece_weight(code: RivetCode) -> PieceWeight | None:
    """What one rivet weighs by its volume.

    Args:
        code: a solid rivet.

    Returns:
        Its weight; None where the size of its head or its alloy's density is not
        known.

    Source: own geometry; heads.csv and alloy_density.csv.
    """
    try:
        head = manufactured_head(code.standard, code.nominal_diameter_mm)
        density = density_g_mm3(code.material)
        shank = float(code.diameter_mm)
    except OutsideTable:
        return None
    wide, high = float(head.value.width_mm), float(head.value.height_mm)
    length = float(code.length_mm)
    if code.is_flush:
        # The length of a flush rivet is over all, its head included.
        least = most = flush_head_mm3(wide, shank, high)
        length -= high
    else:
        least, most = cap_mm3(wide, high), cylinder_mm3(wide, high)
    each = float(density.value)
    thin, short = _less(shank_tolerance_mm()), _less(length_tolerance_mm())
    thick, long = _more(shank_tolerance_mm()), _more(length_tolerance_mm())
    low = (cylinder_mm3(shank - thin, length - short) + least) * each
    top = (cylinder_mm3(shank + thick, length + long) + most) * each
    status = weakest(GEOMETRY.status, head.source.status, density.source.status)
    return PieceWeight(low, (low + top) / 2, top, status)


def _less(spread: Looked[Spread]) -> float:
    return float(spread.value.minus_mm)


def _more(spread: Looked[Spread]) -> float:
    return float(spread.value.plus_mm)


def counted_by_sample(weight_g: float, sample_g: float, sample_count: int) -> int:
    """Pieces in a heap by weighing some that were counted: the surer way.

    Args:
        weight_g: what the heap weighs, without the tin [g].
        sample_g: what the counted ones weigh [g].
        sample_count: how many were counted [-].

    Raises:
        QuantityRefused: too few were counted, or a weight is none.

    Source: proportion.
    """
    if sample_count < LEAST_SAMPLE or sample_g <= 0 or weight_g < 0:
        raise QuantityRefused(
            asked="count rivets by weighing",
            found=f"{sample_count} counted, {sample_g:g} g; the heap {weight_g:g} g",
            allowed=f"at least {LEAST_SAMPLE} counted, and weights over nought",
            do="count some more, weigh them, and weigh the heap without its tin",
        )
    return round(weight_g * sample_count / sample_g)

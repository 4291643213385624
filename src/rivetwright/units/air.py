"""Volumes of tanks and flows of free air, as compressor plates write them.

A US gallon is 231 cubic inches, an imperial one 4.54609 litres, both by definition.
Free air is air as the compressor draws it in.  Refuses a figure without a unit: a
tank of 20 may be gallons or litres.
"""

from __future__ import annotations

from fractions import Fraction
from typing import Literal

from rivetwright.units.drills import MM_PER_INCH
from rivetwright.units.tolerance import Number
from rivetwright.units.wording import show_number
from rivetwright.units.written import Written, written_quantity

VolumeUnit = Literal["gal", "imp gal", "l", "ft3", "m3"]
FlowUnit = Literal["cfm", "l/min", "m3/min", "m3/h"]

M3_PER_LITRE = Fraction(1, 1000)
M3_PER_IN3 = (MM_PER_INCH / 1000) ** 3
M3_PER_GALLON = 231 * M3_PER_IN3
M3_PER_FT3 = 12**3 * M3_PER_IN3
M3_S_PER_CFM = M3_PER_FT3 / 60

_VOLUME_M3: dict[str, Fraction] = {
    **dict.fromkeys(("gal", "gallon", "gallons", "us gal"), M3_PER_GALLON),
    "imp gal": Fraction("4.54609") * M3_PER_LITRE,
    **dict.fromkeys(("l", "litre", "litres"), M3_PER_LITRE),
    "ft3": M3_PER_FT3,
    "m3": Fraction(1),
}
_FLOW_M3_S: dict[str, Fraction] = {
    **dict.fromkeys(("cfm", "scfm"), M3_S_PER_CFM),
    "l/min": M3_PER_LITRE / 60,
    "m3/min": Fraction(1, 60),
    "m3/h": Fraction(1, 3600),
}


def parse_volume_m3(text: Written, *, decimal_comma: bool = False) -> Fraction:
    """Read the volume of a tank, nought or more.

    Args:
        text: ``2 gal``, ``24 l``; the unit must stand there [-].
        decimal_comma: whether a comma may stand for the point [-].

    Returns:
        The volume [m3], exact.

    Raises:
        QuantityRefused: it was not understood, has no unit, or is below nought.

    Source:
        1 US gal = 231 in3, 1 imp gal = 4.54609 l by definition.
    """
    return written_quantity(
        text,
        _VOLUME_M3,
        decimal_comma=decimal_comma,
        asked="read a volume",
        allowed="2 gal, 24 l or 1.5 imp gal",
    )


def parse_flow_m3_s(text: Written, *, decimal_comma: bool = False) -> Fraction:
    """Read a flow of free air, nought or more.

    Standard cubic feet count as free ones: in a garage they differ by a few per
    cent (JUDGEMENT), less than a compressor's plate is right.

    Args:
        text: ``2.4 cfm``, ``70 l/min``; the unit must stand there [-].
        decimal_comma: whether a comma may stand for the point [-].

    Returns:
        The flow [m3/s], exact.

    Raises:
        QuantityRefused: it was not understood, has no unit, or is below nought.

    Source:
        1 ft = 304.8 mm by definition.
    """
    return written_quantity(
        text,
        _FLOW_M3_S,
        decimal_comma=decimal_comma,
        asked="read a flow of air",
        allowed="2.4 cfm, 70 l/min or 4 m3/h",
    )


def show_volume(volume_m3: Number, *, unit: VolumeUnit = "gal", digits: int = 1) -> str:
    """Write a volume with its unit.

    Args:
        volume_m3: the volume [m3].
        unit: unit to show it in [-].
        digits: digits after the point [-].

    Returns:
        ``2.0 gal``.

    Source:
        1 US gal = 231 in3, 1 imp gal = 4.54609 l by definition.
    """
    shown = Fraction(volume_m3) / _VOLUME_M3[unit.lower()]
    return f"{show_number(shown, digits=digits)} {unit}"


def show_flow(flow_m3_s: Number, *, unit: FlowUnit = "cfm", digits: int = 1) -> str:
    """Write a flow of free air with its unit.

    Args:
        flow_m3_s: the flow [m3/s].
        unit: unit to show it in [-].
        digits: digits after the point [-].

    Returns:
        ``2.4 cfm``.

    Source:
        1 ft = 304.8 mm by definition.
    """
    shown = Fraction(flow_m3_s) / _FLOW_M3_S[unit.lower()]
    return f"{show_number(shown, digits=digits)} {unit}"

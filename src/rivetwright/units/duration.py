"""Times that work takes, and how fast a hand moves: seconds, minutes, hours, mm/s.

Refuses a figure without a unit: 12 might be seconds or minutes.
"""

from __future__ import annotations

from fractions import Fraction

from rivetwright.units.drills import MM_PER_INCH
from rivetwright.units.written import Written, written_quantity

SECONDS = {
    **dict.fromkeys(("s", "sec"), Fraction(1)),
    "min": Fraction(60),
    **dict.fromkeys(("h", "hours"), Fraction(3600)),
}
SPEEDS_MM_S = {"mm/s": Fraction(1), "in/s": MM_PER_INCH}


def parse_time_s(text: Written, *, decimal_comma: bool = False) -> Fraction:
    """Read a time that work takes, nought or more.

    Args:
        text: ``12 s``, ``1-1/2 min``, ``2 h``; the unit must stand there [-].
        decimal_comma: whether a comma may stand for the point [-].

    Returns:
        The time [s], exact.

    Raises:
        QuantityRefused: it was not understood, has no unit, or is below nought.

    Source:
        1 min = 60 s and 1 h = 3600 s by definition.
    """
    return written_quantity(
        text,
        SECONDS,
        decimal_comma=decimal_comma,
        asked="read a time",
        allowed="12 s, 1-1/2 min or 2 h",
    )


def parse_speed_mm_s(text: Written, *, decimal_comma: bool = False) -> Fraction:
    """Read how fast a hand moves, nought or more.

    Args:
        text: ``250 mm/s``, ``10 in/s``; the unit must stand there [-].
        decimal_comma: whether a comma may stand for the point [-].

    Returns:
        The speed [mm/s], exact.

    Raises:
        QuantityRefused: it was not understood, has no unit, or is below nought.

    Source:
        1 in = 25.4 mm by definition.
    """
    return written_quantity(
        text,
        SPEEDS_MM_S,
        decimal_comma=decimal_comma,
        asked="read a speed",
        allowed="250 mm/s or 10 in/s",
    )

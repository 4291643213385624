"""Weights of bars as the scales show them: pounds, ounces, kilograms, grams.

The pound is 0.45359237 kg by definition.  Refuses a figure without a unit.
"""

from __future__ import annotations

from fractions import Fraction
from typing import Literal

from rivetwright.units.tolerance import Number
from rivetwright.units.wording import show_number
from rivetwright.units.written import Written, written_quantity

MassUnit = Literal["lb", "oz", "kg", "g"]

KG_PER_LB = Fraction("0.45359237")

_MASS_KG: dict[str, Fraction] = {
    **dict.fromkeys(("lb", "lbs"), KG_PER_LB),
    "oz": KG_PER_LB / 16,
    "kg": Fraction(1),
    "g": Fraction(1, 1000),
}


def parse_mass_kg(text: Written, *, decimal_comma: bool = False) -> Fraction:
    """Read what a bar weighs, nought or more.

    Args:
        text: ``2-1/2 lb``, ``1.1 kg``; the unit must stand there [-].
        decimal_comma: whether a comma may stand for the point [-].

    Returns:
        The mass [kg], exact.

    Raises:
        QuantityRefused: it was not understood, has no unit, or is below nought.

    Source:
        1 lb = 0.45359237 kg by definition.
    """
    return written_quantity(
        text,
        _MASS_KG,
        decimal_comma=decimal_comma,
        asked="read a weight",
        allowed="2-1/2 lb, 36 oz or 1.1 kg",
    )


def show_mass(mass_kg: Number, *, unit: MassUnit = "lb", digits: int = 1) -> str:
    """Write a weight with its unit.

    Args:
        mass_kg: the mass [kg].
        unit: unit to show it in [-].
        digits: digits after the point [-].

    Returns:
        ``2.5 lb``.

    Source:
        1 lb = 0.45359237 kg by definition.
    """
    shown = Fraction(mass_kg) / _MASS_KG[unit.lower()]
    return f"{show_number(shown, digits=digits)} {unit}"

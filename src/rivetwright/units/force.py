"""Forces and pressures: newton and pound-force, kPa, psi and bar.

The pound-force is 0.45359237 kg at 9.80665 m/s2, both exact by definition, so every
factor is an exact fraction.  Refuses other units (kgf, MPa, atm): a force in kg has
been read as a mass too often.
"""

from __future__ import annotations

import re
from fractions import Fraction
from typing import Literal

from rivetwright.errors import QuantityRefused
from rivetwright.units.drills import MM_PER_INCH
from rivetwright.units.tolerance import Number
from rivetwright.units.wording import show_number
from rivetwright.units.written import Written, exact_number, tidy_text, written_number

ForceUnit = Literal["N", "kN", "lbf"]
PressureUnit = Literal["kPa", "psi", "bar"]

N_PER_LBF = Fraction("0.45359237") * Fraction("9.80665")
KPA_PER_PSI = N_PER_LBF / MM_PER_INCH**2 * 1000
KPA_PER_BAR = Fraction(100)

_FORCE_N: dict[str, Fraction] = {
    "n": Fraction(1),
    "kn": Fraction(1000),
    **dict.fromkeys(("lbf", "lb", "lbs"), N_PER_LBF),
}
_PRESSURE_KPA: dict[str, Fraction] = {
    "kpa": Fraction(1),
    "psi": KPA_PER_PSI,
    "bar": KPA_PER_BAR,
}
_WITH_UNIT = re.compile(r"(?P<number>[^a-z]*?) ?(?P<unit>[a-z].*)?", re.IGNORECASE)


def parse_force_n(
    text: Written, *, bare_unit: ForceUnit = "lbf", decimal_comma: bool = False
) -> Fraction:
    """Read a force, nought or more.

    Args:
        text: ``3000 lbf``, ``13 kN``, or a number [bare_unit where none is written].
        bare_unit: unit of a number without one [-].
        decimal_comma: whether a comma may stand for the point [-].

    Returns:
        The force [N], exact.

    Raises:
        QuantityRefused: it was not understood, or is below nought.

    Source:
        1 lbf = 4.4482216152605 N by definition.
    """
    return _parse(
        text, _FORCE_N, bare_unit, decimal_comma, "read a force", "3000 lbf or 13 kN"
    )


def parse_pressure_kpa(
    text: Written, *, bare_unit: PressureUnit = "psi", decimal_comma: bool = False
) -> Fraction:
    """Read a gauge pressure, nought or more.

    Args:
        text: ``90 psi``, ``6 bar``, or a number [bare_unit where none is written].
        bare_unit: unit of a number without one [-].
        decimal_comma: whether a comma may stand for the point [-].

    Returns:
        The pressure [kPa], exact.

    Raises:
        QuantityRefused: it was not understood, or is below nought.

    Source:
        1 psi = 1 lbf over 1 in2 = 6.894757... kPa by definition; 1 bar = 100 kPa.
    """
    return _parse(
        text,
        _PRESSURE_KPA,
        bare_unit,
        decimal_comma,
        "read a pressure",
        "90 psi, 6 bar or 600 kPa",
    )


def show_force(force_n: Number, *, unit: ForceUnit = "lbf", digits: int = 0) -> str:
    """Write a force with its unit.

    Args:
        force_n: the force [N].
        unit: unit to show it in [-].
        digits: digits after the point [-].

    Returns:
        ``3000 lbf``.

    Source:
        1 lbf = 4.4482216152605 N by definition.
    """
    shown = Fraction(force_n) / _FORCE_N[unit.lower()]
    return f"{show_number(shown, digits=digits)} {unit}"


def show_pressure(
    pressure_kpa: Number, *, unit: PressureUnit = "psi", digits: int = 0
) -> str:
    """Write a gauge pressure with its unit.

    Args:
        pressure_kpa: the pressure [kPa].
        unit: unit to show it in [-].
        digits: digits after the point [-].

    Returns:
        ``90 psi``.

    Source:
        1 psi = 1 lbf over 1 in2 by definition; 1 bar = 100 kPa.
    """
    shown = Fraction(pressure_kpa) / _PRESSURE_KPA[unit.lower()]
    return f"{show_number(shown, digits=digits)} {unit}"


def _parse(
    text: Written,
    factors: dict[str, Fraction],
    bare_unit: str,
    decimal_comma: bool,
    asked: str,
    allowed: str,
) -> Fraction:
    """Read a quantity of nought or more in one of the units of a family."""
    unit: str | None = None
    if isinstance(text, str):
        tidy = tidy_text(text, asked=asked, allowed=allowed)
        parts = _WITH_UNIT.fullmatch(tidy)
        unit = parts["unit"] if parts else None
        written = parts["number"] if parts else tidy
        number = written_number(
            written,
            whole=tidy,
            asked=asked,
            allowed=allowed,
            decimal_comma=decimal_comma,
        )
    else:
        number = exact_number(text, asked=asked)
    factor = factors.get((unit or bare_unit).lower())
    if factor is None or number < 0:
        raise QuantityRefused(
            asked=asked,
            found=str(text)[:40],
            allowed=f"0 or more, as {allowed}",
            do="write it in one of these units",
        )
    return number * factor

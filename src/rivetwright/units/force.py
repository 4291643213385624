"""Forces, pressures and springs: newton and pound-force, kPa, psi and bar.

The pound-force is 0.45359237 kg at 9.80665 m/s2, both exact by definition, so every
factor is an exact fraction.  Refuses other units (kgf, MPa, atm): a force in kg has
been read as a mass too often.
"""

from __future__ import annotations

from fractions import Fraction
from typing import Literal

from rivetwright.units.drills import MM_PER_INCH
from rivetwright.units.tolerance import Number
from rivetwright.units.wording import show_number
from rivetwright.units.written import Written, written_quantity

ForceUnit = Literal["N", "kN", "lbf"]
PressureUnit = Literal["kPa", "psi", "bar"]
StiffnessUnit = Literal["N/mm", "kN/mm", "lbf/in"]

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
_STIFFNESS_N_MM: dict[str, Fraction] = {
    "n/mm": Fraction(1),
    "kn/mm": Fraction(1000),
    **dict.fromkeys(("lbf/in", "lb/in"), N_PER_LBF / MM_PER_INCH),
}


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
    return written_quantity(
        text,
        _FORCE_N,
        bare_unit=bare_unit,
        decimal_comma=decimal_comma,
        asked="read a force",
        allowed="3000 lbf or 13 kN",
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
    return written_quantity(
        text,
        _PRESSURE_KPA,
        bare_unit=bare_unit,
        decimal_comma=decimal_comma,
        asked="read a pressure",
        allowed="90 psi, 6 bar or 600 kPa",
    )


def parse_stiffness_n_mm(text: Written, *, decimal_comma: bool = False) -> Fraction:
    """Read how much force springs a yoke open by a length, nought or more.

    Args:
        text: ``300000 lbf/in`` or ``52 kN/mm``; the unit must stand there [-].
        decimal_comma: whether a comma may stand for the point [-].

    Returns:
        The stiffness [N/mm], exact.

    Raises:
        QuantityRefused: it was not understood, has no unit, or is below nought.

    Source:
        1 lbf = 4.4482216152605 N and 1 in = 25.4 mm by definition.
    """
    return written_quantity(
        text,
        _STIFFNESS_N_MM,
        decimal_comma=decimal_comma,
        asked="read a stiffness",
        allowed="300000 lbf/in or 52 kN/mm",
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


def show_stiffness(
    stiffness_n_mm: Number, *, unit: StiffnessUnit = "lbf/in", digits: int = 0
) -> str:
    """Write a stiffness with its unit.

    Args:
        stiffness_n_mm: the stiffness [N/mm].
        unit: unit to show it in [-].
        digits: digits after the point [-].

    Returns:
        ``300000 lbf/in``.

    Source:
        1 lbf = 4.4482216152605 N and 1 in = 25.4 mm by definition.
    """
    shown = Fraction(stiffness_n_mm) / _STIFFNESS_N_MM[unit.lower()]
    return f"{show_number(shown, digits=digits)} {unit}"

"""A length as a person reads it at the bench.

Inches drop the nought before the point (``.032``), millimetres keep it (``0.81``).
Fractions go down to 64ths and are shown only where they are exact.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal, localcontext
from fractions import Fraction
from typing import Literal

from rivetwright.units.drills import MM_PER_INCH
from rivetwright.units.tolerance import Number, is_same

UnitSystem = Literal["in", "mm"]
LengthStyle = Literal["decimal", "fraction", "auto"]

_DIGITS: dict[UnitSystem, int] = {"in": 3, "mm": 2}


@dataclass(frozen=True)
class BothUnits:
    """One length in the project's own unit and, small beside it, in the other."""

    main: str
    other: str

    def __str__(self) -> str:
        """Write both on one line, the other unit in brackets."""
        return f"{self.main} ({self.other})"


def show_number(
    number: Number, *, digits: int, leading_zero: bool = True, trim: bool = False
) -> str:
    """Write a number with fixed digits, ties away from nought.

    Args:
        number: what to write [any unit].
        digits: digits after the point [-].
        leading_zero: whether a nought stands before the point [-].
        trim: whether noughts at the end are dropped [-].

    Returns:
        The number as text; never ``-0``.

    Source:
        Own form; JUDGEMENT.
    """
    # A float that stands for a tie (0.1875) lies a hair to one side of it.
    fine = 10 ** (digits + 8)
    exact = Fraction(round(Fraction(number) * fine), fine)
    with localcontext(prec=60):
        quotient = Decimal(exact.numerator) / Decimal(exact.denominator)
        rounded = quotient.quantize(Decimal(1).scaleb(-digits), ROUND_HALF_UP)
    text = f"{abs(rounded):f}"
    if trim and "." in text:
        text = text.rstrip("0").removesuffix(".")
    if not leading_zero and text.startswith("0."):
        text = text[1:]
    return f"-{text}" if rounded < 0 else text


def show_fraction(length_mm: Number, *, denominator_most: int = 64) -> str | None:
    """Write a length in inches as the trade's fraction, where it is one exactly.

    Args:
        length_mm: the length [mm].
        denominator_most: finest part of an inch: 2, 4, 8, 16, 32 or 64 [-].

    Returns:
        ``3/32``, ``1-1/16``, ``2``; None where no such fraction is exact.

    Source:
        1 in = 25.4 mm by definition.
    """
    parts = round(Fraction(length_mm) / MM_PER_INCH * denominator_most)
    inches = Fraction(parts, denominator_most)
    if not is_same(inches * MM_PER_INCH, length_mm):
        return None
    whole, rest = divmod(abs(inches), 1)
    sign = "-" if inches < 0 else ""
    if not rest:
        return f"{sign}{whole}"
    return f"{sign}{whole}-{rest}" if whole else f"{sign}{rest}"


def show_length(
    length_mm: Number,
    *,
    system: UnitSystem = "in",
    style: LengthStyle = "auto",
    digits: int | None = None,
    leading_zero: bool | None = None,
    with_unit: bool = False,
) -> str:
    """Write a length as the project shows lengths.

    Args:
        length_mm: the length [mm].
        system: "in" or "mm" [-].
        style: "decimal"; "fraction" or "auto" (a fraction of an inch where it is
            exact, otherwise decimal) [-].
        digits: digits after the point; 3 for inches and 2 for mm when not given [-].
        leading_zero: nought before the point; kept for mm only when not given [-].
        with_unit: whether the unit follows [-].

    Returns:
        ``.032``, ``12.325``, ``3/32``, ``1-1/16``, ``0.81 mm``.

    Source:
        1 in = 25.4 mm by definition.
    """
    unit = f" {system}" if with_unit else ""
    if system == "in" and style != "decimal":
        fraction = show_fraction(length_mm)
        if fraction is not None:
            return fraction + unit
    in_system = Fraction(length_mm) / (MM_PER_INCH if system == "in" else 1)
    text = show_number(
        in_system,
        digits=_DIGITS[system] if digits is None else digits,
        leading_zero=(system == "mm") if leading_zero is None else leading_zero,
    )
    return text + unit


def show_both(
    length_mm: Number,
    *,
    system: UnitSystem = "in",
    style: LengthStyle = "auto",
    digits: int | None = None,
) -> BothUnits:
    """Write a length in the project's own unit and in the other one.

    Args:
        length_mm: the length [mm].
        system: the project's own unit, "in" or "mm" [-].
        style: style of the inches [-].
        digits: digits of the project's own unit [-].

    Returns:
        Both texts, each with its unit.

    Source:
        1 in = 25.4 mm by definition.
    """
    other: UnitSystem = "mm" if system == "in" else "in"
    return BothUnits(
        show_length(
            length_mm, system=system, style=style, digits=digits, with_unit=True
        ),
        show_length(length_mm, system=other, style="decimal", with_unit=True),
    )

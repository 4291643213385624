"""Lengths as the trade writes them, to exact millimetres.

Understands ``3/32``, ``1-1/16``, ``1 1/16``, ``.032``, ``0.032 in``, ``0.032"``,
``0.8 mm``, ``#40``, ``No. 40`` and ``letter F``.  A bare number is in the unit the
caller names.  Refuses other units, a decimal comma nobody chose, sizes of nought and
below, and lengths of more than a kilometre.  The inch is 25.4 mm by definition.
"""

from __future__ import annotations

import re
from fractions import Fraction
from typing import Literal

from rivetwright.errors import OutsideTable, QuantityRefused
from rivetwright.units.drills import MM_PER_INCH, drill_mm
from rivetwright.units.written import (
    Written,
    exact_number,
    tidy_text,
    written_number,
    written_quantity,
)

LengthUnit = Literal["in", "mm"]

_SIZE_ALLOWED = "3/32, 1-1/16, .032, 0.8 mm, No. 40 or letter F"
_PLACE_ALLOWED = "12.325, 3/32, -1-1/16 or 20 mm"
_MM_MOST = 1_000_000
_UNIT_MM = {
    **dict.fromkeys(("in", "in.", "inch", "inches", '"', "''"), MM_PER_INCH),
    **dict.fromkeys(("mm", "mm.", "millimetre", "millimetres"), Fraction(1)),
}
_RUN_MM = {
    **dict.fromkeys(("ft", "foot", "feet"), 12 * MM_PER_INCH),
    **dict.fromkeys(("in", "inch", "inches"), MM_PER_INCH),
    "m": Fraction(1000),
    "mm": Fraction(1),
}
_BARE_MM: dict[LengthUnit, Fraction] = {"in": MM_PER_INCH, "mm": Fraction(1)}
_DRILL = re.compile(
    r"(?:drill )?(?:# ?|no\.? ?|number )([0-9]{1,3})(?: drill)?"
    r"|(?:letter|drill) ([a-z])(?: drill)?|([a-z]) drill",
    re.IGNORECASE,
)
_WITH_UNIT = re.compile(r"(?P<number>[^a-z\"']*?) ?(?P<unit>[a-z\"'].*)?", re.I)


def parse_length_mm(
    text: Written, *, bare_unit: LengthUnit = "in", decimal_comma: bool = False
) -> Fraction:
    """Read a size: thickness, diameter, length; always more than nought.

    Args:
        text: the size as written, or a number [bare_unit where none is written].
        bare_unit: unit of a number without one, "in" or "mm" [-].
        decimal_comma: whether ``0,8 mm`` may be written [-].

    Returns:
        The size [mm], exact.

    Raises:
        QuantityRefused: it was not understood, or is nought or less.

    Source:
        1 in = 25.4 mm by definition; drill sizes see drills.csv.
    """
    asked = "read a size"
    if isinstance(text, str):
        tidy = tidy_text(text, asked=asked, allowed=_SIZE_ALLOWED)
        named = _named_drill_mm(tidy, asked=asked)
        if named is not None:
            return named
    size_mm = _length_mm(text, bare_unit, decimal_comma, asked, _SIZE_ALLOWED)
    if size_mm <= 0:
        raise QuantityRefused(
            asked=asked,
            found=_as_found(text, bare_unit),
            allowed="more than 0",
            do="write the size as drawn or measured",
        )
    return size_mm


def parse_coordinate_mm(
    text: Written, *, bare_unit: LengthUnit = "in", decimal_comma: bool = False
) -> Fraction:
    """Read a place or a step on a face: signed, nought allowed.

    Args:
        text: the coordinate as written, or a number [bare_unit where none is written].
        bare_unit: unit of a number without one, "in" or "mm" [-].
        decimal_comma: whether ``0,8 mm`` may be written [-].

    Returns:
        The coordinate [mm], exact.

    Raises:
        QuantityRefused: it was not understood; a drill name is no place.

    Source:
        1 in = 25.4 mm by definition.
    """
    asked = "read a coordinate"
    return _length_mm(text, bare_unit, decimal_comma, asked, _PLACE_ALLOWED)


def parse_run_mm(text: Written, *, decimal_comma: bool = False) -> Fraction:
    """Read the length of a hose or pipe, which people write in feet or metres.

    Only here: a sheet of ``.8 m`` is a slip.

    Args:
        text: ``25 ft``, ``7.5 m``, ``300 in``; the unit must stand there [-].
        decimal_comma: whether a comma may stand for the point [-].

    Returns:
        The length [mm], exact.

    Raises:
        QuantityRefused: it was not understood, has no unit, or is below nought.

    Source:
        1 ft = 12 in, 1 in = 25.4 mm by definition.
    """
    return written_quantity(
        text,
        _RUN_MM,
        decimal_comma=decimal_comma,
        asked="read a length of hose",
        allowed="25 ft, 7.5 m or 300 in",
    )


def _length_mm(
    text: Written,
    bare_unit: LengthUnit,
    decimal_comma: bool,
    asked: str,
    allowed: str,
) -> Fraction:
    """Read a signed length and hold it to a kilometre."""
    factor_mm = _BARE_MM[bare_unit]
    if isinstance(text, str):
        tidy = tidy_text(text, asked=asked, allowed=allowed)
        parts = _WITH_UNIT.fullmatch(tidy)
        unit = parts["unit"] if parts else None
        if unit is not None:
            factor_mm = _unit_mm(unit, tidy, asked)
        number = written_number(
            parts["number"] if parts else tidy,
            whole=tidy,
            asked=asked,
            allowed=allowed,
            decimal_comma=decimal_comma,
        )
    else:
        number = exact_number(text, asked=asked)
    length_mm = number * factor_mm
    if abs(length_mm) > _MM_MOST:
        raise QuantityRefused(
            asked=asked,
            found=_as_found(text, bare_unit),
            allowed="at most 1 km (1 000 000 mm)",
            do="look for a lost point or a slipped digit",
        )
    return length_mm


def _named_drill_mm(tidy: str, *, asked: str) -> Fraction | None:
    """Give a drill's diameter where the text names a drill."""
    if not (named := _DRILL.fullmatch(tidy)):
        return None
    short = next(group for group in named.groups() if group)
    try:
        return drill_mm(short)
    except OutsideTable as outside:
        raise QuantityRefused(
            asked=asked,
            found=tidy,
            allowed=outside.allowed,
            do=outside.do,
            source=outside.source,
        ) from outside


def _unit_mm(unit: str, tidy: str, asked: str) -> Fraction:
    """Give the millimetres of a written unit."""
    try:
        return _UNIT_MM[unit.lower()]
    except KeyError:
        raise QuantityRefused(
            asked=asked,
            found=tidy,
            allowed='in (or ") and mm, or a drill such as No. 40 or letter F',
            do="write it in in or mm; a drill letter as letter F",
        ) from None


def _as_found(text: Written, bare_unit: LengthUnit) -> str:
    """Repeat what was written, with the unit it was taken in."""
    return text.strip() if isinstance(text, str) else f"{str(text)[:40]} {bare_unit}"

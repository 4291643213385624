"""A number as a person writes it, apart from its unit.

Understands ``3/32``, ``1-1/16``, ``1 1/16``, ``.032`` and, where the writer's
language has it, ``0,8``.  Refuses two marks in one number, a fraction part of one or
more (``1-17/16`` is a slip, not a size), a fraction over nought, and not-a-number.
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from decimal import Decimal
from fractions import Fraction

from rivetwright.errors import QuantityRefused

Written = str | int | float | Decimal | Fraction

_LONGEST_TEXT = 40
_SAME_SIGN = str.maketrans(
    {
        "\u2212": "-",  # minus sign
        "\u2010": "-",  # hyphen
        "\u2011": "-",  # non-breaking hyphen
        "\u2013": "-",  # en dash
        "\u2044": "/",  # fraction slash
        "\u2033": '"',  # double prime
        "\u201d": '"',  # closing quotation mark
        "\u00a0": " ",
        "\u202f": " ",
    }
)
_FRACTION = re.compile(r"(?:([0-9]+)(?: ?- ?| ))?([0-9]+) ?/ ?([0-9]+)")
_WITH_UNIT = re.compile(r"(?P<number>[^a-z]*?) ?(?P<unit>[a-z].*)?", re.IGNORECASE)
_DECIMAL = re.compile(r"[0-9]+[.,]?[0-9]*|[.,][0-9]+")


def tidy_text(written: str, *, asked: str, allowed: str) -> str:
    """Bring signs and spaces of a written quantity to one form.

    Args:
        written: what was typed, any dash, prime or space [-].
        asked: what is being read, for the refusal [-].
        allowed: what may stand here, for the refusal [-].

    Returns:
        The same text with plain signs and single spaces; never empty.

    Raises:
        QuantityRefused: nothing was written, or far too much.

    Source:
        Own form; JUDGEMENT.
    """
    text = " ".join(written.translate(_SAME_SIGN).split())
    if not text:
        raise QuantityRefused(
            asked=asked,
            found="nothing written",
            allowed=allowed,
            do="write a size; after a bare # the plan file reads a comment, so put "
            '"#40" in quotes or write No. 40',
        )
    if len(text) > _LONGEST_TEXT:
        raise QuantityRefused(
            asked=asked,
            found=f"{text[:_LONGEST_TEXT]}... ({len(text)} characters)",
            allowed=allowed,
            do=f"write it in at most {_LONGEST_TEXT} characters",
        )
    return text


def exact_number(number: int | float | Decimal | Fraction, *, asked: str) -> Fraction:
    """Take a number over exactly, a float as the shortest decimal that means it.

    Args:
        number: the number as it was given [any unit].
        asked: what is being read, for the refusal [-].

    Returns:
        The same number as a fraction; .032 becomes 32/1000.

    Raises:
        QuantityRefused: it is not a finite number, or it is a yes or no.

    Source:
        Own form; JUDGEMENT.
    """
    is_number = isinstance(number, int | float | Decimal | Fraction)
    if not is_number or isinstance(number, bool):
        raise QuantityRefused(
            asked=asked,
            found=f"{number} ({type(number).__name__})",
            allowed="a number, or text such as 3/32, .032 or 0.8 mm",
            do='put the size in quotes, as "#40" or "3/32"',
        )
    if not math.isfinite(number):
        raise QuantityRefused(
            asked=asked,
            found=f"{number}",
            allowed="a finite number",
            do="write the size that was measured",
        )
    # float.__repr__ also for subclasses: an array's scalar prints its type as well.
    return Fraction(float.__repr__(number) if isinstance(number, float) else number)


def written_number(
    text: str, *, whole: str, asked: str, allowed: str, decimal_comma: bool = False
) -> Fraction:
    """Read one written number without its unit: fraction, mixed number or decimal.

    Args:
        text: tidied text with an optional sign in front [any unit].
        whole: the same with its unit, for the refusal [-].
        asked: what is being read, for the refusal [-].
        allowed: what may stand here, for the refusal [-].
        decimal_comma: whether the writer's language puts a comma [-].

    Returns:
        The number, exact.

    Raises:
        QuantityRefused: it is not a number in one of these forms.

    Source:
        Own form; JUDGEMENT.
    """

    def refuse(do: str) -> QuantityRefused:
        return QuantityRefused(asked=asked, found=whole, allowed=allowed, do=do)

    sign, body = (-1, text[1:].strip()) if text.startswith("-") else (1, text)
    if body.startswith("+"):
        body = body[1:].strip()
    if fraction := _FRACTION.fullmatch(body):
        ones, above, below = (int(part or 0) for part in fraction.groups())
        if below == 0:
            raise refuse("write a fraction whose lower number is not 0")
        if ones and above >= below:
            raise refuse("write the fraction part smaller than 1, as in 1-1/16")
        return sign * (ones + Fraction(above, below))
    if not _DECIMAL.fullmatch(body):
        raise refuse("write one size, as in 3/32, 1-1/16, .032 or 0.8 mm")
    if "," in body and not decimal_comma:
        point = whole.replace(",", ".")
        raise refuse(f"write {point} with a point, or choose the decimal comma")
    return sign * Fraction(body.replace(",", ".").removesuffix("."))


def written_quantity(
    text: Written,
    factors: Mapping[str, Fraction],
    *,
    asked: str,
    allowed: str,
    bare_unit: str | None = None,
    decimal_comma: bool = False,
) -> Fraction:
    """Read a quantity of nought or more in one of the units of a family.

    Args:
        text: number and unit as typed, or a number [bare_unit].
        factors: for each unit in small letters what one of it is [inside unit].
        asked: what is being read, for the refusal [-].
        allowed: how it may be written, for the refusal [-].
        bare_unit: unit of a number without one; None where it must be written [-].
        decimal_comma: whether a comma may stand for the point [-].

    Returns:
        The quantity [inside unit], exact.

    Raises:
        QuantityRefused: it was not understood, has no unit or is below nought.

    Source:
        Own form; JUDGEMENT.
    """
    unit: str | None = None
    if isinstance(text, str):
        tidy = tidy_text(text, asked=asked, allowed=allowed)
        parts = _WITH_UNIT.fullmatch(tidy)
        unit = parts["unit"] if parts else None
        number = written_number(
            parts["number"] if parts else tidy,
            whole=tidy,
            asked=asked,
            allowed=allowed,
            decimal_comma=decimal_comma,
        )
    else:
        number = exact_number(text, asked=asked)
    unit = unit or bare_unit
    factor = factors.get(unit.lower()) if unit else None
    if factor is None or number < 0:
        raise QuantityRefused(
            asked=asked,
            found=str(text)[:_LONGEST_TEXT],
            allowed=f"0 or more, as {allowed}",
            do="write it in one of these units" if unit else "write its unit too",
        )
    return number * factor

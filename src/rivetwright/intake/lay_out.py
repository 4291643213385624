"""Groups, lists and texts to YAML 1.2: short entries in braces, one a line.

What is written here reads back as the same texts; quotes stand only where they must.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Mapping
from fractions import Fraction
from typing import Any

from rivetwright.units.drills import MM_PER_INCH
from rivetwright.units.length import LengthUnit
from rivetwright.units.wording import show_number

WIDTH = 88

_SAFE = re.compile(r"[^\W_](?:[\w.+/() ±-]*[\w.+/()±-])?|-?\.?\d[\w./-]*")
_RANGE = re.compile(r"[\w.+/-]+:\d+(?:-\d+)?")
_WORDS = frozenset(["null", "Null", "NULL"])
_ESCAPE = re.compile("[\x7f-\x9f\u2028\u2029\ufeff\ufffe\uffff\ud800-\udfff]")


class Block(dict[str, Any]):
    """A group whose fields stand one a line."""


class BlockList(list[Any]):
    """A list whose entries stand one a line."""


def text(written: str) -> str:
    """A text as a YAML scalar, in double quotes where it would mean something else."""
    is_plain = _SAFE.fullmatch(written) or _RANGE.fullmatch(written)
    if is_plain and written not in _WORDS and "  " not in written:
        return written
    quoted = json.dumps(written, ensure_ascii=False)
    return _ESCAPE.sub(lambda found: f"\\u{ord(found[0]):04x}", quoted)


def flow(value: Any) -> str:
    """A value on one line, in braces and brackets."""
    if isinstance(value, dict):
        return f"{{{', '.join(_fields(value))}}}"
    if isinstance(value, list | tuple):
        return f"[{', '.join(flow(one) for one in value)}]"
    return text(str(value))


def _fields(group: dict[str, Any]) -> list[str]:
    """The fields of a group, each on one line."""
    return [f"{text(key)}: {flow(value)}" for key, value in group.items()]


def lines(value: Block | BlockList, indent: int = 0) -> Iterator[str]:
    """The lines of a block."""
    if isinstance(value, BlockList):
        for one in value:
            yield from _entry(" " * indent + "- ", one)
        return
    for key, one in value.items():
        head = " " * indent + f"{text(key)}:"
        if isinstance(one, Block | BlockList) and one:
            yield head
            yield from lines(one, indent + 2)
        else:
            yield from _entry(head + " ", one)


def _entry(head: str, value: Any) -> Iterator[str]:
    """One entry, filled into lines of the width where it has several fields."""
    whole = head + flow(value)
    if len(whole) <= WIDTH or not isinstance(value, dict | list | tuple) or not value:
        yield whole
        return
    if isinstance(value, dict):
        pieces, begin, end = _fields(value), "{", "}"
    else:
        pieces, begin, end = [flow(one) for one in value], "[", "]"
    line, hang = head + begin, " " * (len(head) + 1)
    for k, piece in enumerate(pieces):
        piece += end if k == len(pieces) - 1 else ","
        if line.strip() and len(line) + len(piece) + 1 > WIDTH and k:
            yield line
            line = hang + piece
        else:
            line += (" " if k else "") + piece
    yield line


def exact_length(length_mm: Fraction, unit: LengthUnit) -> str:
    """A length that reads back exactly: a decimal, or a fraction of the unit."""
    value = length_mm / (MM_PER_INCH if unit == "in" else 1)
    for digits in range(7):
        if (value * 10**digits).denominator == 1:
            return show_number(value, digits=digits, leading_zero=unit == "mm")
    return f"{value.numerator}/{value.denominator}"


def length(length_mm: float, unit: LengthUnit) -> str:
    """The shortest decimal in the unit that reads back as this very length."""
    factor = MM_PER_INCH if unit == "in" else Fraction(1)
    exact = Fraction(length_mm)
    for digits in range(18):
        shown = show_number(exact / factor, digits=digits, leading_zero=unit == "mm")
        if float(Fraction(shown) * factor) == length_mm:
            return shown
    return f"{show_number(exact, digits=25, trim=True)} mm"


def quantity(value: float, units: Mapping[str, Fraction]) -> str:
    """A quantity in the unit that needs the fewest figures to read back as this value.

    `units` has what one of each is; the first wins a tie.
    """
    shown = [_in_unit(Fraction(value), value, *unit) for unit in units.items()]
    return min(shown, key=len)


def _in_unit(exact: Fraction, value: float, unit: str, factor: Fraction) -> str:
    """A value in one unit, with as many digits as it needs, up to 23."""
    for digits in range(24):
        shown = show_number(exact / factor, digits=digits, trim=True)
        if float(Fraction(shown) * factor) == value:
            break
    return f"{shown} {unit}"


def diameter(diameter_32nds: int | None) -> str:
    """A rivet's diameter as the trade writes it, or nothing."""
    return "" if diameter_32nds is None else str(Fraction(diameter_32nds, 32))


def number(value: float) -> str:
    """A plain number without a useless nought."""
    return f"{value:.15g}" if value != int(value) else f"{int(value)}"

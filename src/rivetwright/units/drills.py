"""Number and letter drills: name to size and back.

Refuses a name or a size outside the two series.  Fractional and metric drills are
plain lengths and need no table.  Source: ``drills.csv``; most rows are FROM MEMORY.
"""

from __future__ import annotations

import csv
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from importlib.resources import files

from rivetwright.errors import OutsideTable
from rivetwright.units.tolerance import Number, is_same

MM_PER_INCH = Fraction(254, 10)
_SERIES = "No. 80 (.0135 in) to No. 1 (.228 in), letter A (.234 in) to Z (.413 in)"


@dataclass(frozen=True)
class Drill:
    """One drill of the number or letter series, with where its size comes from."""

    name: str
    diameter_mm: Fraction
    document: str
    status: str


@cache
def drills() -> tuple[Drill, ...]:
    """List every number and letter drill, smallest first.

    Returns:
        The drills with their diameter [mm], document and status.

    Source:
        Ordinary twist-drill sizes; FROM MEMORY but where a row says READ; drills.csv.
    """
    text = files("rivetwright.units").joinpath("drills.csv").read_text("utf-8")
    read = (
        Drill(
            _shown(row["drill"]),
            Fraction(row["diameter_in"]) * MM_PER_INCH,
            row["document"],
            row["status"],
        )
        for row in csv.DictReader(text.splitlines())
    )
    return tuple(sorted(read, key=lambda drill: drill.diameter_mm))


def drill(name: str) -> Drill:
    """Find a drill by any of the ways its name is written.

    Args:
        name: ``#40``, ``No. 40``, ``40``, ``letter F`` or ``F`` [-].

    Returns:
        The drill.

    Raises:
        OutsideTable: the two series have no such drill.

    Source:
        Ordinary twist-drill sizes; FROM MEMORY but where a row says READ; drills.csv.
    """
    short = name.lower()
    for word in ("drill", "letter", "number", "no.", "no", "#"):
        short = short.replace(word, " ")
    shown = _shown(short.strip().upper())
    for candidate in drills():
        if candidate.name == shown:
            return candidate
    raise OutsideTable(
        asked="find a drill by its name",
        found=name,
        allowed=_SERIES,
        do="write the drill as on its shank, or write its diameter",
        source="drills.csv",
    )


def drill_mm(name: str) -> Fraction:
    """Give the diameter of a number or letter drill.

    Args:
        name: ``#40``, ``No. 40``, ``40``, ``letter F`` or ``F`` [-].

    Returns:
        Its diameter [mm], exact.

    Raises:
        OutsideTable: the two series have no such drill.

    Source:
        Ordinary twist-drill sizes; FROM MEMORY but where a row says READ; drills.csv.
    """
    return drill(name).diameter_mm


def drill_name(diameter_mm: Number) -> str | None:
    """Name the number or letter drill of exactly this diameter.

    Args:
        diameter_mm: hole or drill diameter [mm].

    Returns:
        ``No. 40`` or ``letter F``; None where no drill has this size.

    Source:
        Ordinary twist-drill sizes; FROM MEMORY but where a row says READ; drills.csv.
    """
    for candidate in drills():
        if is_same(candidate.diameter_mm, diameter_mm):
            return candidate.name
    return None


def nearest_drill(diameter_mm: Number) -> Drill:
    """Find the drill nearest to a diameter, the larger of two equally near.

    Args:
        diameter_mm: wanted diameter [mm], within the two series.

    Returns:
        The nearest drill.

    Raises:
        OutsideTable: the diameter lies under the smallest or over the largest drill.

    Source:
        Ordinary twist-drill sizes; FROM MEMORY but where a row says READ; drills.csv.
    """
    ordered = drills()
    smallest, largest = ordered[0].diameter_mm, ordered[-1].diameter_mm
    inside = smallest <= diameter_mm <= largest
    if not inside and drill_name(diameter_mm) is None:
        raise OutsideTable(
            asked="find the nearest drill",
            found=f"{float(diameter_mm):.3f} mm",
            allowed=_SERIES,
            do="name a drill of another series by its diameter",
            source="drills.csv",
        )
    return min(
        reversed(ordered),
        key=lambda drill: round(abs(float(drill.diameter_mm - diameter_mm)), 6),
    )


def _shown(short: str) -> str:
    """Write a drill's short name as the trade shows it."""
    return f"No. {int(short)}" if short.isdecimal() else f"letter {short}"

"""Manufactured heads: width and height, and the tolerances of the rivet as bought.

The dimension sheets could not be read, so every row is FROM MEMORY and shown so.
Refuses heads nobody wrote down, the reduced flush head NAS1097 among them.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from rivetwright.standards.source import Looked
from rivetwright.standards.table import outside, read_table, row_of_length
from rivetwright.units.tolerance import Number


@dataclass(frozen=True)
class ManufacturedHead:
    """Width and height of a head as bought; height tolerance is upward only."""

    width_mm: Fraction
    width_tolerance_mm: Fraction
    height_mm: Fraction
    height_plus_mm: Fraction | None


@dataclass(frozen=True)
class Spread:
    """How far a dimension may lie below and above its nominal size."""

    minus_mm: Fraction
    plus_mm: Fraction


def manufactured_head(standard: str, diameter_mm: Number) -> Looked[ManufacturedHead]:
    """Look up the manufactured head of a solid rivet.

    Args:
        standard: ``MS20470`` or ``MS20426`` [-].
        diameter_mm: nominal rivet diameter [mm].

    Returns:
        Width and height with their table row.

    Raises:
        OutsideTable: no dimensions of this standard or diameter are known.

    Source:
        Standard sheets not read; FROM MEMORY; heads.csv.
    """
    table = read_table("heads")
    rows = table.where(standard=standard)
    asked = f"look up the manufactured head of {standard}"
    if not rows:
        raise outside(
            table.rows,
            asked=asked,
            found=f"{standard}, whose dimensions were not found",
            allowed="MS20470, MS20426; other heads as measured",
        )
    row = row_of_length(rows, diameter_mm, column="rivet_dia_in", asked=asked)
    return row.looked(
        ManufacturedHead(
            row.inches_mm("head_dia_in"),
            row.inches_mm("head_dia_tol_in"),
            row.inches_mm("head_height_in"),
            row.inches_mm_or_none("head_height_plus_in"),
        )
    )


def shank_tolerance_mm() -> Looked[Spread]:
    """Give the tolerance of a solid rivet's shank diameter.

    Returns:
        How far under and over the nominal diameter [mm].

    Source:
        Standard sheets not read; FROM MEMORY; rivet_tolerances.csv.
    """
    return _spread("shank")


def length_tolerance_mm() -> Looked[Spread]:
    """Give the tolerance of a solid rivet's length.

    Returns:
        How far under and over the nominal length [mm].

    Source:
        Standard sheets not read; FROM MEMORY; rivet_tolerances.csv.
    """
    return _spread("length")


def _spread(quantity: str) -> Looked[Spread]:
    """Look up one tolerance."""
    row = read_table("rivet_tolerances").where(quantity=quantity)[0]
    return row.looked(Spread(row.inches_mm("minus_in"), row.inches_mm("plus_in")))

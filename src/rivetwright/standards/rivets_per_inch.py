"""How many rivets per inch of width a splice takes: the circular's tables, and why.

Tables 4-9 and 4-10 both list 2024-T3, so the table is a choice that each answer names.
The closed form n = max(1/(1.6 d), t/(k A)), d the nominal hole and A its area,
reproduces them; it is DERIVED and stands beside the printed number.  Refuses what the
tables leave blank.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from math import ceil, pi
from typing import Literal

from rivetwright.standards.holes import STRENGTH_BASIS, rivet_hole
from rivetwright.standards.source import Looked
from rivetwright.standards.table import (
    chosen_set,
    outside,
    read_table,
    row_of_length,
    sets_of,
)
from rivetwright.units.drills import MM_PER_INCH
from rivetwright.units.tolerance import Number

_COUNT_SLACK = 1e-9  # keeps 49.000000001 rivets from becoming 50


@dataclass(frozen=True)
class PerInch:
    """Rivets per inch by the closed form, and what governs."""

    per_inch: float
    governs: Literal["bearing", "shear"]


def splice_tables() -> tuple[str, ...]:
    """Name the tables to choose from.

    Returns:
        The names in printed order.

    Source:
        FAA AC 43.13-1B Tables 4-9 and 4-10; READ; rivets_per_inch.csv.
    """
    return sets_of(read_table("rivets_per_inch"))


def rivets_per_inch(
    thickness_mm: Number, fastener: Number | str, *, table: str
) -> Looked[Fraction]:
    """Look up the printed number of rivets per inch of width.

    Args:
        thickness_mm: sheet thickness, as printed [mm].
        fastener: AD rivet diameter [mm], or ``AN-3 bolt`` [-].
        table: "Table 4-9" or "Table 4-10" [-].

    Returns:
        Number per inch of width [1/in].

    Raises:
        OutsideTable: the table leaves this combination blank.

    Source:
        FAA AC 43.13-1B Tables 4-9 and 4-10; READ; rivets_per_inch.csv.
    """
    asked = f"look up rivets per inch in {table}"
    rows = chosen_set(read_table("rivets_per_inch"), table, asked=asked)
    sheet = row_of_length(rows, thickness_mm, column="sheet_in", asked=asked)
    same = [row for row in rows if row.cells["sheet_in"] == sheet.cells["sheet_in"]]
    if not isinstance(fastener, str):
        row = row_of_length(same, fastener, column="fastener", asked=asked)
        return row.looked(row.number("per_inch"))
    for row in same:
        if row.cells["fastener"] == fastener:
            return row.looked(row.number("per_inch"))
    raise outside(
        same,
        asked=asked,
        found=fastener,
        allowed=", ".join(row.cells["fastener"] for row in same),
    )


def rivets_per_inch_reckoned(
    thickness_mm: Number, diameter_mm: Number, *, table: str
) -> Looked[PerInch]:
    """Reckon rivets per inch from the table's own notes.

    Args:
        thickness_mm: sheet thickness [mm].
        diameter_mm: AD rivet diameter [mm].
        table: "Table 4-9" or "Table 4-10" [-].

    Returns:
        Number per inch of width [1/in] and whether bearing or shear governs.

    Raises:
        OutsideTable: the table has no such name, or the diameter no hole.

    Source:
        FAA AC 43.13-1B, engineering notes of the tables; closed form DERIVED;
        rivets_per_inch_rules.csv.
    """
    rules = read_table("rivets_per_inch_rules")
    row = chosen_set(rules, table, asked="reckon rivets per inch")[0]
    hole_in = _hole_in(diameter_mm)
    sheet_in = float(thickness_mm) / float(MM_PER_INCH)
    bearing = 1 / (float(row.number("bearing_ratio")) * hole_in)
    area_in2 = pi / 4 * hole_in**2
    shear = sheet_in / (float(row.number("shear_ratio")) * area_in2)
    if shear > bearing:
        return row.looked(PerInch(shear, "shear"))
    return row.looked(PerInch(bearing, "bearing"))


def splice_share(case: str) -> Looked[Fraction]:
    """Look up what share of the number a lighter loaded joint takes.

    Args:
        case: as printed, such as "intermediate frames" [-].

    Returns:
        Share of the number [-].

    Raises:
        OutsideTable: the notes name no such case.

    Source:
        FAA AC 43.13-1B, notes of Tables 4-9 and 4-10; READ;
        rivets_per_inch_shares.csv.
    """
    table = read_table("rivets_per_inch_shares")
    rows = table.where(case=case)
    if not rows:
        raise outside(
            table.rows,
            asked="look up a share of the rivets",
            found=case,
            allowed="; ".join(row.cells["case"] for row in table.rows),
        )
    return rows[0].looked(rows[0].number("share"))


def splice_count(width_mm: Number, per_inch: Number, *, share: Number = 1) -> int:
    """Count the rivets of a splice as the circular's examples do.

    Round up, take the share, round up again.

    Args:
        width_mm: width across the splice [mm].
        per_inch: number per inch of width [1/in].
        share: share for the case, 1 for the whole number [-].

    Returns:
        Rivets on each side of the splice.

    Source:
        FAA AC 43.13-1B para 4-58g and Fig. 4-20; READ.
    """
    whole = ceil(float(width_mm) / float(MM_PER_INCH) * float(per_inch) - _COUNT_SLACK)
    return ceil(whole * float(share) - _COUNT_SLACK)


def _hole_in(diameter_mm: Number) -> float:
    """Give the nominal hole of the strength tables [in]."""
    hole = rivet_hole(diameter_mm, hole_set=STRENGTH_BASIS)
    return float(hole.value.size_mm / MM_PER_INCH)

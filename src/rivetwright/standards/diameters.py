"""Rivet diameter from sheet thickness: named rules that start, not settle, the choice.

The circular itself takes 3 x 0.032 = 0.096 in and then chooses 1/8.  Table file
diameters.csv.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from rivetwright.standards.source import Looked
from rivetwright.standards.table import outside, read_table
from rivetwright.units.tolerance import Number

DEFAULT_DIAMETER_SET = "AC 43.13-1B"


@dataclass(frozen=True)
class DiameterRange:
    """Least and greatest diameter a rule allows for a thickness."""

    least_mm: Fraction
    most_mm: Fraction


def diameter_range_mm(
    thickness_mm: Number, *, rule_set: str = DEFAULT_DIAMETER_SET, case: str = "sheet"
) -> Looked[DiameterRange]:
    """Give the range of rivet diameters for a sheet by a named rule.

    Args:
        thickness_mm: the thicker sheet, or the leg of a stringer [mm].
        rule_set: "AC 43.13-1B", "NAVEDTRA 14018" or "German course note" [-].
        case: "sheet" or "stringer leg" [-].

    Returns:
        Least and greatest diameter [mm]; both the same for "about 3 x".

    Raises:
        OutsideTable: there is no such rule.

    Source:
        diameters.csv, status per row.
    """
    table = read_table("diameters")
    rows = [
        row for row in table.where(set=rule_set, case=case) if row.cells["min_t"] != ""
    ]
    if not rows:
        raise outside(
            table.rows,
            asked=f"choose a diameter for a {case}",
            found=f"rule {rule_set}",
            allowed="; ".join(
                f"{row.cells['set']} ({row.cells['case']})" for row in table.rows
            ),
        )
    thickness = Fraction(thickness_mm)
    least_mm = rows[0].number("min_t") * thickness
    floor_mm = rows[0].inches_mm_or_none("min_in")
    return rows[0].looked(
        DiameterRange(
            least_mm if floor_mm is None else max(least_mm, floor_mm),
            rows[0].number("max_t") * thickness,
        )
    )

"""Figures for squeezing a solid rivet: flow curve, alloys, measured forces.

Measured forces were found for 2117-T4 alone.  Every other alloy has a low, a central
and a high factor, never one number.  Table files forming_constants.csv,
alloy_force.csv and force_points.csv.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from rivetwright.standards.source import Looked
from rivetwright.standards.table import Row, constant_row, outside, read_table

_CONSTANTS = "forming_constants"
_ALLOYS = "alloy_force"
_POINTS = "force_points"
N_PER_KN = 1000


@dataclass(frozen=True)
class AlloyForce:
    """Squeeze force of an alloy against that of 2117-T4: low, central, high."""

    alloy: str
    low: Fraction
    central: Fraction
    high: Fraction


@dataclass(frozen=True)
class ForcePoint:
    """One measured squeeze: how wide the head stood at which force.

    `calculated_n` are forces that the source's own two equations give for it; None
    where the copy read does not show them.
    """

    series: str
    rivet: str
    shank_mm: Fraction
    protrusion_mm: Fraction
    width_ratio: Fraction
    force_n: Fraction
    calculated_n: tuple[Fraction | None, Fraction | None]


def force_points() -> tuple[Looked[ForcePoint], ...]:
    """Give every measured squeeze that was read, series by series.

    Returns:
        The points in printed order, each with its table row [mm, N, D].

    Source:
        force_points.csv; READ in a copy that stops part-way through the table.
    """
    return tuple(row.looked(_point(row)) for row in read_table(_POINTS).rows)


def forming_constant(name: str) -> Looked[Fraction]:
    """Look up a constant of the forming model.

    Args:
        name: a name of forming_constants.csv, such as ``friction`` [-].

    Returns:
        The constant; a length printed in inches comes in mm [as the row says].

    Raises:
        OutsideTable: the table has no such constant.

    Source:
        forming_constants.csv; status per row.
    """
    row = constant_row(
        _CONSTANTS, name, asked="look up a constant of the forming model"
    )
    is_inches = row.cells["unit"] == "in"
    return row.looked(row.inches_mm("value") if is_inches else row.number("value"))


def alloy_force(material: str) -> Looked[AlloyForce]:
    """Look up how much force an alloy needs against 2117-T4.

    Args:
        material: material letters, such as ``AD`` [-].

    Returns:
        The three factors with their table row [-].

    Raises:
        OutsideTable: no factor is known for these letters.

    Source:
        alloy_force.csv; AD DERIVED, the others JUDGEMENT.
    """
    table = read_table(_ALLOYS)
    rows = table.where(code=material.upper())
    if not rows:
        raise outside(
            table.rows,
            asked="look up the squeeze force of an alloy",
            found=f"letters {material}",
            allowed=", ".join(row.cells["code"] for row in table.rows),
        )
    return rows[0].looked(_factors(rows[0]))


def _factors(row: Row) -> AlloyForce:
    """Build the factors of a row."""
    return AlloyForce(
        row.cells["alloy"], row.number("low"), row.number("central"), row.number("high")
    )


def _point(row: Row) -> ForcePoint:
    """Build the measured squeeze of a row."""

    def newtons(column: str) -> Fraction | None:
        return row.number(column) * N_PER_KN if row.cells[column] else None

    return ForcePoint(
        series=row.cells["series"],
        rivet=row.cells["rivet"],
        shank_mm=row.number("shank_mm"),
        protrusion_mm=row.number("protrusion_mm"),
        width_ratio=row.number("width_d"),
        force_n=row.number("force_kn") * N_PER_KN,
        calculated_n=(newtons("calculated_1_kn"), newtons("calculated_3_kn")),
    )

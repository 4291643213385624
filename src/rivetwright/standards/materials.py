"""Rivet alloys: letters, head marks, and how soon they must be driven.

Source: NAVEDTRA 14315 Table 3-1 for A, AD, D, DD and B (READ); the others are
second-hand.  Table file materials.csv.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from rivetwright.standards.source import Looked
from rivetwright.standards.table import Row, outside, read_table

_TABLE = "materials"


@dataclass(frozen=True)
class Alloy:
    """One rivet material as its letters and head mark tell it."""

    code: str
    alloy: str
    head_mark: str
    head_mark_other: str
    drive_within_min: int | None
    store_at_most_f: int | None
    store_hours: int | None
    use: str

    @property
    def is_driven_as_received(self) -> bool:
        """Say whether the rivet needs neither quenching nor cold storage."""
        return self.drive_within_min is None


def material_codes() -> tuple[str, ...]:
    """List the material letters of the part-number grammar.

    Returns:
        The letters in printed order.

    Source:
        NAVEDTRA 14315 Table 3-1; READ; M, E and F SECOND-HAND; materials.csv.
    """
    return tuple(row.cells["code"] for row in read_table(_TABLE).rows)


def alloy(code: str) -> Looked[Alloy]:
    """Look up a rivet material by its letters.

    Args:
        code: material letters, such as ``AD`` [-].

    Returns:
        The alloy with its table row.

    Raises:
        OutsideTable: the table has no such letters.

    Source:
        NAVEDTRA 14315 Table 3-1; READ; M, E and F SECOND-HAND; materials.csv.
    """
    rows = read_table(_TABLE).where(code=code.upper())
    if not rows:
        raise outside(
            read_table(_TABLE).rows,
            asked="look up a rivet material",
            found=f"letters {code}",
            allowed=", ".join(material_codes()),
        )
    return rows[0].looked(_alloy(rows[0]))


def temperature_c(store_at_most_f: int) -> float:
    """Give a storage temperature in degrees Celsius.

    Args:
        store_at_most_f: temperature as printed [deg F].

    Returns:
        The same temperature [deg C].

    Source:
        The scale's definition.
    """
    return float(Fraction(store_at_most_f - 32) * 5 / 9)


def _alloy(row: Row) -> Alloy:
    """Build the alloy of a row."""
    cells = row.cells

    def whole(column: str) -> int | None:
        return int(cells[column]) if cells[column] else None

    return Alloy(
        code=cells["code"],
        alloy=cells["alloy"],
        head_mark=cells["head_mark"],
        head_mark_other=cells["head_mark_other"],
        drive_within_min=whole("drive_within_min"),
        store_at_most_f=whole("store_at_most_f"),
        store_hours=whole("store_hours"),
        use=cells["use"],
    )

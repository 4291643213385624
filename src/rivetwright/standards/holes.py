"""Drills and hole limits for each rivet diameter, as named sets.

Sources differ: present practice drills a 3/32 rivet No. 40, a wartime handbook No. 41.
Each answer names its set.  Refuses a diameter that a set does not print.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from rivetwright.standards.source import Looked
from rivetwright.standards.table import (
    Row,
    chosen_set,
    outside,
    read_table,
    row_of_length,
    sets_of,
)
from rivetwright.units.tolerance import Number

DEFAULT_HOLE_SET = "present practice"
WARTIME = "wartime minimum clearance"
STRENGTH_BASIS = "strength basis"
BLIND_CHART = "blind rivet chart"
MIL_LIMITS = "MIL-R-47196A"
SHANK_PLUS = "shank plus 0.1 mm"

_TABLE = "holes"


@dataclass(frozen=True)
class Hole:
    """Drill, size and limits of a rivet hole; None where the source has none."""

    drill: str | None
    nominal_mm: Fraction | None
    least_mm: Fraction | None
    most_mm: Fraction | None

    @property
    def size_mm(self) -> Fraction:
        """Size to reckon with [mm]: the nominal one, else the middle of the limits."""
        if self.nominal_mm is not None:
            return self.nominal_mm
        if self.least_mm is None or self.most_mm is None:
            raise AssertionError("a printed hole has a size or two limits")
        return (self.least_mm + self.most_mm) / 2


@dataclass(frozen=True)
class DimpleHole:
    """A hole before and after dimpling."""

    drill: str
    before_mm: Fraction
    sheet_mm: Fraction | None
    after_mm: Fraction


def hole_sets() -> tuple[str, ...]:
    """Name the sets of holes that can be chosen.

    Returns:
        The names in printed order; the default first.

    Source:
        holes.csv, status per row.
    """
    return sets_of(read_table(_TABLE))


def rivet_hole(
    diameter_mm: Number, *, hole_set: str = DEFAULT_HOLE_SET
) -> Looked[Hole]:
    """Look up the hole of a rivet.

    Args:
        diameter_mm: nominal rivet diameter [mm].
        hole_set: a name of ``hole_sets()`` [-].

    Returns:
        The hole with its table row.

    Raises:
        OutsideTable: the set does not print this diameter, or has no such name.

    Source:
        holes.csv, status per row.
    """
    asked = f"look up the hole of a rivet in set {hole_set}"
    rows = chosen_set(read_table(_TABLE), hole_set, asked=asked)
    if rows[0].cells["rivet_dia_in"] == "any":
        over_mm = rows[0].number("over_shank_mm")
        hole = Hole(None, Fraction(diameter_mm) + over_mm, None, None)
        return rows[0].looked(hole)
    row = row_of_length(rows, diameter_mm, column="rivet_dia_in", asked=asked)
    return row.looked(_hole(row))


def hole_limits(
    diameter_mm: Number, *, hole_set: str = MIL_LIMITS
) -> Looked[tuple[Fraction, Fraction]]:
    """Look up the least and greatest hole of a rivet.

    Args:
        diameter_mm: nominal rivet diameter [mm].
        hole_set: a set that prints limits: ``MIL_LIMITS`` or ``BLIND_CHART`` [-].

    Returns:
        Least and greatest hole [mm].

    Raises:
        OutsideTable: the set prints no limits for this diameter.

    Source:
        holes.csv, status per row.
    """
    looked = rivet_hole(diameter_mm, hole_set=hole_set)
    least_mm, most_mm = looked.value.least_mm, looked.value.most_mm
    if least_mm is None or most_mm is None:
        raise outside(
            chosen_set(read_table(_TABLE), hole_set, asked="look up hole limits"),
            asked="look up hole limits",
            found=f"set {hole_set}, which prints no limits",
            allowed=f"{MIL_LIMITS} (3/32 alone); {BLIND_CHART}",
        )
    return Looked((least_mm, most_mm), looked.row, looked.source)


def blind_hole(diameter_mm: Number) -> Looked[Hole]:
    """Look up the hole of a blind rivet.

    Args:
        diameter_mm: nominal rivet diameter [mm].

    Returns:
        Drill and limits with their table row.

    Raises:
        OutsideTable: the chart does not print this diameter.

    Source:
        TM 10-5410-221-14/1 Table 4-3; TM 10-5410-223-24 Table 2-3; READ; holes.csv.
    """
    return rivet_hole(diameter_mm, hole_set=BLIND_CHART)


def hole_after_dimpling(diameter_mm: Number) -> Looked[DimpleHole]:
    """Look up how far dimpling opens a hole, where somebody measured it.

    Args:
        diameter_mm: nominal rivet diameter [mm].

    Returns:
        The hole before and after, with the sheet it was seen in.

    Raises:
        OutsideTable: nobody's figure was read for this diameter.

    Source:
        dimple_holes.csv, status per row.
    """
    rows = read_table("dimple_holes").rows
    asked = "look up a hole after dimpling"
    row = row_of_length(rows, diameter_mm, column="rivet_dia_in", asked=asked)
    return row.looked(
        DimpleHole(
            drill=row.cells["drill"],
            before_mm=row.inches_mm("before_in"),
            sheet_mm=row.inches_mm_or_none("sheet_in"),
            after_mm=row.inches_mm("after_in"),
        )
    )


def _hole(row: Row) -> Hole:
    """Build the hole of a row."""
    return Hole(
        drill=row.cells["drill"] or None,
        nominal_mm=row.inches_mm_or_none("nominal_in"),
        least_mm=row.inches_mm_or_none("hole_min_in"),
        most_mm=row.inches_mm_or_none("hole_max_in"),
    )

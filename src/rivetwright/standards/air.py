"""Figures of the air line: roughness, dead bands, flow coefficients, the ram's size.

Most are FROM MEMORY or judgement and come as a range; what stands on the tool or its
plate goes before them.  Refuses a figure that the table does not have.

Source: air.csv, status per row.
"""

from __future__ import annotations

from fractions import Fraction

from rivetwright.standards.source import Looked
from rivetwright.standards.spread import Spread, printed_spread
from rivetwright.standards.table import outside, read_table
from rivetwright.units.air import M3_S_PER_CFM
from rivetwright.units.drills import MM_PER_INCH
from rivetwright.units.force import KPA_PER_PSI

# Printed units in mm, kPa, m3/s and s.
_FACTORS = {
    "psi": KPA_PER_PSI,
    "um": Fraction(1, 1000),
    "in": MM_PER_INCH,
    "cfm": M3_S_PER_CFM,
    "scfm a psi at Cv 1": M3_S_PER_CFM / KPA_PER_PSI,
    **dict.fromkeys(("-", "Cv", "1/min", "s"), Fraction(1)),
}


def air_figure(quantity: str) -> Looked[Spread]:
    """Look up one figure of the air line.

    Args:
        quantity: its name in the table, such as ``hose roughness`` [-].

    Returns:
        Least, usual and most [mm, kPa, m3/s, s, 1/min or Cv, by its name].

    Raises:
        OutsideTable: the table has no such figure.

    Source:
        air.csv, status per row.
    """
    table = read_table("air")
    for row in table.where(quantity=quantity):
        return row.looked(printed_spread(row, _FACTORS))
    raise outside(
        table.rows,
        asked="look up a figure of the air line",
        found=quantity,
        allowed=", ".join(row.cells["quantity"] for row in table.rows),
    )

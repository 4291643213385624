"""What rivet metal weighs by volume, so that rivets can be counted on a scale.

Source: alloy_density.csv, status per row; 2117 is FROM MEMORY.
"""

from __future__ import annotations

from fractions import Fraction

from rivetwright.standards.source import Looked
from rivetwright.standards.table import outside, read_table
from rivetwright.units.drills import MM_PER_INCH
from rivetwright.units.mass import KG_PER_LB

_TABLE = "alloy_density"


def density_g_mm3(material: str) -> Looked[Fraction]:
    """Look up the density of a rivet material.

    Args:
        material: material letters, such as ``AD`` [-].

    Returns:
        Density [g/mm3], exact from the printed figure.

    Raises:
        OutsideTable: the table has no such letters.

    Source:
        alloy_density.csv, status per row.
    """
    rows = read_table(_TABLE).where(code=material.upper())
    if not rows:
        raise outside(
            read_table(_TABLE).rows,
            asked="look up what a rivet metal weighs",
            found=f"letters {material}",
            allowed=", ".join(row.cells["code"] for row in read_table(_TABLE).rows),
        )
    row = rows[0]
    pounds = row.number("density_lb_in3")
    return row.looked(pounds * KG_PER_LB * 1000 / MM_PER_INCH**3)

"""Figures for setting a squeezer up: how far things scatter, spring and clear.

None of them is published; each row says how it is known, and most give way to what
the builder measures.  Table file squeeze_constants.csv.
"""

from __future__ import annotations

from fractions import Fraction

from rivetwright.standards.source import Looked
from rivetwright.standards.table import constant_row
from rivetwright.units.drills import MM_PER_INCH
from rivetwright.units.force import N_PER_LBF

_TABLE = "squeeze_constants"
_FACTORS = {"in": MM_PER_INCH, "lbf/in": N_PER_LBF / MM_PER_INCH}


def squeeze_constant(name: str) -> Looked[Fraction]:
    """Look up a figure of the squeezer's set-up.

    Args:
        name: a name of squeeze_constants.csv, such as ``head scatter`` [-].

    Returns:
        The figure; printed inches come in mm, lbf/in in N/mm [as the row says].

    Raises:
        OutsideTable: the table has no such figure.

    Source:
        squeeze_constants.csv; status per row.
    """
    row = constant_row(_TABLE, name, asked="look up a figure of the squeezer's set-up")
    factor = _FACTORS.get(row.cells["unit"], Fraction(1))
    return row.looked(row.number("value") * factor)


def squeeze_figure(name: str) -> float:
    """Give a figure of the squeezer's set-up as a plain number.

    Args:
        name: a name of squeeze_constants.csv [-].

    Returns:
        The figure [as the row says; mm, N/mm].

    Raises:
        OutsideTable: the table has no such figure.

    Source:
        squeeze_constants.csv; status per row.
    """
    return float(squeeze_constant(name).value)

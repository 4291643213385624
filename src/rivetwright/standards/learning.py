"""Figures for learning from measured heads: how fast, how wary, when to warn.

Each row says how it is known; what was chosen by simulation is measured again by the
learning benchmark.  Table file learning_constants.csv.
"""

from __future__ import annotations

from rivetwright.standards.source import Looked
from rivetwright.standards.table import constant_row

_TABLE = "learning_constants"


def learning_constant(name: str) -> Looked[float]:
    """Look up a figure of learning from heads.

    Args:
        name: a name of learning_constants.csv, such as ``clip`` [-].

    Returns:
        The figure with its table row [as the row says].

    Raises:
        OutsideTable: the table has no such figure.

    Source:
        learning_constants.csv; status per row.
    """
    row = constant_row(_TABLE, name, asked="look up a figure of learning from heads")
    return row.looked(float(row.number("value")))


def learning_figure(name: str) -> float:
    """Give a figure of learning from heads as a plain number.

    Args:
        name: a name of learning_constants.csv [-].

    Returns:
        The figure [as the row says].

    Raises:
        OutsideTable: the table has no such figure.

    Source:
        learning_constants.csv; status per row.
    """
    return learning_constant(name).value

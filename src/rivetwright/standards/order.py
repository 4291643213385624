"""What each piece of riveting work takes, and how far apart holders and rivets may be.

No published time study of a home builder's work was found: every row says how it is
known, and a shop file may give its own figures.  Table file order_costs.csv.
"""

from __future__ import annotations

from rivetwright.standards.source import Looked
from rivetwright.standards.table import Row, outside, read_table

_TABLE = "order_costs"
_DRAWN = "the drawings overrule it"


def order_cost_names() -> tuple[str, ...]:
    """Give the names of all figures, in the order of the table.

    Returns:
        The names [-].

    Source:
        order_costs.csv; status per row.
    """
    return tuple(row.cells["name"] for row in read_table(_TABLE).rows)


def drawn_distance_names() -> tuple[str, ...]:
    """Give the names of the distances between what is fast that a drawing may give.

    Returns:
        The names [-].

    Source:
        order_costs.csv; those whose note says that the drawings overrule it.
    """
    rows = read_table(_TABLE).rows
    return tuple(row.cells["name"] for row in rows if row.cells["note"] == _DRAWN)


def order_cost(name: str) -> Looked[float]:
    """Look up a figure for the order of work.

    Args:
        name: a name of order_costs.csv, such as ``yoke`` [-].

    Returns:
        The figure with its table row [as `order_cost_unit` says].

    Raises:
        OutsideTable: the table has no such figure.

    Source:
        order_costs.csv; status per row.
    """
    row = _row(name)
    return row.looked(float(row.number("value")))


def order_cost_unit(name: str) -> str:
    """Give the unit of a figure.

    Args:
        name: a name of order_costs.csv [-].

    Returns:
        s, mm, mm/s or holes [-].

    Raises:
        OutsideTable: the table has no such figure.

    Source:
        order_costs.csv; status per row.
    """
    return _row(name).cells["unit"]


def order_cost_what(name: str) -> str:
    """Give what a figure is, in words.

    Args:
        name: a name of order_costs.csv [-].

    Returns:
        The words of the table [-].

    Raises:
        OutsideTable: the table has no such figure.

    Source:
        order_costs.csv; status per row.
    """
    return _row(name).cells["what"]


def _row(name: str) -> Row:
    """The row of a figure."""
    table = read_table(_TABLE)
    found = table.where(name=name)
    if not found:
        raise outside(
            table.rows,
            asked="look up a figure for the order of work",
            found=name,
            allowed=", ".join(order_cost_names()),
        )
    return found[0]

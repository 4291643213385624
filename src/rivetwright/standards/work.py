"""What each operation takes before the builder's own log can say, and a few limits.

No survey of home builders' hours was found: every row says how it is known.  Table
files work_rates.csv and work_constants.csv.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from rivetwright.errors import OutsideTable
from rivetwright.standards.source import Looked
from rivetwright.standards.table import Row, outside, read_table

_RATES, _CONSTANTS = "work_rates", "work_constants"


@dataclass(frozen=True)
class UsualRate:
    """What an operation takes: minutes for each of what is counted.

    `low_ratio` and `high_ratio` make the range; `words` are how a manual or a log
    names the operation.
    """

    name: str
    counted: str
    minutes: float
    low_ratio: float
    high_ratio: float
    words: tuple[str, ...]
    is_noisy: bool


@cache
def usual_rates() -> tuple[Looked[UsualRate], ...]:
    """Give what every operation takes, in the order of the table.

    Returns:
        The rates with their rows [min].

    Source:
        work_rates.csv; status per row.
    """
    return tuple(row.looked(_usual(row)) for row in read_table(_RATES).rows)


def usual_rate(name: str) -> Looked[UsualRate]:
    """Look up what an operation takes.

    Args:
        name: a name of work_rates.csv, such as ``deburr`` [-].

    Returns:
        The rate with its row [min].

    Raises:
        OutsideTable: the table has no such operation.

    Source:
        work_rates.csv; status per row.
    """
    for one in usual_rates():
        if one.value.name == name:
            return one
    raise _unknown(_RATES, name, asked="look up what an operation takes")


def work_constant(name: str) -> Looked[float]:
    """Look up a limit of the work, such as how long primer dries.

    Args:
        name: a name of work_constants.csv [-].

    Returns:
        The figure with its row [the unit of the row].

    Raises:
        OutsideTable: the table has no such figure.

    Source:
        work_constants.csv; status per row.
    """
    for row in read_table(_CONSTANTS).where(name=name):
        return row.looked(float(row.number("value")))
    raise _unknown(_CONSTANTS, name, asked="look up a limit of the work")


def _unknown(table: str, name: str, *, asked: str) -> OutsideTable:
    """The refusal of a name that a table does not have."""
    rows = read_table(table).rows
    names = ", ".join(row.cells["name"] for row in rows)
    return outside(rows, asked=asked, found=name, allowed=names)


def _usual(row: Row) -> UsualRate:
    """A rate out of its row."""
    cells = row.cells
    return UsualRate(
        cells["name"],
        cells["counted"],
        float(row.number("minutes")),
        float(row.number("low")),
        float(row.number("high")),
        tuple(filter(None, cells["words"].split("|"))),
        cells["noisy"] == "yes",
    )

"""Margins that decide whether a tool gets to a hole, and what a way of riveting asks.

No document gives them: they are judgement or the invented demo's own, each row says
which.  Refuses a margin or a kind of tool that the tables do not have.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from rivetwright.standards.source import Looked, Source, Status
from rivetwright.standards.table import Row, outside, read_table
from rivetwright.units.drills import MM_PER_INCH

MARGINS = Source(
    "margins for tools",
    "reach_margins.csv",
    Status.INVENTED,
    "of the usual order; no document gives them",
)
_MARGINS, _WAYS = "reach_margins", "ways"


@dataclass(frozen=True)
class Way:
    """A way of setting a rivet: its hands, its people, its noise."""

    name: str
    needs_both_hands: bool
    takes_two: bool
    is_noisy: bool
    note: str = ""


def _margin_row(name: str, unit: str) -> Row:
    """The row of a margin."""
    rows = read_table(_MARGINS).where(unit=unit)
    for row in rows:
        if row.cells["name"] == name:
            return row
    allowed = ", ".join(row.cells["name"] for row in rows)
    raise outside(rows, asked="look up a margin for tools", found=name, allowed=allowed)


def reach_margin_mm(name: str) -> Looked[Fraction]:
    """Look up a margin or a usual size of a tool.

    Args:
        name: as the table names it [-].

    Returns:
        The length with its table row [mm].

    Raises:
        OutsideTable: the table has no such length.

    Source:
        reach_margins.csv, status per row.
    """
    row = _margin_row(name, "in")
    return row.looked(row.number("value") * MM_PER_INCH)


def opposite_head_ratio() -> Looked[Fraction]:
    """Look up how high a shop head stands that was set on the flange opposite.

    Returns:
        Its height in diameters with its table row [D].

    Source:
        reach_margins.csv; JUDGEMENT.
    """
    row = _margin_row("opposite shop head", "D")
    return row.looked(row.number("value"))


def ways_of_kind(kind: str) -> tuple[Looked[Way], ...]:
    """Look up the ways of riveting that a kind of tool serves.

    Args:
        kind: yoke, bar, back-rivet or puller [-].

    Returns:
        The ways with their table rows; of a yoke one for each kind of squeezer.

    Raises:
        OutsideTable: the table has no such kind of tool.

    Source:
        ways.csv, status per row.
    """
    table = read_table(_WAYS)
    rows = table.where(kind=kind)
    if not rows:
        kinds = ", ".join(dict.fromkeys(row.cells["kind"] for row in table.rows))
        asked = "look up the way a tool rivets"
        raise outside(table.rows, asked=asked, found=kind, allowed=kinds)
    return tuple(row.looked(_way(row)) for row in rows)


def squeezer_way(squeezer: str) -> Looked[Way]:
    """Look up the way of riveting with a kind of squeezer.

    Args:
        squeezer: pneumatic or hand [-].

    Returns:
        The way with its table row.

    Raises:
        OutsideTable: the table has no such squeezer.

    Source:
        ways.csv; JUDGEMENT.
    """
    rows = read_table(_WAYS).where(kind="yoke")
    for row in rows:
        if row.cells["squeezer"] == squeezer:
            return row.looked(_way(row))
    allowed = ", ".join(row.cells["squeezer"] for row in rows)
    asked = "look up the way a squeezer rivets"
    raise outside(rows, asked=asked, found=squeezer, allowed=allowed)


def _way(row: Row) -> Way:
    """A way out of its row."""
    return Way(
        row.cells["way"],
        row.cells["both_hands"] == "yes",
        row.cells["helper"] == "yes",
        row.cells["noisy"] == "yes",
        row.source.note,
    )

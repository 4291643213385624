"""Blind rivets: pick by grip, by chart number, structural dash or a kit's own code.

Grip is the whole stack; for double-dimpled sheets the height of the flush head counts
as grip.  Refuses a stack that no number covers: charts leave gaps.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from rivetwright.errors import OutsideTable
from rivetwright.standards.source import Looked
from rivetwright.standards.table import Row, outside, read_table, row_of_length
from rivetwright.units.tolerance import Number, is_less
from rivetwright.units.wording import show_both


@dataclass(frozen=True)
class BlindPick:
    """A blind rivet's number with the stacks it takes."""

    number: str
    grip_least_mm: Fraction
    grip_most_mm: Fraction
    body_length_mm: Fraction | None


@dataclass(frozen=True, slots=True)
class KitBlindCode:
    """A kit's own blind rivet as the plan declares it."""

    code: str
    head: str
    diameter_mm: Fraction
    grip_least_mm: Fraction
    grip_most_mm: Fraction
    head_height_mm: Fraction | None = None

    def __str__(self) -> str:
        """Write the code."""
        return self.code

    @property
    def is_flush(self) -> bool:
        """Say whether the head lies in a countersink or dimple."""
        return self.head == "flush"

    def takes(self, grip_mm: Number) -> bool:
        """Say whether a grip lies in the code's range.

        Args:
            grip_mm: grip, with the head height in double-dimpled stacks [mm].

        Returns:
            True within the range, both ends included.

        Source:
            The plan that declares the code.
        """
        under = is_less(grip_mm, self.grip_least_mm)
        return not under and not is_less(self.grip_most_mm, grip_mm)


def blind_grip_mm(
    stack_mm: Number, *, head_height_mm: Number, is_double_dimpled: bool
) -> Looked[Number]:
    """Give the grip a blind rivet feels.

    Args:
        stack_mm: sum of the sheets [mm].
        head_height_mm: height of the flush head [mm].
        is_double_dimpled: whether two or more sheets nest as dimples [-].

    Returns:
        Grip [mm]: the stack, plus the head height when double-dimpled.

    Source:
        Text beside the blind-rivet grip tables; READ; blind_rules.csv.
    """
    row = read_table("blind_rules").where(quantity="double-dimpled stack")[0]
    return row.looked(stack_mm + head_height_mm if is_double_dimpled else stack_mm)


def chart_pick(diameter_mm: Number, grip_mm: Number) -> Looked[BlindPick]:
    """Pick a common pull rivet by the chart.

    Args:
        diameter_mm: nominal rivet diameter [mm].
        grip_mm: grip [mm].

    Returns:
        Chart number, its range and body length with the table row.

    Raises:
        OutsideTable: the chart has no such diameter, or a gap at this grip.

    Source:
        TM 10-5410-221-14/1 Table 4-3; TM 10-5410-223-24 Table 2-3; READ;
        blind_chart.csv.
    """
    asked = "pick a blind rivet from the chart"
    rows = read_table("blind_chart").rows
    first = row_of_length(rows, diameter_mm, column="rivet_dia_in", asked=asked)
    printed_dia = first.cells["rivet_dia_in"]
    same = [row for row in rows if row.cells["rivet_dia_in"] == printed_dia]
    for row in same:
        pick = _pick(row, "number", row.inches_mm("body_length_in"))
        if _covers(pick, grip_mm):
            return row.looked(pick)
    raise _no_pick(same, "number", asked, grip_mm)


def structural_dash(grip_mm: Number) -> Looked[BlindPick]:
    """Pick a structural blind rivet's dash: one per 1/16 in of grip.

    A grip on the border of two dashes takes the lower one.

    Args:
        grip_mm: grip [mm].

    Returns:
        Dash and its range with the table row.

    Raises:
        OutsideTable: the grip is nought, or over 3/4 in.

    Source:
        TM 9-2320-363-34-2 p. 22-22 Table 7; READ; rows 1 and 2 DERIVED;
        structural_blind.csv.
    """
    rows = read_table("structural_blind").rows
    for row in rows:
        pick = _pick(row, "dash", None)
        if is_less(0, grip_mm) and _covers(pick, grip_mm):
            return row.looked(pick)
    raise _no_pick(rows, "dash", "pick a structural blind rivet", grip_mm)


def _pick(row: Row, column: str, body_length_mm: Fraction | None) -> BlindPick:
    """Build the pick of a row."""
    return BlindPick(
        row.cells[column],
        row.inches_mm("grip_min_in"),
        row.inches_mm("grip_max_in"),
        body_length_mm,
    )


def _covers(pick: BlindPick, grip_mm: Number) -> bool:
    """Say whether a grip lies within a pick's range, both ends included."""
    under = is_less(grip_mm, pick.grip_least_mm)
    return not under and not is_less(pick.grip_most_mm, grip_mm)


def _no_pick(
    rows: tuple[Row, ...] | list[Row], column: str, asked: str, grip_mm: Number
) -> OutsideTable:
    """Build the refusal of a grip that no row covers."""
    return outside(
        rows,
        asked=asked,
        found=f"a grip of {show_both(grip_mm, style='decimal', digits=4)}",
        allowed="; ".join(
            f"{row.cells[column]}: {row.cells['grip_min_in']} to "
            f"{row.cells['grip_max_in']}"
            for row in rows
        ),
        unit=" in",
    )

"""TM 9-2320-363-34-2, p. 22-18 and 22-22; TM 9-2320-387-24-2, p. 33-9; READ.

Countersinks and structural blind rivets, whole.
"""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction

import pytest

from rivetwright.errors import OutsideTable
from rivetwright.standards.blind import structural_dash
from rivetwright.standards.flush import (
    countersink_diameter_mm,
    countersink_sheet_least_mm,
)
from rivetwright.standards.source import Status
from rivetwright.standards.table import read_table

Inch = Callable[[str | int | Fraction], Fraction]
Printed = Callable[[str], list[dict[str, str]]]


def test_table_4_least_sheets(printed: Printed, inch: Inch) -> None:
    """Every least sheet for a 100 degree countersink looks up as printed."""
    rows = printed("tm_9_2320_363_34_2_table_4")
    for row in rows:
        looked = countersink_sheet_least_mm(inch(row["rivet_dia_in"]))
        assert looked.value == inch(row["sheet_in"])
        assert looked.status is Status.READ
    own = read_table("countersink_sheets").where(set="two manuals' table")
    assert len(own) == len(rows)


def test_table_4_row_1_4_is_marked_suspect(inch: Inch) -> None:
    """0.072 for 1/4 is less than that head is high: the row says so."""
    assert "suspect" in countersink_sheet_least_mm(inch("1/4")).source.note


def test_table_3_countersink_diameters(printed: Printed, inch: Inch) -> None:
    """Every countersink width of a blind rivet looks up as printed."""
    rows = printed("tm_9_2320_363_34_2_table_3")
    for row in rows:
        looked = countersink_diameter_mm(inch(row["rivet_dia_in"])).value
        assert looked == (inch(row["min_in"]), inch(row["max_in"]))
    assert len(read_table("countersink_diameters").rows) == len(rows)


def test_table_7_structural_dashes(printed: Printed, inch: Inch) -> None:
    """Each dash covers its printed sixteenth: its middle and its upper end."""
    rows = printed("tm_9_2320_363_34_2_table_7")
    for row in rows:
        low, high = inch(row["grip_min_in"]), inch(row["grip_max_in"])
        for grip in ((low + high) / 2, high):
            looked = structural_dash(grip)
            assert looked.value.number == row["dash"]
            assert (looked.value.grip_least_mm, looked.value.grip_most_mm) == (
                low,
                high,
            )
    assert len(read_table("structural_blind").rows) == len(rows)


@pytest.mark.parametrize(
    ("low", "high", "dash"), [("3/16", "1/4", "4"), ("7/16", "1/2", "8")]
)
def test_example_table_7(low: str, high: str, dash: str, inch: Inch) -> None:
    """A stack between 3/16 and 1/4 takes dash 4, between 7/16 and 1/2 dash 8."""
    assert structural_dash((inch(low) + inch(high)) / 2).value.number == dash


def test_table_7_refuses_beyond_three_quarters(inch: Inch) -> None:
    """The table ends at 3/4 in; nothing is read beyond it, nor at nought."""
    with pytest.raises(OutsideTable, match="TM 9-2320-363-34-2"):
        structural_dash(inch("0.76"))
    with pytest.raises(OutsideTable, match="TM 9-2320-363-34-2"):
        structural_dash(0)

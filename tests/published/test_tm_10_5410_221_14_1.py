"""TM 10-5410-221-14/1 Table 4-3 and TM 10-5410-223-24 Table 2-3; READ.

The blind-rivet selection chart, whole: grips, body lengths, drills and holes.
"""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction

import pytest

from rivetwright.errors import OutsideTable
from rivetwright.standards.blind import blind_grip_mm, chart_pick
from rivetwright.standards.holes import BLIND_CHART, blind_hole, hole_limits
from rivetwright.standards.source import Status
from rivetwright.standards.table import read_table

Inch = Callable[[str | int | Fraction], Fraction]
Printed = Callable[[str], list[dict[str, str]]]


def test_chart_is_whole(printed: Printed, inch: Inch) -> None:
    """Each number is picked at both ends and the middle of its printed range."""
    rows = printed("tm_10_5410_221_14_1_table_4_3")
    for row in rows:
        low, high = inch(row["grip_min_in"]), inch(row["grip_max_in"])
        for grip in (low, (low + high) / 2, high):
            looked = chart_pick(inch(row["rivet_dia_in"]), grip)
            pick = looked.value
            assert pick.number == row["number"]
            assert (pick.grip_least_mm, pick.grip_most_mm) == (low, high)
            assert pick.body_length_mm == inch(row["body_length_in"])
    assert len(read_table("blind_chart").rows) == len(rows)


def test_number_53_is_marked_derived(inch: Inch) -> None:
    """Its number cell is blank in the copy, so the row does not say READ."""
    looked = chart_pick(inch("5/32"), inch("0.150"))
    assert (looked.value.number, looked.status) == ("53", Status.DERIVED)


def test_number_is_diameter_and_greatest_grip(printed: Printed, inch: Inch) -> None:
    """DERIVED: first digit 32nds of diameter, the rest sixteenths of grip."""
    for row in printed("tm_10_5410_221_14_1_table_4_3"):
        number = row["number"]
        assert inch(row["rivet_dia_in"]) == inch(Fraction(int(number[0]), 32))
        greatest = float(Fraction(int(number[1:]), 16))
        assert float(row["grip_max_in"]) == pytest.approx(greatest, abs=0.00051)


@pytest.mark.parametrize(
    ("dia", "number", "low", "high"),
    [("1/8", "43", "0.126", "0.187"), ("3/32", "34", "0.126", "0.250")],
)
def test_example_stack_0_150(
    dia: str, number: str, low: str, high: str, inch: Inch
) -> None:
    """Stack 0.150: number 43 in 1/8 and 34 in 3/32 (picks DERIVED)."""
    pick = chart_pick(inch(dia), inch("0.150")).value
    assert pick.number == number
    assert (pick.grip_least_mm, pick.grip_most_mm) == (inch(low), inch(high))


@pytest.mark.parametrize(
    ("dia", "grip"), [("1/8", "0.300"), ("3/16", "0.200"), ("3/32", "0.019")]
)
def test_chart_refuses_its_gaps(dia: str, grip: str, inch: Inch) -> None:
    """Many numbers skip a step: no number is bent to cover the gap."""
    with pytest.raises(OutsideTable, match="TM 10-5410-221-14/1"):
        chart_pick(inch(dia), inch(grip))


def test_holes_are_whole(printed: Printed, inch: Inch) -> None:
    """Every drill and hole range of the chart looks up as printed."""
    rows = printed("tm_10_5410_221_14_1_holes")
    for row in rows:
        dia = inch(row["rivet_dia_in"])
        limits = (inch(row["hole_min_in"]), inch(row["hole_max_in"]))
        assert blind_hole(dia).value.drill == row["drill"]
        assert hole_limits(dia, hole_set=BLIND_CHART).value == limits
    assert len(read_table("holes").where(set=BLIND_CHART)) == len(rows)


def test_double_dimpled_stack_adds_the_head(inch: Inch) -> None:
    """READ rule: the countersunk head's height counts as grip in nested dimples."""
    stack, head = inch("0.045"), inch("0.042")
    nested = blind_grip_mm(stack, head_height_mm=head, is_double_dimpled=True)
    flat = blind_grip_mm(stack, head_height_mm=head, is_double_dimpled=False)
    assert (nested.value, flat.value) == (inch("0.087"), stack)

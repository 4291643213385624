"""Sheet-metal pages of other technical manuals; READ unless said.

TM 9-2320-303-24-2 and TM 9-2320-302-34 (Table 5, WP 0289); TM 10-5410-229-13&P
p. 5-4; TM 10-7360-208-13&P p. 5-3; TM 1-1520-240-BD p. 2-37.
"""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction

import pytest

from rivetwright.errors import OutsideTable
from rivetwright.standards.lengths import long_grip_extra_mm, round_length_16ths
from rivetwright.standards.spacing import (
    edge_floor_d,
    edge_least_d,
    edge_least_mm,
    pitch_least_d,
    row_distance_least_d,
)
from rivetwright.standards.table import read_table

Inch = Callable[[str | int | Fraction], Fraction]


@pytest.mark.parametrize(
    ("dia", "grip", "extra"),
    [
        ("1/8", "0.5", "0"),
        ("1/4", "2", "0"),
        ("1/4", "3", "1/16"),
        ("1/4", "4", "1/8"),
        ("5/16", "1", "0"),
        ("5/16", "2.5", "1/8"),
    ],
)
def test_table_5_long_grips(dia: str, grip: str, extra: str, inch: Inch) -> None:
    """1/16 per full 2 in past 2 in up to 1/4; per full 1 in past 1 in from 5/16."""
    assert long_grip_extra_mm(inch(dia), inch(grip)).value == inch(extra)


def test_table_5_refuses_between_its_diameters(inch: Inch) -> None:
    """9/32 stands between the two printed ranges."""
    with pytest.raises(OutsideTable, match="5/16"):
        long_grip_extra_mm(inch("9/32"), inch(3))


def test_work_package_0289_staggered_rows() -> None:
    """Double row 4 D / 2 D / 2 D; triple row 3 D inner / 3 D / 2 D."""
    tm = "TM 9-2320-303-24-2"
    assert pitch_least_d(rows=2, rule_set=tm).value == 4
    assert row_distance_least_d(rows=2, rule_set=tm).value == 2
    assert pitch_least_d(rows=3, rule_set=tm).value == 3
    assert row_distance_least_d(rows=3, rule_set=tm).value == 3


def test_work_package_0289_rows_as_printed() -> None:
    """The figure's words stand beside the numbers, and 6 D is the outer pitch."""
    rows = read_table("spacing").where(set="TM 9-2320-303-24-2")
    printed = {row.cells["case"]: row.cells["printed"] for row in rows}
    assert printed == {
        "double row": "4D / 2D / 2D",
        "triple row": "6D outer, 3D inner / 3D / 2D",
    }
    outer = [row for row in rows if row.cells["quantity"] == "outer pitch"]
    assert [row.number("min_d") for row in outer] == [6]


def test_work_package_0289_vehicle_body(inch: Inch) -> None:
    """3/16 single-row repair: edge at least 3/8; not for aircraft, and marked so."""
    looked = edge_least_mm(inch("3/16"), rule_set="vehicle body")
    assert looked.value == inch("3/8")
    assert looked.source.note == "not aircraft"


def test_page_5_4_row_distance_and_edge() -> None:
    """TM 10-5410-229-13&P: rows 2.5 D apart, edge 2 D, pitch 3 D."""
    assert row_distance_least_d().value == Fraction(5, 2)
    assert (edge_least_d().value, pitch_least_d().value) == (Fraction(2), Fraction(3))


def test_page_5_3_misprint_is_kept_and_never_used() -> None:
    """TM 10-7360-208-13&P prints 0.5 D, 2 1/2 with the 2 lost: look-up refuses."""
    misprints = read_table("spacing").misprints
    assert [row.cells["printed"] for row in misprints] == ["0.5D"]
    with pytest.raises(OutsideTable, match="TM 10-7360-208-13&P"):
        row_distance_least_d(rule_set="TM 10-7360-208-13&P")


def test_page_2_37_bolts_below_1_5_d() -> None:
    """TM 1-1520-240-BD para 2-5: bolts replace rivets under 1.5 D."""
    assert edge_floor_d().value == Fraction(3, 2)


@pytest.mark.parametrize(
    ("halves", "code"), [(True, Fraction(9, 2)), (False, Fraction(5))]
)
def test_next_greater_rounding(halves: bool, code: Fraction, inch: Inch) -> None:
    """DERIVED: 0.2675 in becomes -4.5 with half sizes and -5 without."""
    step = 2 if halves else 1
    supplied = [Fraction(n, step) for n in range(2 * step, 16 * step + 1)]
    looked = round_length_16ths(
        inch("0.2675"), rule="next greater", supplied_16ths=supplied
    )
    assert looked.value == code

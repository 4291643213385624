"""FAA AC 43.13-1B (9/8/98, CHG 1 9/27/01), chapter 4 section 4; READ.

Tables 4-9 and 4-10 whole; examples of para 4-58g and Fig. 4-20; para 4-57; p. 4-16.
"""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from math import ceil

import pytest

from rivetwright.errors import OutsideTable
from rivetwright.standards.codes import parse_rivet_code
from rivetwright.standards.diameters import diameter_range_mm
from rivetwright.standards.lengths import supplied_lengths_16ths
from rivetwright.standards.rivets_per_inch import (
    rivets_per_inch,
    rivets_per_inch_reckoned,
    splice_count,
    splice_share,
)
from rivetwright.standards.source import Status
from rivetwright.standards.spacing import edge_least_d, pitch_least_d
from rivetwright.standards.strength import Substitute, substitute
from rivetwright.standards.table import read_table

Inch = Callable[[str | int | Fraction], Fraction]
Printed = Callable[[str], list[dict[str, str]]]

TABLES = {
    "Table 4-9": "ac_43_13_1b_table_4_9",
    "Table 4-10": "ac_43_13_1b_table_4_10",
}


@pytest.mark.parametrize("table", TABLES)
def test_rivets_per_inch_tables_are_whole(
    table: str, printed: Printed, inch: Inch
) -> None:
    """Every printed cell looks up as printed, and there is no cell more."""
    rows = printed(TABLES[table])
    for row in rows:
        is_bolt = row["fastener"] == "AN-3 bolt"
        fastener = row["fastener"] if is_bolt else inch(row["fastener"])
        looked = rivets_per_inch(inch(row["sheet_in"]), fastener, table=table)
        assert looked.value == Fraction(row["per_inch"]), row
        assert looked.status is Status.READ
    assert len(read_table("rivets_per_inch").where(set=table)) == len(rows)


@pytest.mark.parametrize("table", TABLES)
def test_rivets_per_inch_closed_form_agrees_to_7_hundredths(
    table: str, printed: Printed, inch: Inch
) -> None:
    """DERIVED: the notes' closed form meets each cell to 0.07; one cell is 0.13 off.

    Table 4-9 prints 3.9 at t = 0.032 for 5/32, where its own notes give 4.03.
    """
    off = []
    for row in printed(TABLES[table]):
        if row["fastener"] == "AN-3 bolt":
            continue
        sheet, dia = inch(row["sheet_in"]), inch(row["fastener"])
        reckoned = rivets_per_inch_reckoned(sheet, dia, table=table).value
        assert reckoned.per_inch == pytest.approx(float(row["recheck"]), abs=0.0051)
        assert reckoned.governs == row["governs"], row
        if abs(reckoned.per_inch - float(row["per_inch"])) > 0.075:
            off.append((row["sheet_in"], row["fastener"]))
    assert off == ([("0.032", "5/32")] if table == "Table 4-9" else [])


def test_tables_4_9_and_4_10_disagree_on_one_sheet(inch: Inch) -> None:
    """A 0.040 sheet with 1/8 rivets takes 7.7 or 6.2 per inch; the table is named."""
    both = [
        rivets_per_inch(inch("0.040"), inch("1/8"), table=table).value
        for table in TABLES
    ]
    assert both == [Fraction("7.7"), Fraction("6.2")]


@pytest.mark.parametrize(
    ("sheet", "fastener"), [("0.016", "5/32"), ("0.128", "1/8"), ("0.050", "1/8")]
)
def test_rivets_per_inch_refuses_a_blank_cell(
    sheet: str, fastener: str, inch: Inch
) -> None:
    """A dash in the table is no number, and nothing is read between its rows."""
    with pytest.raises(OutsideTable, match=r"AC 43\.13-1B"):
        rivets_per_inch(inch(sheet), inch(fastener), table="Table 4-10")


@pytest.mark.parametrize(
    ("case", "share"),
    [
        ("upper-wing-surface or fuselage stringers", "0.80"),
        ("intermediate frames", "0.60"),
        ("single-lap sheet joints", "0.75"),
    ],
)
def test_shares_of_the_notes(case: str, share: str) -> None:
    """The tables' notes print 80, 60 and 75 %."""
    assert splice_share(case).value == Fraction(share)


def test_example_single_lap_splice_page_4_27(inch: Inch) -> None:
    """Clad 2024, t = 0.032, 10 in wide, 1/8 AD: 4.9 x 0.75 per inch, 37 rivets."""
    assert diameter_range_mm(inch("0.032")).value.least_mm == inch("0.096")
    per_inch = rivets_per_inch(inch("0.032"), inch("1/8"), table="Table 4-10").value
    share = splice_share("single-lap sheet joints").value
    assert per_inch == Fraction("4.9")
    assert round(float(per_inch * share), 1) == 3.7
    assert splice_count(inch(10), per_inch, share=share) == 37
    assert ceil(Fraction("36.75")) == 37  # the unrounded product: the same answer


def test_example_single_lap_splice_takes_5_32_as_well(inch: Inch) -> None:
    """The example calls 5/32 also satisfactory: the table has a number for it."""
    looked = rivets_per_inch(inch("0.032"), inch("5/32"), table="Table 4-10")
    assert looked.value == Fraction("3.9")


def test_example_intermediate_frame_page_4_41(inch: Inch) -> None:
    """t = 0.040, 1/8 AD, W = 0.6 in: 0.6 x 6.2 = 3.72 -> 4; 60 % is 2.4 -> 3."""
    per_inch = rivets_per_inch(inch("0.040"), inch("1/8"), table="Table 4-10").value
    assert splice_count(inch("0.6"), per_inch) == 4
    share = splice_share("intermediate frames").value
    assert splice_count(inch("0.6"), per_inch, share=share) == 3


def test_example_double_row_page_4_27(inch: Inch) -> None:
    """40 rivets in 10 in at the double-row minimum; DERIVED: 4 D, 20 to a row."""
    pitch_mm = pitch_least_d(rows=2).value * inch("1/8")
    assert pitch_mm == inch("0.5")
    assert 2 * (inch(10) / pitch_mm) == 40


def test_single_row_minima_paragraph_4_57() -> None:
    """Single row: edge 2 D, pitch 3 D."""
    assert edge_least_d().value == 2
    assert pitch_least_d().value == 3


@pytest.mark.parametrize(
    ("material", "diameter", "allowed"),
    [("D", 6, True), ("D", 7, False), ("DD", 5, True), ("DD", 6, False)],
)
def test_substitution_paragraph_4_57b(
    material: str, diameter: int, allowed: bool
) -> None:
    """2117 one size larger for 2017 up to 3/16 and for 2024 up to 5/32, not beyond."""
    if allowed:
        found = substitute(material, diameter).value
        assert found == Substitute("AD", diameter + 1)
    else:
        with pytest.raises(OutsideTable, match=r"D up to 3/16 in"):
            substitute(material, diameter)


def test_substitution_derived_example() -> None:
    """DERIVED: MS20470DD4-5 may become a 2117 rivet of 5/32."""
    code = parse_rivet_code("MS20470DD4-5")
    found = substitute(code.material, code.diameter_32nds).value
    assert found == Substitute("AD", 5)


def test_length_codes_page_4_16(printed: Printed, inch: Inch) -> None:
    """Every length code is sixteenths of an inch; numbers DERIVED, mm to 0.005."""
    rows = printed("ac_43_13_1b_lengths")
    assert [Fraction(row["length_code"]) for row in rows] == list(
        supplied_lengths_16ths()
    )
    for row in rows:
        code = parse_rivet_code(f"MS20470AD4-{row['length_code']}")
        assert code.length_mm == inch(row["length_in"])
        assert float(code.length_mm) == pytest.approx(
            float(row["length_mm"]), abs=0.0051
        )


def test_whole_sizes_page_4_16(printed: Printed) -> None:
    """The whole sizes are those printed as such."""
    whole = [
        Fraction(row["length_code"])
        for row in printed("ac_43_13_1b_lengths")
        if row["kind"] == "whole size"
    ]
    assert whole == list(supplied_lengths_16ths("whole sizes"))


def test_half_size_example_page_4_16() -> None:
    """MS20470AD4-3.5 is 2117, 1/8 in, 7/32 in long."""
    code = parse_rivet_code("MS20470 AD4-3.5")
    assert (code.material, code.diameter_32nds) == ("AD", 4)
    assert code.length_mm == Fraction(7, 32) * Fraction(254, 10)

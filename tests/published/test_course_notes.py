"""A Canadian and a German-language course note on solid rivets; SECOND-HAND.

With the code example of FAA-H-8083-30 p. 5-56 (READ), two quoted handbooks and two
notes on riveting that give usual pitches.
"""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction

import pytest

from rivetwright.standards.codes import parse_rivet_code
from rivetwright.standards.cross_code import read_cross_code
from rivetwright.standards.diameters import diameter_range_mm
from rivetwright.standards.flush import (
    countersink_land_least_mm,
    countersink_sheet_least_mm,
    dimple_sheet_most_mm,
)
from rivetwright.standards.holes import SHANK_PLUS, rivet_hole
from rivetwright.standards.lengths import (
    round_length_16ths,
    supplied_lengths_16ths,
    tail_d,
)
from rivetwright.standards.shop_heads import NOMINAL, shop_head_limits
from rivetwright.standards.spacing import (
    edge_least_d,
    row_distance_least_d,
    usual_pitch_d,
)
from rivetwright.standards.strength import shear_stress_mpa
from rivetwright.standards.table import read_table

Inch = Callable[[str | int | Fraction], Fraction]
Printed = Callable[[str], list[dict[str, str]]]


def test_canadian_head_table_is_whole(printed: Printed, inch: Inch) -> None:
    """Width and height between two limits each, as transcribed."""
    rows = printed("canadian_course_note_heads")
    name = "Canadian course note"
    for row in rows:
        limits = shop_head_limits(inch(row["rivet_dia_in"]), limit_set=name).value
        assert limits.width_least_mm == inch(row["width_min_in"])
        assert limits.width_most_mm == inch(row["width_max_in"])
        assert limits.height_least_mm == inch(row["height_min_in"])
        assert limits.height_most_mm == inch(row["height_max_in"])
    assert len(read_table("shop_heads").where(set=name)) == len(rows)


def test_canadian_nominal_rule(printed: Printed, inch: Inch) -> None:
    """1.5 D wide, 0.5 D high; DERIVED numbers to their printed digits."""
    half = float(inch("0.000051"))
    for row in printed("nominal_rule_heads"):
        limits = shop_head_limits(inch(row["rivet_dia_in"]), limit_set=NOMINAL).value
        assert limits.width_least_mm is not None
        assert limits.height_least_mm is not None
        assert float(limits.width_least_mm) == pytest.approx(
            float(inch(row["width_min_in"])), abs=half
        )
        assert float(limits.height_least_mm) == pytest.approx(
            float(inch(row["height_min_in"])), abs=half
        )


def test_canadian_example_rivet_length(inch: Inch) -> None:
    """Two 0.040 skins: D from 0.120 up, 1/8; 0.2675 in, nearest whole size -4."""
    assert diameter_range_mm(inch("0.040")).value.least_mm == inch("0.120")
    wanted = inch("0.080") + tail_d().value * inch("1/8")
    assert wanted == inch("0.2675")
    whole = supplied_lengths_16ths("whole sizes")
    assert round_length_16ths(wanted, supplied_16ths=whole).value == 4


def test_german_example_cross_code() -> None:
    """NW BJ, NE 4N, SE 5 is MS20470AD4-5, manufactured head on the near side."""
    cross = read_cross_code({"NW": "BJ", "NE": "4N", "SE": "5"})
    assert str(cross.rivet) == "MS20470AD4-5"
    assert cross.head_side == "near"


@pytest.mark.parametrize(
    ("letters", "kind"),
    [("BJ", "MS20470AD"), ("BB", "MS20426AD"), ("BH", "MS20470A"), ("CY", "MS20426DD")],
)
def test_german_cross_code_letters(letters: str, kind: str) -> None:
    """BH is AN470A and CY is AN426DD, the older numbers of the same rivets."""
    rivet = read_cross_code(f"{letters} 4N / - 5").rivet
    assert f"{rivet.standard}{rivet.material}" == kind


def test_german_land_hole_and_diameter(inch: Inch) -> None:
    """Land 0.008 in; hole = shank + 0.1 mm; diameter 2.5 to 4 sheets."""
    assert countersink_land_least_mm().value == inch("0.008")
    assert rivet_hole(4, hole_set=SHANK_PLUS).value.nominal_mm == Fraction("4.1")
    rule = diameter_range_mm(1, rule_set="German course note").value
    assert (rule.least_mm, rule.most_mm) == (Fraction("2.5"), Fraction(4))


@pytest.mark.parametrize(
    ("material", "newton_per_mm2", "ksi"),
    [("AD", 200, "29.0"), ("B", 170, "24.7"), ("D", 260, "37.7"), ("M", 350, "50.8")],
)
def test_german_shear_stresses(material: str, newton_per_mm2: int, ksi: str) -> None:
    """The note's round figures convert as printed beside ours, to 0.05 ksi."""
    rows = read_table("shear_stress_course_note").where(material=material)
    assert [row.number("stress_mpa") for row in rows] == [newton_per_mm2]
    mpa_per_ksi = 6.894757293168361
    assert newton_per_mm2 / mpa_per_ksi == pytest.approx(float(ksi), abs=0.051)
    assert shear_stress_mpa(material).value.most_mpa > 0.9 * newton_per_mm2


def test_faa_h_8083_30_page_5_56_code(inch: Inch) -> None:
    """MS20426-AD4-6 is 100 degree, 2117, 1/8 by 3/8."""
    code = parse_rivet_code("MS20426-AD4-6")
    assert (code.head, code.material) == ("flush", "AD")
    assert (code.diameter_mm, code.length_mm) == (inch("1/8"), inch("3/8"))


def test_ac_65_15a_as_quoted(inch: Inch) -> None:
    """Dimpling works best up to 0.040; countersink from there."""
    assert dimple_sheet_most_mm().value == inch("0.040")
    least = countersink_sheet_least_mm(inch("1/8"), rule_set="AC 65-15A")
    assert least.value == inch("0.040")


@pytest.mark.parametrize(
    ("name", "pitch"), [("lecture note", (6, 8)), ("trade article", (3, 10))]
)
def test_usual_pitch_of_two_notes(name: str, pitch: tuple[int, int]) -> None:
    """6 D to 8 D and 3 D to 10 D; both have edge 2 D and rows 2.5 D."""
    assert list(usual_pitch_d(rule_set=name).value) == list(pitch)
    assert edge_least_d(rule_set=name).value == 2
    assert row_distance_least_d(rule_set=name).value == Fraction(5, 2)


def test_pocket_handbook_as_quoted(inch: Inch) -> None:
    """1/8: 11/64 to 7/32 wide, 3/64 to 5/64 high."""
    limits = shop_head_limits(inch("1/8"), limit_set="pocket handbook").value
    assert (limits.width_least_mm, limits.width_most_mm) == (
        inch("11/64"),
        inch("7/32"),
    )
    assert (limits.height_least_mm, limits.height_most_mm) == (
        inch("3/64"),
        inch("5/64"),
    )

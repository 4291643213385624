"""NAVEDTRA 14315 Table 3-1 and NAVEDTRA 14018 chapter 13; READ."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction

import pytest

from rivetwright.standards.codes import parse_rivet_code
from rivetwright.standards.diameters import diameter_range_mm
from rivetwright.standards.flush import head_angle_deg
from rivetwright.standards.lengths import round_length_16ths, tail_d
from rivetwright.standards.materials import alloy, material_codes
from rivetwright.standards.spacing import usual_pitch_d

Inch = Callable[[str | int | Fraction], Fraction]
Printed = Callable[[str], list[dict[str, str]]]


def test_14315_table_3_1_is_whole(printed: Printed) -> None:
    """Letters, alloys and head marks as printed; M, E and F are second-hand."""
    rows = printed("navedtra_14315_table_3_1")
    assert [row["code"] for row in rows] == list(material_codes())
    for row in rows:
        looked = alloy(row["code"])
        assert row["alloy"].startswith(looked.value.alloy)
        assert looked.value.head_mark == row["head_mark"]
        assert looked.value.head_mark_other == row["head_mark_other"]
        second_hand = row["code"] in {"M", "E", "F"}
        assert looked.status == ("SECOND-HAND" if second_hand else "READ")


@pytest.mark.parametrize("code", ["D", "DD"])
def test_14315_cold_rivets(code: str) -> None:
    """Driven within 20 min of quenching, or kept at or below 32 F for 24 h."""
    found = alloy(code).value
    assert (found.drive_within_min, found.store_at_most_f) == (20, 32)
    assert found.store_hours == 24


def test_14315_ad_is_driven_as_received() -> None:
    """2117 keeps indefinitely."""
    assert alloy("AD").value.is_driven_as_received


@pytest.mark.parametrize(
    "text",
    ["MS20470 AD 4 - 5", "MS20470AD4-5", "MS20470AD-4-5", "AN470AD4-5"],
)
def test_14315_chapter_3_spellings_are_one_rivet(text: str) -> None:
    """Head, material, 32nds of diameter, 16ths of length, however spaced."""
    assert str(parse_rivet_code(text)) == "MS20470AD4-5"


def test_14018_length_formula_page_13_24(inch: Inch) -> None:
    """L = 1.5 D + G; DERIVED: 3/32 in 0.064 gives 0.2046 in, code -3.5."""
    wanted = tail_d().value * inch("3/32") + inch("0.064")
    assert float(wanted / inch(1)) == pytest.approx(0.2046, abs=0.00006)
    looked = round_length_16ths(wanted)
    assert looked.value == Fraction(7, 2)
    assert looked.value / 16 == Fraction("0.21875")


def test_14018_usual_pitch() -> None:
    """4 D to 8 D."""
    assert usual_pitch_d().value == (Fraction(4), Fraction(8))


def test_14018_diameter_page_13_24(inch: Inch) -> None:
    """Between the thickest sheet and 3 of it, and 3/32 or larger in structure."""
    rule = "NAVEDTRA 14018"
    thick = diameter_range_mm(inch("0.125"), rule_set=rule).value
    assert (thick.least_mm, thick.most_mm) == (inch("0.125"), inch("0.375"))
    thin = diameter_range_mm(inch("0.032"), rule_set=rule).value
    assert thin.least_mm == inch("3/32")


def test_14018_flush_heads_are_100_degree() -> None:
    """MS20426 is the 100 degree head."""
    assert head_angle_deg().value == 100

"""Countersinks, nested dimples and the grip a blind rivet feels, by hand."""

from __future__ import annotations

import math

import pytest

from rivetwright.engines.worked import working
from rivetwright.model.plan import Part
from tests.unit.engines.small import IN, blind, codes, inches, row, through, worked

NESTED = ((0.032, "dimple"), (0.020, "dimple"), (0.060, "countersink"))


def test_countersink_that_takes_two_dimples() -> None:
    """1/8 under .032 + .020: .225 + 2 x .052 x (1 - sin 50) / cos 50 = .2629 wide.

    Deep (.2629 - .1285) / 2 / tan 50 = .0564; of .060 there is .0036 left.
    """
    found = through(*NESTED, code="MS20426AD4-5")
    assert inches(found, "nested_thickness_mm") == pytest.approx(0.052)
    assert inches(found, "nested_width_mm") == pytest.approx(0.2629, abs=0.0001)
    assert inches(found, "nested_depth_mm") == pytest.approx(0.0564, abs=0.0001)
    assert inches(found, "nested_land_mm") == pytest.approx(0.0036, abs=0.0001)
    assert "FLUSH-02" in codes(found)


def test_countersink_with_nothing_nested_has_no_land_to_judge() -> None:
    """A bare countersink is judged by the table alone."""
    found = through((0.063, "countersink"), (0.040, "plain"), code="MS20426AD4-5")
    assert math.isnan(found.worked.at("nested_land_mm", 0))
    assert codes(found) <= {"LENGTH-03", "LENGTH-04", "SHOP-01"}


@pytest.mark.parametrize(("thick", "stops"), [(0.049, True), (0.050, False)])
def test_least_sheet_of_a_countersink(thick: float, stops: bool) -> None:
    """1/8: the table has 0.050 in."""
    found = through((thick, "countersink"), (0.063, "plain"), code="MS20426AD4-5")
    assert inches(found, "countersink_min_sheet_mm") == pytest.approx(0.050)
    assert ("FLUSH-01" in codes(found)) == stops


def test_standard_part_may_come_countersunk() -> None:
    """A nutplate lug of .025 comes so from its maker: it is not judged."""
    parts = [
        Part("skin", "skin", 0.040 * IN),
        Part("lug", "nutplate", 0.025 * IN, is_standard=True),
    ]
    stack = [("skin", "dimple"), ("lug", "countersink")]
    found = worked(row("R", "MS20426AD3-3.5", stack=stack), parts=parts)
    assert math.isnan(found.worked.at("countersunk_thickness_mm", 0))
    assert "FLUSH-01" not in codes(found)


@pytest.mark.parametrize(
    ("code", "hows", "fits"),
    [
        ("MS20426AD3-4", ("dimple", "dimple"), True),
        ("MS20426AD3-4", ("countersink", "plain"), True),
        ("MS20426AD3-4", ("dimple", "countersink"), True),
        ("MS20426AD3-4", ("plain", "plain"), False),
        ("MS20426AD3-4", ("dimple", "plain"), False),
        ("MS20426AD3-4", ("countersink", "dimple"), False),
        ("MS20470AD3-4", ("plain", "plain"), True),
        ("MS20470AD3-4", ("dimple", "dimple"), False),
        ("MS20470AD3-4", ("plain", "countersink"), False),
    ],
)
def test_preparation_goes_with_the_head_and_nests(
    code: str, hows: tuple[str, str], fits: bool
) -> None:
    """A cone needs its seat: dimple in dimple or in a countersink, plain on plain."""
    found = through((0.063, hows[0]), (0.063, hows[1]), code=code)
    assert ("FLUSH-03" in codes(found)) != fits


def test_thick_dimple_is_a_note() -> None:
    """.050 dimpled, over .040; .040 itself is not."""
    thick = through((0.050, "dimple"), (0.040, "dimple"), code="MS20426AD4-5")
    good = through((0.040, "dimple"), (0.040, "dimple"), code="MS20426AD4-5")
    assert "FLUSH-04" in codes(thick)
    assert "FLUSH-04" not in codes(good)


DOUBLE = ((0.020, "dimple"), (0.025, "dimple"))


def test_head_height_counts_as_grip_in_two_dimples() -> None:
    """.020 + .025 + .042 = .087; with one dimple, or a dome head, .045."""
    flush = blind("B", ".050", ".125", head="flush")
    double = through(*DOUBLE, code=flush)
    single = through((0.020, "dimple"), (0.025, "countersink"), code=flush)
    dome = through((0.020, "plain"), (0.025, "plain"), code=blind("D", ".02", ".06"))
    assert inches(double, "blind_grip_mm") == pytest.approx(0.087)
    assert inches(single, "blind_grip_mm") == pytest.approx(0.045)
    assert inches(dome, "blind_grip_mm") == pytest.approx(0.045)


@pytest.mark.parametrize(
    ("low", "high", "stops"),
    [(".060", ".087", False), (".087", ".125", False), (".020", ".062", True)],
)
def test_grip_range_holds_its_ends(low: str, high: str, stops: bool) -> None:
    """.087 lies at an end of two ranges and beyond the third."""
    found = through(*DOUBLE, code=blind("B", low, high, head="flush"))
    assert ("GRIP-01" in codes(found)) == stops


def test_small_grip_says_nothing_while_a_sheet_is_missing() -> None:
    """One sheet entered: STACK-02 asks for the other; a grip too large still stops."""
    low = through((0.025, "plain"), code=blind("B", ".063", ".125"))
    high = through((0.250, "plain"), code=blind("B", ".063", ".125"))
    assert codes(low) == {"STACK-02"}
    assert codes(high) == {"STACK-02", "GRIP-01"}


def test_code_of_the_kit_that_fits_is_named() -> None:
    """Of three codes with the same head and size the one for .045 is B1."""
    kit = [blind("B1", ".02", ".062"), blind("B2", ".063", ".125")]
    other = blind("F1", ".02", ".062", head="flush")
    stack = ((0.020, "plain"), (0.025, "plain"))
    found = through(*stack, code=kit[1], blind_codes=(other, *kit))
    assert found.worked.at("wanted_blind_code", 0) == "B1"
    witness = working(found.worked, "wanted_blind_code", 0).witness
    assert witness is not None
    assert witness.fields["codes"] == "B1, B2"


def test_solid_rivets_have_no_blind_grip() -> None:
    """Nothing is felt and no code is named."""
    found = through(*DOUBLE, code="MS20426AD3-3")
    assert math.isnan(found.worked.at("blind_grip_mm", 0))
    assert found.worked.at("wanted_blind_code", 0) == ""
    assert working(found.worked, "wanted_blind_code", 0).witness is None

"""Grip, wanted length, and which lengths make a legal head. Sizes in inches."""

from __future__ import annotations

import math

import pytest

from rivetwright.engines.worked import working
from rivetwright.model.plan import RuleSets
from tests.unit.engines.small import blind, codes, inches, through

TWO = ((0.032, "plain"), (0.032, "plain"))


def test_grip_is_the_sum_of_the_sheets() -> None:
    """.032 + .025 + .040 = .097."""
    found = through((0.032, "plain"), (0.025, "plain"), (0.040, "plain"))
    assert inches(found, "grip_mm") == pytest.approx(0.097)


def test_handbook_length_is_grip_and_one_and_a_half_diameters() -> None:
    """.064 + 1.5 x .125 = .2515; in sixteenths 4.024: -4."""
    found = through(*TWO, code="MS20470AD4-3.5")
    assert inches(found, "handbook_length_mm") == pytest.approx(0.2515)
    assert found.worked.at("wanted_length_16ths", 0) == 4.0
    assert found.worked.at("callout_length_16ths", 0) == pytest.approx(3.5)


@pytest.mark.parametrize(("grip", "wanted"), [(0.0781250, 4.5), (0.0781249, 4.0)])
def test_length_half_way_goes_up(grip: float, wanted: float) -> None:
    """.078125 + .1875 = .265625 = 4.25 sixteenths: half way from -4 to -4.5.

    A ten-millionth of an inch less is 2.5e-6 mm less, over the tolerance: down.
    """
    found = through((grip - 0.03, "plain"), (0.03, "plain"))
    assert found.worked.at("wanted_length_16ths", 0) == wanted


def test_whole_sizes_where_the_kit_has_no_half_ones() -> None:
    """4.25 sixteenths lies nearest to -4 when -4.5 is not in the bag."""
    sets = RuleSets(whole_lengths_32nds=(4,))
    found = through((0.048125, "plain"), (0.03, "plain"), rule_sets=sets)
    assert found.worked.at("wanted_length_16ths", 0) == 4.0


def test_rounding_is_the_named_one() -> None:
    """4.024 sixteenths: nearest -4; by the next greater supplied -4.5."""
    sets = RuleSets(length_rounding="next greater")
    found = through(*TWO, rule_sets=sets)
    assert found.worked.at("wanted_length_16ths", 0) == 4.5
    witness = working(found.worked, "wanted_length_16ths", 0).witness
    assert witness is not None
    assert witness.fields["nearest"] == "-4, -4.5"
    assert witness.fields["rounding"] == "next greater"


def test_long_grip_asks_for_more() -> None:
    """Grip 2.5 with a 1/4 rivet: one full 2 in, so 1/16 in more."""
    found = through((1.25, "plain"), (1.25, "plain"), code="MS20470AD8-16")
    assert inches(found, "long_grip_mm") == pytest.approx(1 / 16)
    assert inches(found, "handbook_length_mm") == pytest.approx(2.5 + 0.375 + 0.0625)


def test_length_beyond_the_supplied_ones_is_not_chosen() -> None:
    """2.94 in is longer than any supplied code: nothing is wanted."""
    found = through((1.25, "plain"), (1.25, "plain"), code="MS20470AD8-16")
    assert math.isnan(found.worked.at("wanted_length_16ths", 0))


def test_legal_lengths_are_those_in_the_window() -> None:
    """1/8 in .064: window .152 to .283 (drill .1285 to .1315, middle .130).

    Fill (.130 / .125)^2 - 1 = .0816, x .064 / .125 = .0418. Low .064 + .125 x (.680 +
    .0418) = .1542; high .064 + .125 x (1.715 + .0418) = .2836. Codes from 2.47 to 4.54
    sixteenths: -2.5 to -4.5.
    """
    found = through(*TWO)
    assert inches(found, "window_low_mm") == pytest.approx(0.1542, abs=0.0001)
    assert inches(found, "window_high_mm") == pytest.approx(0.2836, abs=0.0001)
    assert found.worked.at("legal_length_codes", 0) == "2.5 3 3.5 4 4.5"


def test_blind_rivets_have_no_length() -> None:
    """Neither a wanted length nor a window, and none is missed."""
    found = through(*TWO, code=blind("B1", ".050", ".125"))
    for name in ("wanted_length_16ths", "callout_length_16ths", "window_low_mm"):
        assert math.isnan(found.worked.at(name, 0))
    assert found.worked.at("legal_length_codes", 0) == ""
    assert found.worked.at("is_length_supplied", 0) == 1.0
    assert codes(found) == set()


def test_length_that_is_not_supplied_is_told() -> None:
    """-3.5 in a diameter of whole sizes; -4 is in the bag."""
    sets = RuleSets(whole_lengths_32nds=(4,))
    half = through(*TWO, code="MS20470AD4-3.5", rule_sets=sets)
    whole = through(*TWO, code="MS20470AD4-4", rule_sets=sets)
    assert "LENGTH-06" in codes(half)
    assert "LENGTH-06" not in codes(whole)


@pytest.mark.parametrize(
    ("length", "expected"),
    [
        ("2", "LENGTH-01"),
        ("2.5", "LENGTH-03"),
        ("3.5", "LENGTH-04"),
        ("4", None),
        ("4.5", "LENGTH-03"),
        ("5", "LENGTH-02"),
    ],
)
def test_one_verdict_for_each_length(length: str, expected: str | None) -> None:
    """1/8 in .064: window 2.47 to 4.54, handbook -4; spread about .08 of .125 in.

    v of -2: (.125 - .064) / .125 - .0418 = .446, +.056 for tolerances, under .680. Of
    -2.5: .696, -.043. Of -4.5: 1.696, +.077 over 1.715. Of -5: 1.946 - .045.
    """
    found = codes(through(*TWO, code=f"MS20470AD4-{length}"))
    verdicts = {code for code in found if code.startswith("LENGTH")}
    assert verdicts == ({expected} if expected else set())

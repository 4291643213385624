"""The shop head by volume, by hand. Sizes in inches."""

from __future__ import annotations

import math

import pytest

from rivetwright.engines.plan import WorkedPlan
from tests.unit.engines.small import inches, through

TWO = ((0.032, "plain"), (0.032, "plain"))
DIMPLED = ((0.025, "dimple"), (0.020, "dimple"), (0.025, "dimple"))


def ratio(found: WorkedPlan, name: str) -> float:
    """A pure number of the one hole."""
    return float(found.worked.at(name, 0))


def test_metal_of_a_plain_stack() -> None:
    """1/8 -3.5 in .064: out .15475; hole .1285 to .1315, fill .0816 x .512 = .0418.

    v = .15475 / .125 - .0418 = 1.1962.
    """
    found = through(*TWO, code="MS20470AD4-3.5")
    assert inches(found, "protrusion_mm") == pytest.approx(0.15475)
    assert ratio(found, "hole_fill_ratio") == pytest.approx(0.0418, abs=0.0001)
    assert ratio(found, "head_volume_ratio") == pytest.approx(1.1962, abs=0.0001)


def test_width_at_the_middle_of_the_height_limits() -> None:
    """Limits .050 to .070, so .060: .125 x sqrt(1.1962 x .125 / .060) = .1973."""
    found = through(*TWO, code="MS20470AD4-3.5")
    assert inches(found, "head_height_aim_mm") == pytest.approx(0.060)
    assert inches(found, "head_width_mm") == pytest.approx(0.1973, abs=0.0001)


def test_spread_of_the_width_is_wider_upward() -> None:
    """Shank +.003 / -.001: more metal may come than may be missing.

    Over: length .005 / .125 = .04; shank 2 x .21875 x .003 / .125^2 = .084; hole
    2 x .130 x .0015 x .064 / .125^3 = .0128; together .0940. Under: shank .028: .0505.
    """
    found = through(*TWO, code="MS20470AD4-3.5")
    assert ratio(found, "volume_over_ratio") == pytest.approx(0.0940, abs=0.0002)
    assert ratio(found, "volume_under_ratio") == pytest.approx(0.0505, abs=0.0002)
    low, named, high = (
        inches(found, f"head_width{end}_mm") for end in ("_low", "", "_high")
    )
    assert high - named > named - low > 0


def test_dimple_stands_off_under_the_shop_head() -> None:
    """3/32: (.179 - .098) / 2 / tan 50 = .0340 at most; .070 x (1 - sin 50) less.

    .0340 - .070 x .23396 = .0176; the middle is .0258.
    """
    found = through(*DIMPLED, code="MS20426AD3-3.5")
    assert inches(found, "dimpled_thickness_mm") == pytest.approx(0.070)
    assert inches(found, "stand_off_high_mm") == pytest.approx(0.0340, abs=0.0001)
    assert inches(found, "stand_off_low_mm") == pytest.approx(0.0176, abs=0.0001)
    assert inches(found, "stand_off_mm") == pytest.approx(0.0258, abs=0.0001)


def test_no_stand_off_where_the_last_sheet_is_plain_or_countersunk() -> None:
    """A dimpled skin in a countersunk cap: the cone sits inside the stack."""
    sunk = through((0.020, "dimple"), (0.063, "countersink"), code="MS20426AD3-4")
    plain = through((0.020, "dimple"), (0.040, "plain"), code="MS20426AD3-4")
    for found in (sunk, plain):
        assert inches(found, "stand_off_mm") == 0.0


def test_hole_opens_further_where_a_sheet_is_dimpled() -> None:
    """.098 drilled: to .101 plain, to .104 dimpled; the middle fills."""
    plain = through(*TWO, code="MS20470AD3-3")
    dimpled = through(*DIMPLED, code="MS20426AD3-3.5")
    assert inches(plain, "hole_high_mm") == pytest.approx(0.101)
    assert inches(dimpled, "hole_high_mm") == pytest.approx(0.104)
    assert inches(dimpled, "filled_hole_mm") == pytest.approx(0.101)


def test_least_and_most_metal_of_a_legal_head() -> None:
    """1/8: .163^2 x .050 / .125^3 = .680; 1.75^2 x .070 / .125 = 1.715."""
    found = through(*TWO)
    assert ratio(found, "volume_min_ratio") == pytest.approx(0.6802, abs=0.0001)
    assert ratio(found, "volume_max_ratio") == pytest.approx(1.715)


def test_rivet_shorter_than_its_stack_makes_no_head() -> None:
    """-2 in .250: less than nothing stands out, the width is 0 and never imaginary."""
    found = through((0.125, "plain"), (0.125, "plain"), code="MS20470AD4-2")
    assert ratio(found, "head_volume_ratio") < 0
    assert inches(found, "head_width_mm") == 0.0


def test_unknown_head_gives_no_stand_off_and_no_width() -> None:
    """A reduced flush head has no figures: what rests on them stays empty."""
    found = through((0.032, "dimple"), (0.032, "dimple"), code="NAS1097AD4-4")
    assert math.isnan(ratio(found, "stand_off_mm"))
    assert math.isnan(ratio(found, "head_width_mm"))

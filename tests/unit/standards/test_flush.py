"""Countersinks, dimples and cones."""

from __future__ import annotations

from fractions import Fraction
from math import isclose, sqrt

import pytest

from rivetwright.errors import OutsideTable
from rivetwright.standards.flush import (
    DEFAULT_COUNTERSINK_SET,
    cone_depth_mm,
    cone_width_mm,
    countersink_diameter_mm,
    countersink_sets,
    countersink_sheet_least_mm,
    dimple_sheet_most_mm,
    dimple_standoff_mm,
    knife_edge_sheet_mm,
)

INCH = Fraction(254, 10)


def test_default_set_stands_first() -> None:
    """Four sets of least sheets."""
    assert countersink_sets()[0] == DEFAULT_COUNTERSINK_SET
    assert len(countersink_sets()) == 4


def test_cone_of_90_degrees_is_half_its_width_deep() -> None:
    """10 wide over a hole of 4 at 90 degrees: (10 - 4)/2 = 3 deep."""
    assert isclose(cone_depth_mm(10, 4, angle_deg=90), 3)


def test_cone_of_120_degrees() -> None:
    """Half angle 60: 3 over the root of 3."""
    assert isclose(cone_depth_mm(10, 4, angle_deg=120), 3 / sqrt(3))


def test_cone_width_is_the_inverse_of_its_depth() -> None:
    """Depth from width and back."""
    depth = cone_depth_mm(5.7, 3.26, angle_deg=100)
    assert isclose(cone_width_mm(depth, 3.26, angle_deg=100), 5.7)


def test_knife_edge_sheet_is_thinner_than_the_least() -> None:
    """0.032 is knife edge for 3/32, where 0.040 is the least."""
    assert knife_edge_sheet_mm().value == Fraction(32, 1000) * INCH
    least = countersink_sheet_least_mm(INCH * 3 / 32).value
    assert knife_edge_sheet_mm().value < least


@pytest.mark.parametrize("inches", [Fraction(1, 16), Fraction(7, 32)])
def test_diameter_outside_the_tables_is_refused(inches: Fraction) -> None:
    """Nothing is read between or beyond the printed diameters."""
    for look in (countersink_sheet_least_mm, countersink_diameter_mm):
        with pytest.raises(OutsideTable, match="TM 9-2320-363-34-2"):
            look(inches * INCH)
    with pytest.raises(OutsideTable, match="own geometry"):
        dimple_standoff_mm(inches * INCH)


def test_unknown_rules_are_refused() -> None:
    """A rule nobody wrote is refused with those that stand."""
    with pytest.raises(OutsideTable, match="thickest sheet to dimple"):
        dimple_sheet_most_mm(rule="by eye")
    with pytest.raises(OutsideTable, match="wartime flat rule"):
        countersink_sheet_least_mm(3, rule_set="by eye")

"""Strengths for comparison."""

from __future__ import annotations

from fractions import Fraction

import pytest

from rivetwright.errors import OutsideTable
from rivetwright.standards.strength import (
    bearing_n,
    flush_strength_n,
    shear_n,
    shear_stress_mpa,
    single_shear_n,
    substitute,
    thin_sheet_factor,
    unit_bearing_n,
)

INCH = Fraction(254, 10)


def test_shear_is_area_times_stress() -> None:
    """2 mm hole at 100 MPa: 3.14159 x 100 = 314.159 N."""
    assert shear_n(2, 100) == pytest.approx(314.159265, abs=1e-5)


def test_bearing_is_hole_times_sheet_times_stress() -> None:
    """1/8 rivet: 3.2639 mm hole x 1 mm x 100 MPa = 326.39 N."""
    assert bearing_n(INCH / 8, 1, 100).value == pytest.approx(326.39, abs=1e-9)


def test_thin_sheet_factor_is_1_in_thick_sheet() -> None:
    """D/t of 3 and less loses nothing."""
    assert thin_sheet_factor(3, 1).value == 1
    assert thin_sheet_factor(3, 2).value == 1


def test_thin_sheet_factor_refuses_foil() -> None:
    """D/t of 28 would leave nothing at all."""
    with pytest.raises(OutsideTable, match="factor above 0"):
        thin_sheet_factor(28, 1)


def test_shear_stress_is_a_range_of_what_was_published() -> None:
    """2017: 34 to 38 ksi; one source each."""
    found = shear_stress_mpa("D").value
    assert float(found.least_mpa) == pytest.approx(234.42, abs=0.01)
    assert float(found.most_mpa) == pytest.approx(262.00, abs=0.01)


def test_what_is_not_printed_is_refused() -> None:
    """Material, diameter and sheet each outside its table."""
    with pytest.raises(OutsideTable, match="material AD"):
        single_shear_n("DD", INCH / 8)
    with pytest.raises(OutsideTable, match="5/16"):
        single_shear_n("AD", INCH * 7 / 32)
    with pytest.raises(OutsideTable, match="material F"):
        shear_stress_mpa("F")
    with pytest.raises(OutsideTable, match="3/32"):
        unit_bearing_n(INCH / 4, INCH / 20)
    with pytest.raises(OutsideTable, match=r"0\.050"):
        unit_bearing_n(INCH / 8, INCH / 33)
    with pytest.raises(OutsideTable, match=r"0\.063"):
        flush_strength_n(INCH / 8, INCH / 4, "countersunk")
    with pytest.raises(OutsideTable, match="3/32"):
        flush_strength_n(INCH / 8, INCH / 25, "countersunk", "yield")
    with pytest.raises(OutsideTable, match="D up to"):
        substitute("AD", 4)

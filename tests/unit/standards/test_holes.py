"""Drills and hole limits."""

from __future__ import annotations

from fractions import Fraction

import pytest

from rivetwright.errors import OutsideTable
from rivetwright.standards.holes import (
    BLIND_CHART,
    DEFAULT_HOLE_SET,
    SHANK_PLUS,
    Hole,
    blind_hole,
    hole_after_dimpling,
    hole_limits,
    hole_sets,
    rivet_hole,
)

INCH = Fraction(254, 10)


def test_default_set_stands_first() -> None:
    """Present practice is the default among six sets."""
    assert hole_sets()[0] == DEFAULT_HOLE_SET
    assert len(hole_sets()) == 6


def test_size_is_the_nominal_one_or_the_middle() -> None:
    """1/8 drills .1285; the blind chart's .128 to .132 is reckoned as .130."""
    assert rivet_hole(INCH / 8).value.size_mm == Fraction(1285, 10000) * INCH
    assert blind_hole(INCH / 8).value.size_mm == Fraction(130, 1000) * INCH


def test_size_of_a_hole_without_figures_is_our_mistake() -> None:
    """No printed row lacks both size and limits."""
    with pytest.raises(AssertionError):
        assert Hole(None, None, None, None).size_mm


def test_set_without_a_drill_says_none() -> None:
    """Shank + 0.1 mm names no drill."""
    hole = rivet_hole(4, hole_set=SHANK_PLUS).value
    assert (hole.drill, hole.nominal_mm) == (None, Fraction(41, 10))


def test_limits_need_a_set_that_prints_them() -> None:
    """Present practice has none, and the refusal names the sets that do."""
    with pytest.raises(OutsideTable, match=BLIND_CHART):
        hole_limits(INCH / 8, hole_set=DEFAULT_HOLE_SET)


@pytest.mark.parametrize("inches", [Fraction(7, 32), Fraction(1, 2)])
def test_diameter_outside_a_set_is_refused(inches: Fraction) -> None:
    """7/32 and 1/2 are not printed."""
    with pytest.raises(OutsideTable, match="present practice"):
        rivet_hole(inches * INCH)


def test_unknown_set_is_refused() -> None:
    """The refusal names the sets there are."""
    with pytest.raises(OutsideTable, match="wartime minimum clearance"):
        rivet_hole(INCH / 8, hole_set="by eye")


def test_hole_after_dimpling_keeps_its_sheet() -> None:
    """The 3/32 observation was in 0.025; the pulled-flush one names no sheet."""
    assert hole_after_dimpling(INCH * 3 / 32).value.sheet_mm == INCH / 40
    assert hole_after_dimpling(INCH / 8).value.sheet_mm is None
    with pytest.raises(OutsideTable):
        hole_after_dimpling(INCH * 3 / 16)

"""Diameter from thickness."""

from __future__ import annotations

from fractions import Fraction

import pytest

from rivetwright.errors import OutsideTable
from rivetwright.standards.diameters import diameter_range_mm


def test_default_is_about_three_sheets() -> None:
    """One number, not a range."""
    found = diameter_range_mm(1).value
    assert (found.least_mm, found.most_mm) == (Fraction(3), Fraction(3))


def test_stringer_leg_takes_two_to_three() -> None:
    """2 t to 3 t of the leg."""
    found = diameter_range_mm(Fraction(3, 2), case="stringer leg").value
    assert (found.least_mm, found.most_mm) == (Fraction(3), Fraction(9, 2))


@pytest.mark.parametrize(
    ("rule_set", "case"), [("by eye", "sheet"), ("AC 43.13-1B", "tube")]
)
def test_rule_without_thickness_is_refused(rule_set: str, case: str) -> None:
    """A tube's rule is on its diameter, and no rule goes by eye."""
    with pytest.raises(OutsideTable, match=r"NAVEDTRA 14018 \(sheet\)"):
        diameter_range_mm(1, rule_set=rule_set, case=case)

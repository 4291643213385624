"""Weights of bars, read and shown."""

from __future__ import annotations

from fractions import Fraction

import pytest

from rivetwright.errors import QuantityRefused
from rivetwright.units.mass import KG_PER_LB, parse_mass_kg, show_mass


@pytest.mark.parametrize(
    ("text", "kilograms"),
    [
        ("1 lb", Fraction("0.45359237")),
        ("2-1/2 lb", Fraction(5, 2) * KG_PER_LB),
        ("16 oz", KG_PER_LB),
        ("1.1 kg", Fraction(11, 10)),
        ("500 g", Fraction(1, 2)),
    ],
)
def test_weight_is_read(text: str, kilograms: Fraction) -> None:
    """Each unit converts exactly; 16 ounces are a pound."""
    assert parse_mass_kg(text) == kilograms


@pytest.mark.parametrize("text", ["2", "2 lbf", "2 stone", "-1 lb", ""])
def test_weight_is_refused_with_words(text: str) -> None:
    """No unit, a force, another unit, less than nought, nothing."""
    with pytest.raises(QuantityRefused, match="read a weight"):
        parse_mass_kg(text)


def test_weight_is_shown_with_its_unit() -> None:
    """What was read shows as it was written."""
    assert show_mass(parse_mass_kg("2.5 lb")) == "2.5 lb"
    assert show_mass(Fraction(11, 10), unit="kg") == "1.1 kg"

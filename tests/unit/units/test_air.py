"""Volumes of tanks and flows of free air, read and shown."""

from __future__ import annotations

from fractions import Fraction

import pytest

from rivetwright.errors import QuantityRefused
from rivetwright.units.air import (
    M3_PER_FT3,
    M3_PER_GALLON,
    M3_S_PER_CFM,
    parse_flow_m3_s,
    parse_volume_m3,
    show_flow,
    show_volume,
)


def test_factors_are_the_defined_ones() -> None:
    """1 gal = 3.785411784 l, 1 ft3 = 28.316846592 l, a cfm is a 60th of it a second."""
    assert Fraction("3.785411784") / 1000 == M3_PER_GALLON
    assert Fraction("28.316846592") / 1000 == M3_PER_FT3
    assert M3_PER_FT3 / 60 == M3_S_PER_CFM


@pytest.mark.parametrize(
    ("text", "litres"),
    [
        ("2 gal", Fraction("7.570823568")),
        ("2-1/2 gallons", Fraction("9.46352946")),
        ("1 US gal", Fraction("3.785411784")),
        ("1 imp gal", Fraction("4.54609")),
        ("24 l", Fraction(24)),
        ("24 L", Fraction(24)),
        ("1 ft3", Fraction("28.316846592")),
        ("0.024 m3", Fraction(24)),
    ],
)
def test_volume_is_read(text: str, litres: Fraction) -> None:
    """Each unit converts exactly: 2 x 231 in3 = 462 in3 = 7.570823568 l."""
    assert parse_volume_m3(text) * 1000 == litres


@pytest.mark.parametrize(
    ("text", "litres_a_minute"),
    [
        ("1 cfm", Fraction("28.316846592")),
        ("1 scfm", Fraction("28.316846592")),
        ("70 l/min", Fraction(70)),
        ("6 m3/h", Fraction(100)),
        (".1 m3/min", Fraction(100)),
    ],
)
def test_flow_is_read(text: str, litres_a_minute: Fraction) -> None:
    """Each unit converts exactly; standard feet count as free ones."""
    assert parse_flow_m3_s(text) * 60_000 == litres_a_minute


@pytest.mark.parametrize("text", ["2", "20 quarts", "-2 gal", "gal", "2,5 gal", ""])
def test_volume_is_refused_with_words(text: str) -> None:
    """No unit, another unit, less than nought, no number, a comma nobody chose."""
    with pytest.raises(QuantityRefused, match="read a volume"):
        parse_volume_m3(text)


def test_figure_without_its_unit_is_told_so() -> None:
    """A bare number, typed or computed, may be gallons or litres."""
    for bare in ("20", 20):
        with pytest.raises(QuantityRefused) as refusal:
            parse_volume_m3(bare)
        assert refusal.value.do == "write its unit too"


def test_flow_refusal_names_the_units() -> None:
    """What is allowed stands in the refusal."""
    with pytest.raises(QuantityRefused, match=r"2\.4 cfm, 70 l/min or 4 m3/h"):
        parse_flow_m3_s("2.4 psi")


def test_decimal_comma_is_a_choice() -> None:
    """A shop in litres may write 2,5."""
    assert parse_volume_m3("2,5 l", decimal_comma=True) == Fraction(25, 10_000)


def test_volume_and_flow_are_shown_with_their_unit() -> None:
    """What was read shows as it was written."""
    assert show_volume(parse_volume_m3("2 gal")) == "2.0 gal"
    assert show_volume(parse_volume_m3("24 l"), unit="l", digits=0) == "24 l"
    assert show_flow(parse_flow_m3_s("2.4 cfm")) == "2.4 cfm"
    assert show_flow(parse_flow_m3_s("70 l/min"), unit="l/min", digits=0) == "70 l/min"

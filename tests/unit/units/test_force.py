"""Forces, pressures and springs, read and shown."""

from __future__ import annotations

from fractions import Fraction

import pytest

from rivetwright.errors import QuantityRefused
from rivetwright.units.force import (
    KPA_PER_PSI,
    N_PER_LBF,
    parse_force_n,
    parse_pressure_kpa,
    parse_stiffness_n_mm,
    show_force,
    show_pressure,
    show_stiffness,
)


def test_factors_are_the_defined_ones() -> None:
    """1 lbf = 4.4482216152605 N exactly; 1 psi = 6.894757293168... kPa."""
    assert Fraction("4.4482216152605") == N_PER_LBF
    assert float(KPA_PER_PSI) == pytest.approx(6.894757293168361, rel=1e-15)


@pytest.mark.parametrize(
    ("text", "newton"),
    [
        ("3000 lbf", 3000 * N_PER_LBF),
        ("3000 lb", 3000 * N_PER_LBF),
        (3000, 3000 * N_PER_LBF),
        ("13 kN", Fraction(13000)),
        ("883 N", Fraction(883)),
        ("0", Fraction(0)),
    ],
)
def test_force_is_read(text: str | int, newton: Fraction) -> None:
    """Each unit converts exactly; a bare number is pounds-force."""
    assert parse_force_n(text) == newton


@pytest.mark.parametrize(
    ("text", "kpa"),
    [
        ("90 psi", 90 * KPA_PER_PSI),
        ("6 bar", Fraction(600)),
        ("600 kPa", Fraction(600)),
        (90, 90 * KPA_PER_PSI),
    ],
)
def test_pressure_is_read(text: str | int, kpa: Fraction) -> None:
    """Each unit converts exactly; a bare number is psi."""
    assert parse_pressure_kpa(text) == kpa


def test_bare_unit_and_decimal_comma_are_choices() -> None:
    """A shop in bar may write 6,2."""
    read = parse_pressure_kpa("6,2", bare_unit="bar", decimal_comma=True)
    assert read == 620


@pytest.mark.parametrize("text", ["30 kg", "5 MPa", "-1 N", "", "lbf", "1 2 N", "6,2"])
def test_force_is_refused_with_words(text: str) -> None:
    """Kilograms, other units, less than nought and no number are refused."""
    with pytest.raises(QuantityRefused, match="read a force"):
        parse_force_n(text)


def test_pressure_refusal_names_the_units() -> None:
    """What is allowed stands in the refusal."""
    with pytest.raises(QuantityRefused, match="90 psi, 6 bar or 600 kPa"):
        parse_pressure_kpa("1 atm")


def test_force_and_pressure_are_shown_with_their_unit() -> None:
    """What was read shows as it was written."""
    assert show_force(parse_force_n("3000 lbf")) == "3000 lbf"
    assert show_force(13000, unit="kN", digits=1) == "13.0 kN"
    assert show_pressure(parse_pressure_kpa("90 psi")) == "90 psi"
    assert show_pressure(600, unit="bar", digits=1) == "6.0 bar"


@pytest.mark.parametrize(
    ("text", "newton_mm"),
    [
        ("25.4 lbf/in", N_PER_LBF),
        ("25.4 lb/in", N_PER_LBF),
        ("52 kN/mm", Fraction(52_000)),
        ("52000 N/mm", Fraction(52_000)),
    ],
)
def test_stiffness_is_read(text: str, newton_mm: Fraction) -> None:
    """25.4 pounds-force an inch are one a millimetre."""
    assert parse_stiffness_n_mm(text) == newton_mm


@pytest.mark.parametrize("text", ["300000", "300000 lbf", "1 kg/mm", "-1 N/mm"])
def test_stiffness_is_refused_with_words(text: str) -> None:
    """No unit, a force alone, kilograms and less than nought are refused."""
    with pytest.raises(QuantityRefused, match="300000 lbf/in or 52 kN/mm"):
        parse_stiffness_n_mm(text)


def test_stiffness_is_shown_with_its_unit() -> None:
    """What was read shows as it was written."""
    assert show_stiffness(parse_stiffness_n_mm("300000 lbf/in")) == "300000 lbf/in"
    assert show_stiffness(52_000, unit="kN/mm") == "52 kN/mm"

"""Lengths as the trade shows them."""

from __future__ import annotations

from fractions import Fraction

import pytest

from rivetwright.units.wording import (
    show_both,
    show_fraction,
    show_length,
    show_number,
)

INCH = Fraction(254, 10)


@pytest.mark.parametrize(
    ("inches", "shown"),
    [("0.032", ".032"), ("0.040", ".040"), ("12.325", "12.325"), ("-0.5", "-.500")],
)
def test_decimal_inches_drop_the_leading_nought(inches: str, shown: str) -> None:
    """A thickness is .032, a coordinate 12.325."""
    assert show_length(Fraction(inches) * INCH, style="decimal") == shown


def test_leading_nought_can_be_asked_for() -> None:
    """0.032 for those who want it, and more digits for a drill."""
    assert show_length(Fraction(".032") * INCH, style="decimal", leading_zero=True) == (
        "0.032"
    )
    assert show_length(Fraction(".1285") * INCH, style="decimal", digits=4) == ".1285"


@pytest.mark.parametrize(
    ("inches", "shown"),
    [
        (Fraction(3, 32), "3/32"),
        (Fraction(17, 16), "1-1/16"),
        (Fraction(-17, 16), "-1-1/16"),
        (Fraction(2), "2"),
        (Fraction(0), "0"),
        (Fraction(63, 64), "63/64"),
        (Fraction(1, 128), None),
        (Fraction(32, 1000), None),
    ],
)
def test_fraction_only_where_it_is_exact(inches: Fraction, shown: str | None) -> None:
    """64ths are the finest; .032 is no fraction."""
    assert show_fraction(inches * INCH) == shown


def test_fraction_holds_to_the_finest_asked_for() -> None:
    """1/32 is no sixteenth."""
    assert show_fraction(INCH / 32, denominator_most=16) is None


def test_fraction_sees_through_a_double() -> None:
    """3/32 in as a double is still 3/32."""
    assert show_fraction(float(Fraction(3, 32) * INCH)) == "3/32"


@pytest.mark.parametrize(
    ("inches", "shown"), [(Fraction(3, 32), "3/32"), (Fraction(32, 1000), ".032")]
)
def test_auto_style_prefers_the_fraction(inches: Fraction, shown: str) -> None:
    """A rivet is 3/32, a sheet .032."""
    assert show_length(inches * INCH) == shown


def test_millimetres_keep_the_nought_and_two_digits() -> None:
    """.032 in is 0.81 mm; the unit follows on request."""
    assert show_length(Fraction(".032") * INCH, system="mm") == "0.81"
    shown = show_length(Fraction(".032") * INCH, system="mm", with_unit=True)
    assert shown == "0.81 mm"
    assert show_length(Fraction(3, 32) * INCH, with_unit=True) == "3/32 in"


def test_both_units_stand_side_by_side() -> None:
    """The project's own unit first, the other one small beside it."""
    both = show_both(Fraction(".032") * INCH)
    assert (both.main, both.other) == (".032 in", "0.81 mm")
    assert str(show_both(Fraction("0.8"), system="mm")) == "0.80 mm (.031 in)"


@pytest.mark.parametrize(
    ("number", "digits", "shown"),
    [
        (Fraction(1, 8), 2, "0.13"),
        (Fraction(-1, 8), 2, "-0.13"),
        (-0.001, 2, "0.00"),
        (2675, 0, "2675"),
    ],
)
def test_number_rounds_ties_away_from_nought(
    number: Fraction | float, digits: int, shown: str
) -> None:
    """0.125 is 0.13 on either side; a rounded nought has no sign."""
    assert show_number(number, digits=digits) == shown


@pytest.mark.parametrize(
    ("number", "shown"), [(Fraction(5, 2), "2.5"), (Fraction(40), "40"), (0.25, "0.25")]
)
def test_number_can_be_trimmed(number: Fraction | float, shown: str) -> None:
    """Noughts after the point are dropped, those before it kept."""
    assert show_number(number, digits=4, trim=True) == shown
    assert show_number(40, digits=0, trim=True) == "40"


def test_number_of_a_float_tie_rounds_up() -> None:
    """1.5 x 3.175 mm is 0.1875 in, written .188, though the float lies under it."""
    assert show_length(1.5 * 3.175, style="decimal") == ".188"

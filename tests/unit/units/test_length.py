"""Sizes and places as people write them."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest

from rivetwright.errors import QuantityRefused
from rivetwright.units.length import parse_coordinate_mm, parse_length_mm, parse_run_mm

INCH = Fraction(254, 10)


@pytest.mark.parametrize(
    ("text", "inches"),
    [
        ("3/32", Fraction(3, 32)),
        ("1-1/16", Fraction(17, 16)),
        ("1 1/16", Fraction(17, 16)),
        ("1 - 1/16", Fraction(17, 16)),
        ("17/16", Fraction(17, 16)),
        (".032", Fraction(32, 1000)),
        ("12.", Fraction(12)),
        ("+0.5", Fraction(1, 2)),
        ("0.032 in", Fraction(32, 1000)),
        ("0.032in.", Fraction(32, 1000)),
        ('0.032"', Fraction(32, 1000)),
        ("0.032\u2033", Fraction(32, 1000)),
        ("0.032''", Fraction(32, 1000)),
        ('1-1/16"', Fraction(17, 16)),
        ("1\u20131\u204416", Fraction(17, 16)),
        ("3 inches", Fraction(3)),
        ("0.8 mm", Fraction(8, 10) / INCH),
        ("0.8MM", Fraction(8, 10) / INCH),
        ("#40", Fraction(98, 1000)),
        ("# 40", Fraction(98, 1000)),
        ("No. 40", Fraction(98, 1000)),
        ("no 40", Fraction(98, 1000)),
        ("No.40", Fraction(98, 1000)),
        ("number 40 drill", Fraction(98, 1000)),
        ("F drill", Fraction(257, 1000)),
        ("letter F", Fraction(257, 1000)),
        ("drill f", Fraction(257, 1000)),
        ("drill #30", Fraction(1285, 10000)),
    ],
)
def test_size_is_read_exactly(text: str, inches: Fraction) -> None:
    """Each way of writing means one exact fraction of an inch."""
    assert parse_length_mm(text) == inches * INCH


@pytest.mark.parametrize(
    "number", [0.032, Decimal("0.032"), Fraction(32, 1000), ".032"]
)
def test_number_is_taken_as_its_shortest_decimal(
    number: float | Decimal | Fraction | str,
) -> None:
    """.032 is exactly 32/1000 in, whatever kind of number it is."""
    assert parse_length_mm(number) == Fraction(32, 1000) * INCH


def test_bare_number_takes_the_unit_of_its_file() -> None:
    """A bare 3 is 3 in or 3 mm; a written unit outranks the file's."""
    assert parse_length_mm(3) == 3 * INCH
    assert parse_length_mm(3, bare_unit="mm") == 3
    assert parse_length_mm("3 in", bare_unit="mm") == 3 * INCH


def test_decimal_comma_is_read_when_chosen() -> None:
    """0,8 mm is 0.8 mm where the comma is the point."""
    assert parse_length_mm("0,8 mm", decimal_comma=True) == Fraction(8, 10)
    assert parse_length_mm("0.8 mm", decimal_comma=True) == Fraction(8, 10)


def test_decimal_comma_is_refused_when_not_chosen() -> None:
    """The refusal repeats what was written and says how to write it."""
    with pytest.raises(QuantityRefused, match=r"write 0\.8 mm with a point") as refusal:
        parse_length_mm("0,8 mm")
    assert refusal.value.found == "0,8 mm"


@pytest.mark.parametrize(
    "text",
    [
        "",
        "   ",
        "#",
        "2.4 cm",
        "3 ft",
        "3 mil",
        "mm",
        "1.2.3",
        "1,250.5",
        "abc",
        "F",
        "1e3",
        "nan",
        "inf",
        "1 2",
        "3/32/4",
        "1/0",
        "1-17/16",
        "2016-01-16",
        "--1",
        "#99",
        "#0",
        "0",
        "-1",
        "0/5",
        "\u0663",
        "9" * 30,
        "9" * 5000,
    ],
)
def test_size_is_refused_with_words(text: str) -> None:
    """What is no size is refused, and the four sentences are all there."""
    with pytest.raises(QuantityRefused) as refusal:
        parse_length_mm(text)
    told = refusal.value
    assert told.asked
    assert told.found
    assert told.allowed
    assert told.do


def test_empty_size_speaks_of_the_bare_number_sign() -> None:
    """A plan file reads a bare # as a comment, so the refusal says what to write."""
    with pytest.raises(QuantityRefused, match=r"No\. 40"):
        parse_length_mm("")


@pytest.mark.parametrize("number", [float("nan"), float("inf"), True, None, [1], 1e300])
def test_what_is_no_finite_number_is_refused(number: object) -> None:
    """Not a number, endless, yes or no, nothing, a list, far too long."""
    with pytest.raises(QuantityRefused):
        parse_length_mm(number)  # type: ignore[arg-type]


def test_cm_refusal_names_what_is_allowed() -> None:
    """Centimetres are refused in words that name in and mm."""
    with pytest.raises(QuantityRefused, match="write it in in or mm"):
        parse_length_mm("2.4 cm")


@pytest.mark.parametrize(
    ("text", "inches"),
    [
        ("-1-1/16", Fraction(-17, 16)),
        ("\u2212 3", Fraction(-3)),
        ("0", Fraction(0)),
        ("12.325", Fraction(12325, 1000)),
    ],
)
def test_coordinate_is_signed_and_may_be_nought(text: str, inches: Fraction) -> None:
    """A place lies on either side of the corner, or on it."""
    assert parse_coordinate_mm(text) == inches * INCH


@pytest.mark.parametrize("text", ["#40", "No. 40", "letter F", "x", "0,5"])
def test_coordinate_is_no_drill(text: str) -> None:
    """A drill's name is a size and never a place."""
    with pytest.raises(QuantityRefused, match="read a coordinate"):
        parse_coordinate_mm(text)


@pytest.mark.parametrize(
    ("text", "millimetres"),
    [
        ("25 ft", Fraction(7620)),
        ("7.5 m", Fraction(7500)),
        ("300 in", Fraction(7620)),
        ("800 mm", Fraction(800)),
    ],
)
def test_run_of_hose_is_read(text: str, millimetres: Fraction) -> None:
    """25 ft are 300 in are 7.62 m."""
    assert parse_run_mm(text) == millimetres


@pytest.mark.parametrize("text", ["25", "25 yd", "-1 m", "7,5 m", ""])
def test_run_of_hose_is_refused_with_words(text: str) -> None:
    """No unit, another unit, less than nought, a comma nobody chose, nothing."""
    with pytest.raises(QuantityRefused, match=r"25 ft, 7\.5 m or 300 in"):
        parse_run_mm(text)


def test_sheet_in_metres_is_refused() -> None:
    """Feet and metres are for hoses; a size in them is a slip."""
    with pytest.raises(QuantityRefused):
        parse_length_mm(".8 m")

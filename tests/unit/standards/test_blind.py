"""Blind rivets by grip."""

from __future__ import annotations

from fractions import Fraction

import pytest

from rivetwright.errors import OutsideTable
from rivetwright.standards.blind import KitBlindCode, chart_pick, structural_dash

INCH = Fraction(254, 10)
CODE = KitBlindCode(
    "XD4-1", "dome", INCH / 8, Fraction(2, 100) * INCH, Fraction(62, 1000) * INCH
)


@pytest.mark.parametrize(
    ("inches", "takes"),
    [
        ("0.020", True),
        ("0.045", True),
        ("0.062", True),
        ("0.019", False),
        (".063", False),
    ],
)
def test_kit_code_takes_its_range_with_both_ends(inches: str, takes: bool) -> None:
    """An invented kit's code from .020 to .062."""
    assert CODE.takes(Fraction(inches) * INCH) is takes
    assert CODE.takes(float(Fraction(inches) * INCH)) is takes


def test_kit_code_is_written_as_declared() -> None:
    """The code is its own name; its head kind is told."""
    assert str(CODE) == "XD4-1"
    assert not CODE.is_flush
    flush = KitBlindCode("XF4-1", "flush", INCH / 8, Fraction(1), Fraction(2))
    assert flush.is_flush


def test_grip_on_the_border_takes_the_lower_dash() -> None:
    """1/8 in is the end of dash 2 and the start of dash 3."""
    assert structural_dash(INCH / 8).value.number == "2"
    assert structural_dash(INCH / 8 + Fraction(1, 1000)).value.number == "3"


def test_refusal_shows_the_numbers_around_the_gap() -> None:
    """0.0625 lies between number 41, to .062, and 42, from .063."""
    with pytest.raises(OutsideTable) as refusal:
        chart_pick(INCH / 8, INCH / 16)
    assert refusal.value.found == "a grip of .0625 in (1.59 mm)"
    assert "41: 0.020 to 0.062; 42: 0.063 to 0.125" in refusal.value.allowed


def test_diameter_outside_the_chart_is_refused() -> None:
    """1/16 blind rivets are not in it."""
    with pytest.raises(OutsideTable, match="3/32"):
        chart_pick(INCH / 16, 1)

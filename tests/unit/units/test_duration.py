"""Times and speeds as typed: exact, with their unit, refused otherwise."""

from __future__ import annotations

from fractions import Fraction

import pytest

from rivetwright.errors import QuantityRefused
from rivetwright.units.duration import parse_speed_mm_s, parse_time_s


@pytest.mark.parametrize(
    ("written", "time_s"),
    [
        ("12 s", Fraction(12)),
        ("1-1/2 min", Fraction(90)),
        ("2 h", Fraction(7200)),
        (".5 s", Fraction(1, 2)),
        ("0 s", Fraction(0)),
    ],
)
def test_times_are_read(written: str, time_s: Fraction) -> None:
    """A minute is 60 s, an hour 3600 s."""
    assert parse_time_s(written) == time_s


@pytest.mark.parametrize("written", ["12", "12 m", "-3 s", "s", ""])
def test_times_without_a_known_unit_are_refused(written: str) -> None:
    """12 might be seconds or minutes; m might be metres."""
    with pytest.raises(QuantityRefused):
        parse_time_s(written)


def test_speeds_are_read() -> None:
    """10 in/s is 254 mm/s."""
    assert parse_speed_mm_s("10 in/s") == 254
    assert parse_speed_mm_s("250 mm/s") == 250


def test_a_speed_without_a_unit_is_refused() -> None:
    """250 of what."""
    with pytest.raises(QuantityRefused):
        parse_speed_mm_s("250")

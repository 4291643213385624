"""Manufactured heads and tolerances."""

from __future__ import annotations

from fractions import Fraction

import pytest

from rivetwright.errors import OutsideTable
from rivetwright.standards.heads import (
    length_tolerance_mm,
    manufactured_head,
    shank_tolerance_mm,
)
from rivetwright.standards.source import Status

INCH = Fraction(254, 10)


def test_universal_head_has_a_height_tolerance_and_flush_has_none() -> None:
    """A flush head's height is a reference size."""
    universal = manufactured_head("MS20470", INCH / 8).value
    flush = manufactured_head("MS20426", INCH / 8).value
    assert universal.height_plus_mm == INCH / 100
    assert flush.height_plus_mm is None


def test_diameter_outside_the_table_is_refused() -> None:
    """5/16 heads were not written down."""
    with pytest.raises(OutsideTable, match="1/4"):
        manufactured_head("MS20470", INCH * 5 / 16)


def test_tolerances_say_that_they_are_from_memory() -> None:
    """Shank and length tolerances were not read."""
    for looked in (shank_tolerance_mm(), length_tolerance_mm()):
        assert looked.status is Status.FROM_MEMORY
        assert looked.value.minus_mm > 0
        assert looked.value.plus_mm > 0

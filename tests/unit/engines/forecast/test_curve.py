"""Lots of the unit curve against the exact sum of their units."""

from __future__ import annotations

import pytest

from rivetwright.engines.forecast.curve import (
    exponent,
    lot_average_ratio,
    lot_middle,
    unit_time,
    unit_total,
)


@pytest.mark.parametrize("slope", [0.7, 0.8, 0.9, 0.99])
@pytest.mark.parametrize("after", [0, 3, 40, 1000])
@pytest.mark.parametrize("count", [5, 37, 800])
def test_a_lot_is_its_units(slope: float, after: int, count: int) -> None:
    """Average of a lot within 2 % of its units added one by one."""
    exact = unit_total(1.0, after + count, slope, after=after) / count
    assert lot_average_ratio(after, count, slope) == pytest.approx(exact, rel=0.02)


def test_the_middle_stands_for_the_lot() -> None:
    """The unit curve at a lot's middle is the lot's average."""
    middle = lot_middle(10, 50, 0.9)
    ratio = lot_average_ratio(10, 50, 0.9)
    assert unit_time(1.0, middle, 0.9) == pytest.approx(float(ratio))
    assert 10 < middle < 60


def test_no_learning_is_no_change() -> None:
    """A slope of one leaves every unit as the first."""
    assert exponent(1.0) == 0
    assert lot_average_ratio([0, 5], [3, 9], 1.0).tolist() == [1, 1]

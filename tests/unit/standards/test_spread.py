"""Least, usual and most of a figure."""

from __future__ import annotations

import math

import pytest

from rivetwright.standards.spread import Spread, sharp


def test_the_three_stand_in_order() -> None:
    """A usual value outside its own range is our own mistake."""
    for low, central, high in ((2, 1, 3), (1, 4, 3)):
        with pytest.raises(AssertionError):
            Spread(low, central, high)


def test_a_sharp_figure_is_three_times_the_same() -> None:
    """No range at all."""
    assert sharp(3) == Spread(3.0, 3.0, 3.0)
    assert sharp(3).is_sharp
    assert not Spread(1, 2, 3).is_sharp


def test_no_figure_is_no_mistake() -> None:
    """NaN has no order."""
    assert math.isnan(Spread(math.nan, math.nan, math.nan).central)

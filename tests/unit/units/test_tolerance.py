"""The one tolerance, for numbers and for columns."""

from __future__ import annotations

from fractions import Fraction

import numpy as np
import pytest

from rivetwright.units.tolerance import TOLERANCE_MM, is_less, is_same


@pytest.mark.parametrize(
    ("first", "second", "less", "same"),
    [
        (1.0, 1.0, False, True),
        (1.0, 1.0 + 0.5 * TOLERANCE_MM, False, True),
        (1.0, 1.0 + 2 * TOLERANCE_MM, True, False),
        (1.0 + 2 * TOLERANCE_MM, 1.0, False, False),
        (Fraction(1, 3), 1 / 3, False, True),
    ],
)
def test_less_and_same(
    first: float | Fraction, second: float | Fraction, less: bool, same: bool
) -> None:
    """A millionth of a millimetre is no difference, two are."""
    assert is_less(first, second) is less
    assert is_same(first, second) is same


def test_columns_are_judged_one_by_one() -> None:
    """A column answers with a column."""
    column = np.array([1.0, 2.0, 3.0])
    assert is_less(column, 2.0).tolist() == [True, False, False]
    assert is_same(column, np.array([1.0, 2.5, 3.0])).tolist() == [True, False, True]

"""The one tolerance that decides limits and ties, for numbers and for columns.

Sizes are exact when they are typed, but places come out of sines and roots.  A
millionth of a millimetre is far below any tool and far above the rounding of a
double, so it takes the place of "exactly equal" everywhere.
"""

from __future__ import annotations

from fractions import Fraction
from typing import Any, overload

Number = int | float | Fraction

TOLERANCE_MM = 1e-6


@overload
def is_less(smaller_mm: Number, larger_mm: Number) -> bool: ...


@overload
def is_less(smaller_mm: Any, larger_mm: Any) -> Any: ...


def is_less(smaller_mm: Any, larger_mm: Any) -> Any:
    """Say whether the first length is less by more than the tolerance.

    Args:
        smaller_mm: the length thought smaller, a number or a column [mm].
        larger_mm: the length thought larger, a number or a column [mm].

    Returns:
        True where the first is less; a column where a column was given.

    Source:
        Own convention; JUDGEMENT.
    """
    return larger_mm - smaller_mm > TOLERANCE_MM


@overload
def is_same(first_mm: Number, second_mm: Number) -> bool: ...


@overload
def is_same(first_mm: Any, second_mm: Any) -> Any: ...


def is_same(first_mm: Any, second_mm: Any) -> Any:
    """Say whether two lengths are the same within the tolerance.

    For any two numbers exactly one of "less", "same" and "more" holds.

    Args:
        first_mm: one length, a number or a column [mm].
        second_mm: the other length, a number or a column [mm].

    Returns:
        True where they agree; a column where a column was given.

    Source:
        Own convention; JUDGEMENT.
    """
    return abs(first_mm - second_mm) <= TOLERANCE_MM

"""Shop-head limits and the verdict on a measured head."""

from __future__ import annotations

from fractions import Fraction

import pytest

from rivetwright.errors import OutsideTable
from rivetwright.standards.shop_heads import (
    DEFAULT_LIMIT_SET,
    HeadLimits,
    limit_sets,
    shop_head_limits,
)

LIMITS = HeadLimits(Fraction(4), Fraction(5), Fraction(1), Fraction(2))


def test_default_set_stands_first() -> None:
    """Six sets side by side."""
    assert limit_sets() == (
        DEFAULT_LIMIT_SET,
        "wartime handbook",
        "Canadian course note",
        "pocket handbook",
        "MIL-HDBK-5H",
        "nominal 1.5 D x 0.5 D",
    )


@pytest.mark.parametrize(
    ("width", "height", "breaches"),
    [
        (4.0, 1.0, ()),
        (5.0, 2.0, ()),
        (3.9999995, 1.0, ()),
        (3.99, 2.01, ("too narrow", "too high")),
        (5.01, 0.99, ("too wide", "too low")),
        (None, 0.99, ("too low",)),
        (3.99, None, ("too narrow",)),
        (None, None, ()),
    ],
)
def test_limits_are_within_and_one_tolerance_decides(
    width: float | None, height: float | None, breaches: tuple[str, ...]
) -> None:
    """A head on the limit passes; what was not measured is not judged."""
    assert LIMITS.breaches(width_mm=width, height_mm=height) == breaches


def test_limits_that_a_set_lacks_are_not_judged() -> None:
    """The default set has no greatest width."""
    limits = shop_head_limits(Fraction(3175, 1000)).value
    assert limits.width_most_mm is None
    assert limits.breaches(width_mm=99) == ()


@pytest.mark.parametrize("limit_set", [DEFAULT_LIMIT_SET, "pocket handbook"])
def test_diameter_outside_a_set_is_refused(limit_set: str) -> None:
    """5/16 is in none of the printed tables."""
    with pytest.raises(OutsideTable, match=limit_set):
        shop_head_limits(Fraction(254, 32), limit_set=limit_set)


def test_unknown_set_is_refused() -> None:
    """The refusal names both kinds of sets."""
    with pytest.raises(OutsideTable, match="MIL-HDBK-5H"):
        shop_head_limits(3, limit_set="by eye")

"""NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2.2 to 6.3.2.4; READ.

Read in public transcriptions that agree. Tolerances are the printed roundings; one
printed limit has its last digit cut off, not rounded, which is named at its test.
"""

from __future__ import annotations

from collections.abc import Callable
from itertools import pairwise
from statistics import mean

import pytest

from rivetwright.engines.learning.charts import (
    RANGE_OF_TWO,
    cusum,
    ewma,
    ewma_limits,
    single_value_limits,
)

Printed = Callable[[str], list[dict[str, str]]]


def test_table_6_3_2_4_ewma(printed: Printed) -> None:
    """Twenty averages from a target of 50 with weight 0.3, to two digits."""
    rows = printed("sematech_6_3_2_4_ewma")
    averages = ewma([float(row["value"]) for row in rows], 50.0, 0.3)
    expected = [float(row["ewma"]) for row in rows]
    assert averages == pytest.approx(expected, abs=0.0051)


def test_limits_6_3_2_4_ewma(printed: Printed) -> None:
    """52.5884 and 47.4115 (cut; 47.4116 rounded) from s = 2.0539; no signal."""
    limits = ewma_limits(50.0, 2.0539, 0.3)
    assert limits.high == pytest.approx(52.5884, abs=0.000051)
    assert limits.low == pytest.approx(47.4115, abs=0.0001)
    averages = [float(row["ewma"]) for row in printed("sematech_6_3_2_4_ewma")]
    assert all(limits.has(one) for one in averages)


def test_table_6_3_2_3_cusum(printed: Printed) -> None:
    """Twenty pairs of sums, target 325 and slack 0.3175, to two digits."""
    rows = printed("sematech_6_3_2_3_cusum")
    sums = cusum([float(row["value"]) for row in rows], 325.0, 0.3175)
    for side, printed_sums in (
        ([one.high for one in sums], [float(row["high"]) for row in rows]),
        ([one.low for one in sums], [float(row["low"]) for row in rows]),
    ):
        assert side == pytest.approx(printed_sums, abs=0.0051)


def test_first_signal_6_3_2_3_cusum(printed: Printed) -> None:
    """Neither sum is over 4.1959 before the 14th value."""
    values = [float(row["value"]) for row in printed("sematech_6_3_2_3_cusum")]
    sums = cusum(values, 325.0, 0.3175)
    first = next(k for k, one in enumerate(sums, 1) if max(one.high, one.low) > 4.1959)
    assert first == 14


def test_example_6_3_2_2_single_values(printed: Printed) -> None:
    """Ten flow rates: mean 50.81, mean range 1.8778, limits 45.8159 and 55.8041."""
    rows = printed("sematech_6_3_2_2_single_values")
    values = [float(row["value"]) for row in rows]
    limits = single_value_limits(values)
    assert limits.centre == pytest.approx(50.81, abs=0.0051)
    ranges = [abs(after - before) for before, after in pairwise(values)]
    assert mean(ranges) == pytest.approx(1.8778, abs=0.000051)
    assert limits.low == pytest.approx(45.8159, abs=0.000051)
    assert limits.high == pytest.approx(55.8041, abs=0.000051)
    # The factor that the trade tabulates.
    factor = 3 / RANGE_OF_TWO
    assert factor == pytest.approx(2.66, abs=0.0051)

"""Control charts as published: EWMA, CUSUM, and single values by moving range.

Plain sequences in, plain sequences out, in any one unit. What they are used on, and
with which figures, stands in `drift`.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import sqrt
from statistics import mean

# Mean range of two normal values in standard deviations; NIST/SEMATECH 6.3.2.2, READ.
RANGE_OF_TWO = 1.128


@dataclass(frozen=True)
class Limits:
    """Centre and both limits of a chart, in the unit of its values."""

    low: float
    centre: float
    high: float

    def has(self, value: float) -> bool:
        """Whether a value stands within [the limits' unit]."""
        return self.low <= value <= self.high


def ewma(values: Sequence[float], start: float, weight: float) -> list[float]:
    """Exponentially weighted moving average after each value.

    Args:
        values: in the order they came [any unit].
        start: average before the first, the target [same unit].
        weight: share of the newest value [-].

    Returns:
        One average a value [same unit].

    Source: NIST/SEMATECH e-Handbook 6.3.2.4; READ.
    """
    averages, now = [], start
    for value in values:
        now = weight * value + (1 - weight) * now
        averages.append(now)
    return averages


def ewma_limits(
    target: float, spread: float, weight: float, width: float = 3.0
) -> Limits:
    """Limits that an EWMA settles to.

    Args:
        target: what the values should be [any unit].
        spread: standard deviation of one value [same unit].
        weight: share of the newest value [-].
        width: how many standard deviations of the average [-].

    Returns:
        Target and limits [same unit].

    Source: NIST/SEMATECH e-Handbook 6.3.2.4; READ.
    """
    half = width * spread * sqrt(weight / (2 - weight))
    return Limits(target - half, target, target + half)


@dataclass(frozen=True)
class Sums:
    """Both sums of a CUSUM after one value, never below nought."""

    high: float
    low: float

    def after(self, value: float, target: float, slack: float) -> Sums:
        """The sums after one more value [the values' unit]."""
        return Sums(
            max(0.0, self.high + value - target - slack),
            max(0.0, self.low + target - slack - value),
        )


NO_SUMS = Sums(0.0, 0.0)


def cusum(values: Sequence[float], target: float, slack: float) -> list[Sums]:
    """Tabular CUSUM after each value.

    Args:
        values: in the order they came [any unit].
        target: what they should be [same unit].
        slack: how far a value may be off before it counts [same unit].

    Returns:
        Both sums, one pair a value [same unit].

    Source: NIST/SEMATECH e-Handbook 6.3.2.3; READ.
    """
    sums, now = [], NO_SUMS
    for value in values:
        now = now.after(value, target, slack)
        sums.append(now)
    return sums


def single_value_limits(values: Sequence[float], width: float = 3.0) -> Limits:
    """Limits of single values from the mean range between neighbours.

    Args:
        values: at least two, in the order they came [any unit].
        width: how many standard deviations [-].

    Returns:
        Mean and limits [same unit].

    Source: NIST/SEMATECH e-Handbook 6.3.2.2; READ.
    """
    centre = mean(values)
    range_mean = mean(abs(after - before) for before, after in pairwise(values))
    half = width * range_mean / RANGE_OF_TWO
    return Limits(centre - half, centre, centre + half)

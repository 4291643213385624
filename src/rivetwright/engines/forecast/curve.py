"""Learning by repetition: the two published curves, per unit and by running average.

Both say that doubling the count multiplies the time by one ratio, the slope. The unit
curve says it of the time of the last unit, the running-average curve of the average of
all units so far. With the same slope the second falls faster, so it matters which is
meant.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

Figures = NDArray[np.float64]


def exponent(slope: ArrayLike) -> Figures:
    """The power of the count that a slope stands for: its logarithm to base two.

    Args:
        slope: time after doubling over time before [-].

    Returns:
        The power; nought for a slope of one, below nought where one learns [-].

    Source: Wright's and Crawford's curves, as any handbook of estimating has them.
    """
    return np.asarray(np.log2(np.asarray(slope, dtype=float)))


def unit_time(first: ArrayLike, count: ArrayLike, slope: ArrayLike) -> Figures:
    """Time of one unit by the unit curve: first x count ^ log2(slope).

    Args:
        first: time of the first unit [any unit].
        count: which unit, counted from one [-].
        slope: time after doubling over time before [-].

    Returns:
        Its time [the unit of the first].

    Source: unit (Crawford) curve.
    """
    counted = np.asarray(count, dtype=float)
    return np.asarray(np.asarray(first) * counted ** exponent(slope))


def unit_total(first: float, count: int, slope: float, *, after: int = 0) -> float:
    """Time of all units up to a count by the unit curve, each one added.

    Args:
        first: time of the first unit [any unit].
        count: the last unit [-].
        slope: time after doubling over time before [-].
        after: units that were done already and do not count [-].

    Returns:
        Their time [the unit of the first].

    Source: unit (Crawford) curve.
    """
    return float(np.sum(unit_time(first, np.arange(after + 1, count + 1), slope)))


def running_average(first: ArrayLike, count: ArrayLike, slope: ArrayLike) -> Figures:
    """Average time of all units so far by the running-average curve.

    Args:
        first: time of the first unit [any unit].
        count: how many units [-].
        slope: average after doubling over average before [-].

    Returns:
        The average [the unit of the first].

    Source: running-average (Wright) curve.
    """
    return unit_time(first, count, slope)


def running_total(first: ArrayLike, count: ArrayLike, slope: ArrayLike) -> Figures:
    """Time of all units up to a count by the running-average curve.

    Args:
        first: time of the first unit [any unit].
        count: how many units [-].
        slope: average after doubling over average before [-].

    Returns:
        Their time; that of a lot is the difference of two totals [unit of the first].

    Source: running-average (Wright) curve.
    """
    counted = np.asarray(count, dtype=float)
    return np.asarray(counted * running_average(first, counted, slope))


def lot_average_ratio(after: ArrayLike, count: ArrayLike, slope: ArrayLike) -> Figures:
    """Average time of a lot's units over that of the very first, by the unit curve.

    The sum is taken as the area under the curve from half a unit before the lot to
    half a unit behind its last one: within 2 % for lots of five and more and slopes of
    0.7 and more (own reckoning, held by a test against the exact sum).

    Args:
        after: units done before the lot [-].
        count: units of the lot, more than nought [-].
        slope: time after doubling over time before, more than a half [-].

    Returns:
        The ratio; one for a slope of one [-].

    Source: unit (Crawford) curve; own reckoning.
    """
    power = exponent(slope) + 1.0
    begins = np.asarray(after, dtype=float) + 0.5
    ends = begins + np.asarray(count, dtype=float)
    area = (ends**power - begins**power) / power
    return np.asarray(area / np.asarray(count, dtype=float))


def lot_middle(after: ArrayLike, count: ArrayLike, slope: float) -> Figures:
    """The unit whose time is the average of its lot, by the unit curve.

    Args:
        after: units done before the lot [-].
        count: units of the lot, more than nought [-].
        slope: time after doubling over time before, between a half and one [-].

    Returns:
        A count that need not be whole [-].

    Source: unit (Crawford) curve; own reckoning.
    """
    ratio = lot_average_ratio(after, count, slope)
    return np.asarray(ratio ** (1.0 / float(exponent(slope))))

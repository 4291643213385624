"""How many of a hundred heads would come out of limits, given what is known.

The next head stands about a middle that is itself known only within a band; both are
counted. The answer is a range, wide while few heads were measured.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from math import hypot, sqrt

import numpy as np
from scipy.special import stdtr

from rivetwright.engines.learning.robust import SCATTER_HEADS, Prior, fit_robust
from rivetwright.engines.squeeze.taught import SCATTER_MM
from rivetwright.standards.spread import Spread

HUNDRED = 100
NOUGHT = Spread(0.0, 0.0, 0.0)
# A band of 95 % where the scatter is well known, in standard deviations.
BAND_RATIO = 1.96
# Nothing is known of the middle of plain sizes: any that a rivet head may have.
ANY_MM = 25.4


@dataclass(frozen=True)
class OfHundred:
    """Of a hundred heads so many would be too small, and so many too large.

    `middle_mm` is where heads stand, `scatter_mm` how one stands about it.
    """

    too_small: Spread
    too_large: Spread
    middle_mm: float
    scatter_mm: float
    heads_count: int

    @property
    def out(self) -> float:
        """How many of a hundred would be out of limits either way [heads]."""
        return self.too_small.central + self.too_large.central


def of_hundred(
    middle_mm: float,
    spread_mm: float,
    scatter_mm: float,
    limits_mm: tuple[float | None, float | None],
    heads_count: int = 0,
) -> OfHundred:
    """How many of a hundred heads would come out of limits.

    Args:
        middle_mm: where heads stand, as far as known [mm].
        spread_mm: standard deviation of what is known of it [mm].
        scatter_mm: scatter of one head about it [mm].
        limits_mm: least and greatest size; None where there is no such limit [mm].
        heads_count: heads that this rests on [heads].

    Returns:
        Both counts as ranges [heads of a hundred].
    """
    freedom = SCATTER_HEADS + heads_count

    def beyond(limit_mm: float | None, sign: int) -> Spread:
        if limit_mm is None:
            return NOUGHT
        past = _share_beyond(sign * limit_mm, freedom)
        both = hypot(spread_mm, scatter_mm)
        central = past(sign * middle_mm, both)
        off = BAND_RATIO * spread_mm
        ends = [past(sign * middle_mm + way * off, scatter_mm) for way in (-1, 1)]
        return Spread(min(central, *ends), central, max(central, *ends))

    least_mm, most_mm = limits_mm
    return OfHundred(
        beyond(least_mm, -1), beyond(most_mm, 1), middle_mm, scatter_mm, heads_count
    )


def capability(
    sizes_mm: Sequence[float],
    limits_mm: tuple[float | None, float | None],
    *,
    scatter_mm: float = SCATTER_MM,
) -> OfHundred | None:
    """How many of a hundred heads like those measured would come out of limits.

    Args:
        sizes_mm: heights, or widths, of the heads of one set-up [mm].
        limits_mm: least and greatest size; None where there is no such limit [mm].
        scatter_mm: scatter of one head until these tell their own; a width scatters
            width / (2 height) times as much as a height [mm].

    Returns:
        Both counts as ranges; None without heads.
    """
    if not len(sizes_mm):
        return None
    start = float(np.median(sizes_mm))
    before = Prior((start,), (ANY_MM,), scatter_mm)
    fit = fit_robust(np.ones((len(sizes_mm), 1)), sizes_mm, before)
    spread = sqrt(float(fit.covariance[0, 0]))
    return of_hundred(
        float(fit.central[0]), spread, float(fit.scatter), limits_mm, len(sizes_mm)
    )


def _share_beyond(limit_mm: float, freedom: float) -> Callable[[float, float], float]:
    """How many of a hundred lie beyond a limit, for a middle and a scatter."""

    def past(middle_mm: float, scatter_mm: float) -> float:
        off = (middle_mm - limit_mm) / scatter_mm
        return HUNDRED * float(np.asarray(stdtr(freedom, off)))

    return past

"""Dies that wear: heads of one set creep higher with the rivets it squeezed.

A straight line through the heads against the strokes of the dies. A change at once is
no wear, so each period between two alarms has its own height and all share one slope.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import sqrt

import numpy as np

from rivetwright.engines.learning.robust import Prior, fit_robust
from rivetwright.engines.squeeze.taught import OFFSET_SPREAD_MM, SCATTER_MM
from rivetwright.standards.spread import Spread

PER = 1000


@dataclass(frozen=True)
class Wear:
    """How heads of one set of dies creep, over a thousand rivets.

    `per_1000_mm` is a band of 95 %, above nought for higher heads; `span_count` the
    rivets between the first and the last head measured.
    """

    per_1000_mm: Spread
    span_count: int
    heads_count: int

    @property
    def is_wearing(self) -> bool:
        """Whether the whole band says that heads creep higher, as wear makes them."""
        return self.per_1000_mm.low > 0

    @property
    def is_filling(self) -> bool:
        """Whether it says that they creep lower: dirt that builds up, or pressure."""
        return self.per_1000_mm.high < 0

    def rivets_left(self, room_mm: float) -> Spread | None:
        """Rivets until heads have crept up by so much [mm]; None without clear wear.

        The line is carried on beyond the heads that were measured, so it is a reason
        to measure again by then, not a promise.
        """
        if not self.is_wearing:
            return None
        creep = self.per_1000_mm
        counts = (PER * room_mm / mm for mm in (creep.high, creep.central, creep.low))
        return Spread(*counts)


def wear_of(
    strokes: Sequence[int],
    lifts_mm: Sequence[float],
    periods: Sequence[int] | None = None,
    *,
    scatter_mm: float = SCATTER_MM,
) -> Wear | None:
    """How heads creep with the rivets that one set of dies squeezed.

    Args:
        strokes: rivets the dies had squeezed before each head [rivets].
        lifts_mm: offset each head shows, the yoke's spring taken off [mm].
        periods: between which two alarms each head was set; None for one period.
        scatter_mm: scatter of one head until these tell their own [mm].

    Returns:
        The creep; None where all heads were measured at one stroke.
    """
    at = np.array(strokes, dtype=float)
    span = float(np.ptp(at)) if len(at) else 0.0
    if span == 0:
        return None
    of = np.zeros(len(at), dtype=int) if periods is None else np.array(periods)
    known = np.unique(of)
    design = np.zeros((len(at), len(known) + 1))
    design[:, :-1] = of[:, None] == known
    design[:, -1] = (at - at.mean()) / span
    # Before a head is measured, dies are as likely to creep by an offset as not.
    spreads = (OFFSET_SPREAD_MM,) * design.shape[1]
    before = Prior((0.0,) * design.shape[1], spreads, scatter_mm)
    fit = fit_robust(design, lifts_mm, before)
    middle, half = (
        float(fit.central[-1]),
        fit.band_ratio * sqrt(float(fit.covariance[-1, -1])),
    )
    ends = (middle - half, middle, middle + half)
    return Wear(Spread(*(PER * mm / span for mm in ends)), int(span), len(at))

"""The alarm when heads of one set of dies no longer come out as they did.

Each head is held against what the heads before it foretold, in scatters. One slip of
the caliper must not raise an alarm, so a head counts only so far; two sums, for higher
and for lower, then find a lasting change. After an alarm the offset is learnt afresh
from the head on at which the change began; the spring of the yoke is kept.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from math import sqrt
from statistics import median

import numpy as np

from rivetwright.engines.learning.charts import NO_SUMS, ewma, ewma_limits
from rivetwright.engines.learning.measured import Measured, Stretch
from rivetwright.engines.learning.offset import (
    Learnt,
    YokeLearnt,
    learn,
    offset_spread_mm,
)
from rivetwright.engines.learning.robust import INFORMATION, t_weight
from rivetwright.engines.squeeze.taught import OFFSET_SPREAD_MM, DieSet
from rivetwright.model.shop import Tool
from rivetwright.standards.learning import learning_figure

SLACK = learning_figure("cusum slack")
DECISION = learning_figure("cusum decision")
CLIP = learning_figure("clip")
WEIGHT = learning_figure("ewma weight")
WIDTH = learning_figure("ewma width")
ROUNDS = 30
STILL_MM = 1e-7

# What to look at after an alarm, in the order of least trouble.
ASK_HIGHER = ("pressure", "shim", "pin", "dirt", "wear", "lot")
ASK_LOWER = ("dirt", "shim", "pressure", "lot")


@dataclass(frozen=True)
class Alarm:
    """A lasting change: raised at one head, begun at another, by how much.

    `at` and `since` count from nought within the heads looked at; `ask` are catalogue
    keys of what to look at.
    """

    at: int
    since: int
    by_mm: float

    @property
    def is_higher(self) -> bool:
        """Whether heads come out higher than before."""
        return self.by_mm > 0

    @property
    def delay_count(self) -> int:
        """How many heads were set from the change until the alarm [heads]."""
        return self.at - self.since + 1

    @property
    def ask(self) -> tuple[str, ...]:
        """What to look at, first what is least trouble."""
        return ASK_HIGHER if self.is_higher else ASK_LOWER


class Foretelling:
    """The middle of the heads so far, as a slip cannot pull it; nought before one."""

    def __init__(self, scatter_mm: float, spread_mm: float) -> None:
        self._scatter_mm, self._before = scatter_mm, scatter_mm**2 / spread_mm**2
        self._seen: list[float] = []
        self.middle_mm = 0.0

    def add(self, offset_mm: float) -> None:
        """Take one more head in [mm]."""
        self._seen.append(offset_mm)
        seen = np.array(self._seen)
        for _ in range(ROUNDS):
            weight = t_weight(seen - self.middle_mm, self._scatter_mm)
            middle = float(weight @ seen / (weight.sum() + self._before))
            moved, self.middle_mm = abs(middle - self.middle_mm), middle
            if moved < STILL_MM:
                break

    def off(self, offset_mm: float) -> float:
        """How far a head [mm] is from what was foretold, in its scatters [-]."""
        told = INFORMATION * len(self._seen) + self._before
        spread_mm = self._scatter_mm * sqrt(1 + 1 / told)
        return (offset_mm - self.middle_mm) / spread_mm


@dataclass(frozen=True)
class Watched:
    """Heads of one set of dies in order: how far off each was, and the alarms."""

    off: tuple[float, ...]
    alarms: tuple[Alarm, ...]

    @property
    def trend(self) -> tuple[float, ...]:
        """Moving average of the clipped offs: where heads stand, in scatters [-]."""
        return tuple(ewma([clipped(z) for z in self.off], 0.0, WEIGHT))

    @property
    def is_trend_out(self) -> bool:
        """Whether that average now stands outside its limits."""
        limits = ewma_limits(0.0, 1.0, WEIGHT, WIDTH)
        return bool(self.off) and not limits.has(self.trend[-1])


def clipped(off: float) -> float:
    """A head's distance as the sums count it, in scatters [-]."""
    return max(-CLIP, min(CLIP, off))


def watch(
    offsets_mm: Sequence[float],
    scatter_mm: float,
    *,
    spread_mm: float = OFFSET_SPREAD_MM,
) -> Watched:
    """Watch the heads of one set of dies for a lasting change.

    Args:
        offsets_mm: offset each head shows, in the order they were set [mm].
        scatter_mm: scatter of one head [mm].
        spread_mm: spread of the offset before a head is measured [mm].

    Returns:
        How far off each was, and the alarms.
    """
    told, sums = Foretelling(scatter_mm, spread_mm), NO_SUMS
    quiet = {True: 0, False: 0}
    offs: list[float] = []
    alarms: list[Alarm] = []
    for at, offset_mm in enumerate(offsets_mm):
        offs.append(told.off(offset_mm))
        sums = sums.after(clipped(offs[-1]), 0.0, SLACK)
        # A change began after the sum last stood at nought.
        for is_high, total in ((True, sums.high), (False, sums.low)):
            if total == 0:
                quiet[is_high] = at + 1
        if max(sums.high, sums.low) <= DECISION:
            told.add(offset_mm)
            continue
        since = quiet[sums.high > sums.low]
        by_mm = median(offsets_mm[since : at + 1]) - told.middle_mm
        alarms.append(Alarm(at, since, by_mm))
        # Heads that raised an alarm are no fair sample to hold the next ones against.
        told, sums = Foretelling(scatter_mm, spread_mm), NO_SUMS
        quiet = {True: at + 1, False: at + 1}
    return Watched(tuple(offs), tuple(alarms))


@dataclass(frozen=True)
class WatchedShop:
    """What heads taught, each change taken into account, and what was watched.

    `watched` holds a look at each set of dies between two moments at which its memory
    was dropped by hand.
    """

    learnt: Learnt
    watched: Mapping[Stretch, Watched]


def learn_watched(heads: Iterable[Measured], yokes: Iterable[Tool]) -> WatchedShop:
    """Learn from heads, and begin an offset afresh where one changed.

    Args:
        heads: measured heads in the order they were set; stalled ones are passed over.
        yokes: the yokes of the shop.

    Returns:
        What was learnt, with the alarms raised on the way.
    """
    shop_yokes = tuple(yokes)
    first = learn(heads, shop_yokes)
    watched: dict[Stretch, Watched] = {}
    parted: list[Measured] = []
    for one in first.yokes.values():
        for stretch in sorted(one.stretches, key=lambda each: each[1]):
            watched[stretch] = _watch_stretch(one, stretch)
        parted += _parted(one, watched)
    return WatchedShop(learn(parted, shop_yokes), watched)


def _watch_stretch(learnt: YokeLearnt, stretch: Stretch) -> Watched:
    """Watch the heads of some dies within one period, the yoke's spring taken off."""
    mine = [one for one in learnt.heads if one.stretch == stretch]
    scatter_mm, spread_mm = float(learnt.fit.scatter), offset_spread_mm(mine)
    return watch(learnt.offsets_mm(stretch), scatter_mm, spread_mm=spread_mm)


def _parted(
    learnt: YokeLearnt, watched: Mapping[Stretch, Watched]
) -> Iterator[Measured]:
    """The heads of a yoke, in periods that also end where a change began."""
    ended: dict[DieSet, int] = {}
    for stretch in sorted(learnt.stretches, key=lambda each: each[1]):
        dies, _ = stretch
        begins = [alarm.since for alarm in watched[stretch].alarms]
        mine = [one for one in learnt.heads if one.stretch == stretch]
        period = ended.get(dies, 0)
        for at, one in enumerate(mine):
            new = sum(begin <= at for begin in begins)
            yield replace(one, period=period + new)
        ended[dies] = period + len(begins) + 1

"""The forecast replayed over the record: what it would have said, and what it took.

Every line of the log is foretold from the lines before it alone; and at a few days all
that was done since then is foretold in one sum. Of ranges of 80 % four in five should
hold what came.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

import numpy as np

from rivetwright.engines.forecast.rates import Lot, OwnRates, rates_from
from rivetwright.engines.forecast.tasks import Task
from rivetwright.engines.forecast.trials import Range, range_of, task_minutes
from rivetwright.engines.work.rates import Logged

# Fewer lines before it say too little of a builder (JUDGEMENT: an evening or two).
LEAST_LINES = 4
# So many of the newest lines are replayed; older ones say little of today.
MOST_LINES = 40
SUMS = 4
TRIALS, SEED = 600, 7


@dataclass(frozen=True)
class Replayed:
    """A line of the log, or a sum of lines: what was foretold, and what it took."""

    day: date
    operation: str
    count: float
    told_minutes: Range
    took_minutes: float

    @property
    def held(self) -> bool:
        """Whether the range held what it took."""
        return self.told_minutes.low <= self.took_minutes <= self.told_minutes.high


@dataclass(frozen=True)
class Backtest:
    """Lines one by one, and what was done since some days in one sum each."""

    lines: tuple[Replayed, ...]
    sums: tuple[Replayed, ...]

    @property
    def held_count(self) -> int:
        """Lines whose range held what they took."""
        return sum(one.held for one in self.lines)


def backtest(log: Sequence[tuple[date, Logged]]) -> Backtest:
    """Replay the forecast over a log.

    Args:
        log: days and lines in the order in which they were written [min].

    Returns:
        What would have been foretold, and what it took [min].
    """
    lots = rates_from(line for _, line in log).lots
    # Lines that count something, each with the day it was written.
    counting = [(day, line) for day, line in log if _counts(line)]
    if len(counting) != len(lots):
        return Backtest((), ())
    lines = []
    first = max(LEAST_LINES, len(lots) - MOST_LINES)
    for k in range(first, len(lots)):
        before = rates_from(line for _, line in counting[:k])
        told = _told(before, lots[k : k + 1])
        day = counting[k][0]
        lines.append(_replayed(day, lots[k].operation, lots[k : k + 1], told))
    return Backtest(tuple(lines), tuple(_sums(counting, lots)))


def _counts(line: Logged) -> bool:
    """Whether a line is one that rates are learnt from."""
    return bool(rates_from([line]).lots)


def _sums(
    counting: Sequence[tuple[date, Logged]], lots: Sequence[Lot]
) -> list[Replayed]:
    """From a few places in the log on: all the work that came after, in one sum."""
    found: list[Replayed] = []
    if len(lots) < LEAST_LINES + 2:
        return found
    places = np.linspace(LEAST_LINES, len(lots) - 2, SUMS + 1).astype(int)[:-1]
    for k in dict.fromkeys(place for place in places.tolist() if place >= LEAST_LINES):
        before = rates_from(line for _, line in counting[:k])
        after = lots[k:]
        found.append(_replayed(counting[k][0], "", after, _told(before, after)))
    return found


def _told(rates: OwnRates, lots: Sequence[Lot]) -> Range:
    """The range of the minutes of some lots together."""
    usual = [Lot(one.operation, 0, one.count, one.usual_minutes) for one in lots]
    task = Task("", "", "", tuple(usual), 0, (), (), False, False)
    rng = np.random.default_rng(SEED)
    return range_of(task_minutes([task], rates, TRIALS, rng)[:, 0])


def _replayed(day: date, operation: str, lots: Sequence[Lot], told: Range) -> Replayed:
    count = sum(one.count for one in lots)
    return Replayed(day, operation, count, told, sum(one.minutes for one in lots))

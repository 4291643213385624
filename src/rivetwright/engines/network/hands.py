"""One pair of hands: what is done when, where only one thing is done at a time.

At every moment the most urgent of what can be worked on is taken up and finished.
What waits for a day, a visit or a second person is passed over until then; hands
are idle only where nothing at all can be done. Many trials run side by side: the
first axis of every array is that of the trials.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from rivetwright.engines.network.precedence import Precedence

Figures = NDArray[np.float64]
Ints = NDArray[np.int64]
Mask = NDArray[np.bool_]
Number = TypeVar("Number", bound=np.generic)

# Trials in one go: their tables then lie in the processor's cache.
AT_ONCE = 2000
NEVER = np.inf
# So many needs that the column of nobody is never free.
NOBODY = 1 << 40
# What counts as no time [min].
STILL_MIN = 1e-6


@dataclass(frozen=True)
class Sittings:
    """Times at the bench, of every trial the same days with minutes of its own.

    Args:
        day: day of each, counted from today, rising, shape (sittings,).
        minutes: how long each is, nought where it falls out, (trials, sittings).
        has_second: whether a second person is there, shape (sittings,).
    """

    day: Ints
    minutes: Figures
    has_second: Mask

    def some(self, trials: slice | Ints) -> Sittings:
        """The same for some of the trials."""
        return Sittings(self.day, self.minutes[trials], self.has_second)


@dataclass(frozen=True)
class Tasks:
    """What is to be done, in the order of urgency where several could be.

    Args:
        precedence: what comes before what; its places are those of all arrays.
        minutes: what each takes, shape (trials, tasks).
        from_day: the first day on which each may be begun, (trials, tasks).
        lag_days: days from the last need's end until it may begin, (trials, tasks).
        takes_two: whether it is begun only with a second person, shape (tasks,).
        urgency: the larger the sooner it is taken, shape (tasks,).
    """

    precedence: Precedence
    minutes: Figures
    from_day: Figures
    lag_days: Figures
    takes_two: Mask
    urgency: Figures

    def some(self, trials: slice | Ints) -> Tasks:
        """The same for some of the trials."""
        return Tasks(
            self.precedence,
            self.minutes[trials],
            self.from_day[trials],
            self.lag_days[trials],
            self.takes_two,
            self.urgency,
        )


@dataclass(frozen=True)
class Done:
    """When each task is begun and ended, as days from today, (trials, tasks).

    `place` is the how-manieth it is in its trial, `ready_day` the day from which it
    could have been begun. Days past the last sitting are `NEVER`.
    """

    begin_day: Figures
    end_day: Figures
    ready_day: Figures
    place: Ints

    def with_some(self, trials: Ints, again: Done) -> Done:
        """The same, with some of the trials worked through once more."""
        made = {}
        for name, columns in vars(self).items():
            made[name] = columns.copy()
            made[name][trials] = getattr(again, name)
        return Done(**made)

    @property
    def last_day(self) -> Figures:
        """The day on which all is done, shape (trials,)."""
        return np.asarray(self.end_day.max(axis=1, initial=0.0))


def by_hand(tasks: Tasks, sittings: Sittings) -> Done:
    """Work through all tasks, sitting by sitting.

    Args:
        tasks: what is to be done [min, days].
        sittings: when there is time for it [days, min].

    Returns:
        When each is begun and ended [days].
    """
    trials, count = tasks.minutes.shape
    begin, end, ready = (np.full((trials, count), NEVER) for _ in range(3))
    place = np.zeros((trials, count), dtype=np.int64)
    for first in range(0, trials, AT_ONCE):
        some = slice(first, min(first + AT_ONCE, trials))
        run = _Run(tasks, sittings.some(some), some)
        for k in range(count):
            run.next(k)
        begin[some], end[some] = run.ordered(run.begin), run.ordered(run.end)
        ready[some], place[some] = run.ordered(run.was_ready), run.ordered(run.place)
    return Done(begin, end, ready, place)


class _Run:
    """Some trials side by side; columns stand in the order of urgency."""

    def __init__(self, tasks: Tasks, sittings: Sittings, some: slice) -> None:
        self.sittings = sittings
        self.rank = np.argsort(-tasks.urgency, kind="stable")
        column = np.empty_like(self.rank)
        column[self.rank] = np.arange(len(self.rank))
        self.column = column
        trials, count = sittings.minutes.shape[0], len(self.rank)
        self.rows = np.arange(trials)
        self.minutes = tasks.minutes[some][:, self.rank]
        self.lag = _padded(tasks.lag_days[some][:, self.rank], 0.0)
        self.takes_two = tasks.takes_two[self.rank]
        self.two_columns = np.flatnonzero(self.takes_two)
        self.after = _after_table(tasks.precedence, self.rank, column)
        before = np.array([len(tasks.precedence.before[k]) for k in self.rank])
        self.left = np.tile(np.append(before, NOBODY), (trials, 1))
        # From when each may be begun so far as is known.
        self.known = _padded(tasks.from_day[some][:, self.rank], 0.0)
        self._clock()
        # The first sitting of each that waits for nothing else; the last is never.
        free = self.left[:, :-1] == 0
        first = self._sitting_from(self.known[:, :-1])
        self.ready = np.where(free, first, self.never).astype(np.int32)
        shape = (trials, count)
        self.begin, self.end = np.full(shape, NEVER), np.full(shape, NEVER)
        self.was_ready = np.full(shape, NEVER)
        self.place = np.zeros(shape, dtype=np.int64)

    def _clock(self) -> None:
        """Minutes worked up to the end of each sitting, and what was worked so far."""
        minutes = self.sittings.minutes
        self.total = np.cumsum(minutes, axis=1)
        last = minutes.shape[1]
        self.never = last + 1
        # Behind the last sitting there is time without end, on no day.
        self.total = _padded(self.total, NEVER)
        self.day = np.append(self.sittings.day.astype(float), NEVER)
        self.at = np.zeros(len(self.rows), dtype=np.int32)
        self.worked = np.zeros(len(self.rows))
        self.pairs = np.append(self.sittings.has_second, True)
        # For every sitting the next one with a second person, itself counted.
        places = np.where(self.pairs, np.arange(last + 1), last)
        self.next_second = np.minimum.accumulate(places[::-1])[::-1]

    def ordered(self, columns: NDArray[Number]) -> NDArray[Number]:
        """Columns in the order of the tasks again."""
        return columns[:, self.column]

    def next(self, k: int) -> None:
        """Take up, in every trial, the most urgent task that can be done."""
        pick = self._pick()
        cell = self.rows, pick
        self.was_ready[cell] = self.known[cell]
        self.place[cell] = k
        self.begin[cell] = self.day[self.at]
        self.worked += self.minutes[cell]
        self._go_on(self.rows, STILL_MIN)
        end = self.day[self.at]
        self.end[cell] = end
        self.ready[cell] = self.never
        self._set_free(pick, end)

    def _pick(self) -> Ints:
        """The first column that can be begun; hands wait where none can be now."""
        pick = np.zeros(len(self.rows), dtype=np.int64)
        some = self.rows
        while some.size:
            self._go_on(some, -STILL_MIN)
            at = self.at[some]
            can = (self.ready if some is self.rows else self.ready[some]) <= at[:, None]
            if self.two_columns.size:
                can[:, self.two_columns] &= self.pairs[at][:, None]
            first = can.argmax(axis=1)
            pick[some] = first
            some = some[~can[np.arange(len(some)), first]]
            self._wait(some)
        return pick

    def _wait(self, idle: Ints) -> None:
        """Let some trials wait for the sitting at which anything can be begun."""
        if not idle.size:
            return
        begins = np.maximum(self.ready[idle], self.at[idle, None])
        is_free = self.ready[idle] < self.never
        alone = np.minimum(begins[:, self.two_columns], self.never - 1)
        begins[:, self.two_columns] = self.next_second[alone]
        at = np.where(is_free, begins, self.never).min(axis=1)
        self.at[idle] = at
        passed = np.where(at > 0, self.total[idle, at - 1], 0.0)
        self.worked[idle] = np.maximum(self.worked[idle], passed)

    def _go_on(self, some: Ints, still: float) -> None:
        """To the sitting that holds what was worked so far, or has room behind it."""
        late = some
        while late.size:
            is_over = self.total[late, self.at[late]] < self.worked[late] - still
            late = late[is_over]
            self.at[late] += 1

    def _sitting_from(self, day: Figures) -> Ints:
        """The first sitting on or after a day."""
        return np.asarray(np.searchsorted(self.day, day))

    def _set_free(self, pick: Ints, end: Figures) -> None:
        """Tasks that waited for those just ended; the last column is nobody's."""
        for after in self.after.T:
            column = after[pick]
            cell = self.rows, column
            known = np.maximum(self.known[cell], end + self.lag[cell])
            self.known[cell] = known
            self.left[cell] -= 1
            free = np.flatnonzero(self.left[cell] == 0)
            if free.size:
                first = self._sitting_from(known[free])
                self.ready[free, column[free]] = first


def _padded(columns: Figures, value: float) -> Figures:
    """Columns with one more behind them."""
    return np.pad(columns, ((0, 0), (0, 1)), constant_values=value)


def _after_table(precedence: Precedence, rank: Ints, column: Ints) -> Ints:
    """For every column those that need it, filled up with the column of nobody."""
    after = [[int(column[one]) for one in precedence.after[k]] for k in rank]
    width = max(map(len, after), default=0)
    nobody = len(after)
    return np.array(
        [row + [nobody] * (width - len(row)) for row in after], dtype=np.int64
    ).reshape(len(after), width)

"""How long still, and until when: many futures, each as likely as the next.

A future draws the builder's rates, what repetition saves, rivets that come out again,
what nobody put down, deliveries and answers, weeks off and sittings kept; then one
pair of hands works through what is left.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np
from numpy.typing import NDArray

from rivetwright.engines.forecast.pace import Pace
from rivetwright.engines.forecast.rates import FIRST, SLOPE, Lot, OwnRates, design_row
from rivetwright.engines.forecast.rates import middles as lot_middles
from rivetwright.engines.forecast.tasks import Task, WorkAhead
from rivetwright.engines.network.hands import AT_ONCE, NEVER, Done, Tasks, by_hand
from rivetwright.engines.network.precedence import Precedence
from rivetwright.engines.work.rates import default_rates
from rivetwright.engines.work.waits import ANSWER, FINDING, Wait
from rivetwright.standards.forecast import forecast_figure
from rivetwright.standards.work import work_constant

Figures = NDArray[np.float64]

TRIALS = 10_000
SEED = 20_261_125
# The range that is told holds four futures of five.
LOW, MIDDLE, HIGH = 0.1, 0.5, 0.9
HOUR = 60.0
REPLACE = "drill out and replace"
# Sittings are drawn for so much more than is expected; more where that is too few.
MORE, LEAST_SITTINGS, MOST_SITTINGS = 1.4, 60, 30_000


@dataclass(frozen=True)
class Rework:
    """Rivets set so far, and those of them that came out again."""

    set_count: int
    removed_count: int


@dataclass(frozen=True)
class Known:
    """What a forecast rests on; reorder and notice as the shop says, or usual [d].

    `first_day` is the one from which days are counted.
    """

    rates: OwnRates
    pace: Pace
    rework: Rework
    first_day: date
    notice_days: float
    reorder_days: float


@dataclass(frozen=True)
class Range:
    """Low, likely and high: four futures of five lie between the outer two."""

    low: float
    likely: float
    high: float


@dataclass(frozen=True)
class Forecast:
    """Futures of one aircraft.

    `tasks` holds the minutes of each, everything beside the work in it; `done` says
    when. Both have the trials first.
    """

    ahead: WorkAhead
    known: Known
    tasks: Tasks
    done: Done

    @property
    def whole_minutes(self) -> Figures:
        """Minutes left in every future, (trials,) [min]."""
        return np.asarray(self.tasks.minutes.sum(axis=1))

    @property
    def hours(self) -> Range:
        """Hours that are left [h]."""
        return range_of(self.whole_minutes / HOUR)

    @property
    def last_day(self) -> Range:
        """Days from today until all with a date is done [d]."""
        return range_of(self.done.last_day)

    def date_at(self, share: float) -> date | None:
        """The day by which a share of the futures is done; None beyond all days.

        Args:
            share: of the futures, such as 0.9 [-].
        """
        return self.day(np.quantile(self.done.last_day, share, method="higher"))

    def day(self, days: float) -> date | None:
        """A day so many days from today [d]."""
        if not np.isfinite(days):
            return None
        return self.known.first_day + timedelta(days=round(float(days)))

    def assembly_hours(self) -> dict[str, Range]:
        """Hours left of every assembly [h]."""
        names = dict.fromkeys(task.assembly for task in self.ahead.tasks)
        return {name: self.hours_of(name) for name in names}

    def hours_of(self, assembly: str, step: str = "") -> Range:
        """Hours left of an assembly, or of one step of it [h]."""
        here = self._places(assembly, step)
        return range_of(self.tasks.minutes[:, here].sum(axis=1) / HOUR)

    def end_of(self, assembly: str, step: str = "") -> Range:
        """Days from today until an assembly, or one step of it, is done [d]."""
        here = self._places(assembly, step)
        return range_of(self.done.end_day[:, here].max(axis=1, initial=0.0))

    def _places(self, assembly: str, step: str) -> list[int]:
        return [
            k
            for k, task in enumerate(self.ahead.tasks)
            if task.assembly == assembly and step in ("", task.step)
        ]


def range_of(drawn: Figures) -> Range:
    """Low, likely and high of many futures [unit of what is drawn].

    Args:
        drawn: one figure a future [any unit].
    """
    low, middle, high = np.quantile(drawn, (LOW, MIDDLE, HIGH), method="nearest")
    return Range(float(low), float(middle), float(high))


def forecast(
    ahead: WorkAhead, known: Known, trials: int = TRIALS, seed: int = SEED
) -> Forecast:
    """Draw futures of what is left.

    Args:
        ahead: what is left.
        known: what is known of the builder, his pace and the shop.
        trials: how many futures [-].
        seed: the same seed gives the same futures [-].

    Returns:
        The futures [min, d].
    """
    rng = np.random.default_rng(seed)
    ahead = ahead.in_portions()
    minutes = drawn_minutes(ahead.tasks, known, trials, rng)
    beside = _beside(known.rates, trials, rng)
    work = minutes * (1 / (1 - beside))[:, None]
    precedence = ahead.precedence
    tasks = Tasks(
        precedence,
        work,
        _from_days(ahead.tasks, known, trials, rng),
        _lags(ahead.tasks, known, trials, rng),
        np.array([task.takes_two for task in ahead.tasks], dtype=bool),
        _urgency(precedence, ahead.tasks, work, known),
    )
    return Forecast(ahead, known, tasks, _worked_through(tasks, known, rng))


# --- minutes ------------------------------------------------------------------------


def drawn_minutes(
    tasks: Sequence[Task], known: Known, trials: int, rng: np.random.Generator
) -> Figures:
    """Minutes of every task in every future, rework in them, (trials, tasks) [min].

    Args:
        tasks: what is left, in the order in which it is done.
        known: what is known of the builder.
        trials: how many futures [-].
        rng: from a given seed.
    """
    if not tasks:
        return np.zeros((trials, 0))
    unknowns = _unknowns(known.rates, trials, rng)
    total = _bare_minutes(tasks, known.rates, unknowns)
    total += _rework(tasks, known, unknowns, rng)
    return _scattered(total, tasks, known.rates, rng)


def task_minutes(
    tasks: Sequence[Task], rates: OwnRates, trials: int, rng: np.random.Generator
) -> Figures:
    """The same without rivets that come out again, (trials, tasks) [min].

    Args:
        tasks: what is left, in the order in which it is done.
        rates: the builder's [min].
        trials: how many futures [-].
        rng: from a given seed.
    """
    unknowns = _unknowns(rates, trials, rng)
    return _scattered(_bare_minutes(tasks, rates, unknowns), tasks, rates, rng)


def _unknowns(rates: OwnRates, trials: int, rng: np.random.Generator) -> Figures:
    """The builder as he may be; nobody unlearns by repetition."""
    drawn = rates.draws(trials, rng)
    drawn[:, SLOPE] = np.minimum(drawn[:, SLOPE], 0.0)
    return drawn


def _bare_minutes(tasks: Sequence[Task], rates: OwnRates, unknowns: Figures) -> Figures:
    """Minutes of every task by rates and repetition alone."""
    lots = _following(tasks, rates.done)
    starts = np.cumsum([0, *(len(task.lots) for task in tasks)])[:-1]
    return np.asarray(np.add.reduceat(_lot_minutes(lots, unknowns), starts, axis=1))


def _scattered(
    minutes: Figures, tasks: Sequence[Task], rates: OwnRates, rng: np.random.Generator
) -> Figures:
    """Evenings that go well or do not, and what nobody put down."""
    usual = np.array([task.usual_minutes for task in tasks])
    entries = np.maximum(usual / forecast_figure("entry minutes"), 1.0)
    scatter = (rates.scatter / np.sqrt(entries)).astype(np.float32)
    noise = scatter * rng.standard_normal(minutes.shape, dtype=np.float32)
    unforeseen = rng.normal(0.0, forecast_figure("unforeseen"), (len(minutes), 1))
    return np.asarray(minutes * np.exp(noise + unforeseen.astype(np.float32)))


def _following(tasks: Sequence[Task], done: Mapping[str, int]) -> list[Lot]:
    """Lots one after the other: each knows how many of its kind come before it."""
    counted: dict[str, float] = dict(done)
    found = []
    for task in tasks:
        for lot in task.lots:
            before = counted.get(lot.operation, 0.0)
            found.append(Lot(lot.operation, before, lot.count, lot.minutes))
            counted[lot.operation] = before + lot.count
    return found


def _lot_minutes(lots: Sequence[Lot], unknowns: Figures) -> Figures:
    """Minutes of every lot in every future, (trials, lots)."""
    units = lot_middles(lots)
    rows = [
        design_row(lot.operation, unit)
        for lot, unit in zip(lots, units.tolist(), strict=True)
    ]
    ratio = unknowns.astype(np.float32) @ np.array(rows, dtype=np.float32).T
    usual = np.array([lot.minutes for lot in lots], dtype=np.float32)
    return np.asarray(usual * np.exp(ratio))


def _rework(
    tasks: Sequence[Task], known: Known, unknowns: Figures, rng: np.random.Generator
) -> Figures:
    """Minutes for rivets that will come out again, (trials, tasks)."""
    usual, weight = forecast_figure("rework"), forecast_figure("rework rivets")
    bad = usual * weight + known.rework.removed_count
    good = (1 - usual) * weight + known.rework.set_count - known.rework.removed_count
    share = rng.beta(bad, max(good, 1.0), (len(unknowns), 1))
    rivets = np.array([task.rivets for task in tasks], dtype=float)
    expected = share * rivets
    # As good as drawn rivet by rivet: what comes of many small chances.
    count = expected + np.sqrt(expected) * rng.standard_normal(expected.shape)
    column = FIRST + list(default_rates()).index(REPLACE)
    each = default_rates()[REPLACE].minutes * np.exp(
        unknowns[:, [0]] + unknowns[:, [column]]
    )
    return np.asarray(np.maximum(count, 0.0) * each)


def _beside(rates: OwnRates, trials: int, rng: np.random.Generator) -> Figures:
    """Share of tidying, moving and ordering in all hours, (trials,)."""
    usual, weight = forecast_figure("beside"), forecast_figure("beside hours")
    all_hours, beside_hours = rates.minutes / HOUR, rates.beside_minutes / HOUR
    a = usual * weight + beside_hours
    b = (1 - usual) * weight + all_hours - beside_hours
    return np.asarray(rng.beta(a, max(b, 1.0), trials))


# --- waiting ------------------------------------------------------------------------


def _from_days(
    tasks: Sequence[Task], known: Known, trials: int, rng: np.random.Generator
) -> Figures:
    """The first day on which each task may be begun, (trials, tasks)."""
    days = np.zeros((trials, len(tasks)))
    # One thing comes on one day, whatever waits for it.
    waits = {wait.key: wait for task in tasks for wait in task.waits}
    drawn = {key: _arrivals(wait, known, trials, rng) for key, wait in waits.items()}
    for k, task in enumerate(tasks):
        for wait in task.waits:
            np.maximum(days[:, k], drawn[wait.key], out=days[:, k])
    return days


def _arrivals(
    wait: Wait, known: Known, trials: int, rng: np.random.Generator
) -> Figures:
    """The day on which something comes, from today, (trials,) [d]."""
    if wait.kind in (ANSWER, FINDING):
        return np.asarray(rng.exponential(forecast_figure("answer days"), trials))
    if wait.until is None:
        mean = forecast_figure("back order days")
        return known.reorder_days + rng.exponential(mean, trials)
    due = max((wait.until - known.first_day).days, 0)
    late = rng.exponential(forecast_figure("late days"), trials)
    late[rng.random(trials) < forecast_figure("on time")] = 0.0
    return np.asarray(due + late)


def _lags(
    tasks: Sequence[Task], known: Known, trials: int, rng: np.random.Generator
) -> Figures:
    """Days between being asked and the visit, (trials, tasks)."""
    lags = np.zeros((trials, len(tasks)))
    for k, task in enumerate(tasks):
        if task.is_visit:
            late = rng.exponential(forecast_figure("visit days"), trials)
            lags[:, k] = known.notice_days + late
    return lags


def _urgency(
    precedence: Precedence, tasks: Sequence[Task], work: Figures, known: Known
) -> Figures:
    """Days that the longest chain from each task to the end still takes."""
    a_day = max(known.pace.week_minutes / 7, 1e-9)
    visits = np.array([task.is_visit for task in tasks], dtype=float)
    days = np.median(work, axis=0) / a_day + known.notice_days * visits
    return precedence.behind(days)


# --- sittings -----------------------------------------------------------------------


def _worked_through(tasks: Tasks, known: Known, rng: np.random.Generator) -> Done:
    """Work through all tasks, some trials at a time, with the sittings it takes."""
    blocks = []
    for first in range(0, len(tasks.minutes), AT_ONCE):
        some = tasks.some(slice(first, first + AT_ONCE))
        blocks.append(_block(some, known, int(rng.integers(1 << 32))))
    return Done(
        *(
            np.concatenate([getattr(block, name) for block in blocks])
            for name in ("begin_day", "end_day", "ready_day", "place")
        )
    )


def _block(tasks: Tasks, known: Known, seed: int) -> Done:
    """Some trials; those that were not done once more, with twice the sittings."""
    per_week = max(len(known.pace.weekly.days), 1)
    a_sitting = max(known.pace.week_minutes / per_week, 1e-9)
    longest = float(tasks.minutes.sum(axis=1).max(initial=0.0))
    waiting = float(tasks.from_day.max(initial=0.0)) / 7 * per_week
    count = int(MORE * (longest / a_sitting + waiting)) + LEAST_SITTINGS
    trials = len(tasks.minutes)
    done: Done | None = None
    late = np.arange(trials)
    while late.size:
        count = min(count, MOST_SITTINGS)
        sittings = known.pace.sittings_ahead(known.first_day, count, trials, seed)
        again = by_hand(tasks.some(late), sittings.some(late))
        done = again if done is None else done.with_some(late, again)
        late = np.flatnonzero(~(done.last_day < NEVER))
        if count == MOST_SITTINGS:
            break
        count *= 2
    return done or by_hand(
        tasks, known.pace.sittings_ahead(known.first_day, 1, 0, seed)
    )


def usual_known(today: date, rates: OwnRates, pace: Pace, rework: Rework) -> Known:
    """What is known where the shop says nothing of posts and visits.

    Args:
        today: the first day that counts.
        rates: the builder's rates [min].
        pace: how the calendar is kept [min].
        rework: rivets set and come out [-].

    Source: forecast_constants.csv, work_constants.csv; status per row.
    """
    notice = work_constant("inspector's notice").value
    return Known(rates, pace, rework, today, notice, forecast_figure("reorder days"))

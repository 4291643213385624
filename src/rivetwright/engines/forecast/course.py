"""The usual course: one future of middle figures, its chain, and how late may be late.

Its end is near the middle of the many futures and no forecast of its own: it shows
what hangs on what.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import exp

import numpy as np

from rivetwright.engines.forecast.pace import Pace
from rivetwright.engines.forecast.tasks import Task
from rivetwright.engines.forecast.trials import Forecast
from rivetwright.engines.network.chain import Link, chain, idle_sittings
from rivetwright.engines.network.hands import NEVER, Done, Sittings, Tasks, by_hand
from rivetwright.engines.work.waits import Wait
from rivetwright.standards.forecast import forecast_figure

# By how many days a thing may come later is tried in these steps.
LATER_DAYS = (7, 14, 21, 28, 42, 56, 84, 112, 168)
# An end that moves by less than a week has not moved: there may be no sitting sooner.
WEEK_DAYS = 7
LONGEST_SITTINGS = 40_000


@dataclass(frozen=True)
class Spare:
    """By how many days something may come later than expected and not move the end.

    `days` is None where even the latest that was tried moves nothing.
    """

    wait: Wait
    from_day: float
    days: int | None


@dataclass(frozen=True)
class Course:
    """One future of middle figures: when what is done, why, and with what to spare.

    `idle` are sittings in which nothing could be done, `busy` all others to the end.
    """

    links: tuple[Link, ...]
    done: Done
    idle: int
    busy: int
    spares: tuple[Spare, ...]

    @property
    def last_day(self) -> float:
        """The day on which all is done, from today [d]."""
        return float(self.done.last_day[0])

    @property
    def chain(self) -> frozenset[int]:
        """Places of the tasks that decide the end."""
        return frozenset(link.place for link in self.links)


def usual_course(told: Forecast) -> Course:
    """The course of middle figures of a forecast.

    Args:
        told: the futures [min, d].
    """
    tasks = middle_tasks(told)
    sittings = usual_sittings(told, float(tasks.minutes.sum()))
    done = by_hand(tasks, sittings)
    last = float(done.last_day[0])
    idle = idle_sittings(sittings, done)
    count = int(np.sum(sittings.day <= last)) if len(told.ahead.tasks) else 0
    links = tuple(chain(tasks, sittings, done))
    spares = tuple(_spares(told.ahead.tasks, tasks, sittings, last))
    return Course(links, done, idle, max(count - idle, 0), spares)


def middle_tasks(told: Forecast) -> Tasks:
    """Tasks with the middle of every figure, as one trial.

    Args:
        told: the futures [min, d].
    """
    tasks = told.tasks
    whole = float(np.median(told.whole_minutes)) if len(told.ahead.tasks) else 0.0
    minutes = np.median(tasks.minutes, axis=0, keepdims=True)
    # Middles add up to less than the middle of the sums.
    minutes *= whole / max(float(minutes.sum()), 1e-9)
    return replace(
        tasks,
        minutes=minutes,
        from_day=np.median(tasks.from_day, axis=0, keepdims=True),
        lag_days=np.median(tasks.lag_days, axis=0, keepdims=True),
    )


def usual_sittings(told: Forecast, minutes: float) -> Sittings:
    """Every planned sitting with the minutes to be expected of it, one trial.

    Args:
        told: the futures [min, d].
        minutes: what is to be done in them [min].
    """
    pace, known = told.known.pace, told.known
    a_week = max(pace.week_minutes, 1e-9)
    waiting = float(np.median(told.tasks.from_day, axis=0).max(initial=0.0))
    lags = float(np.median(told.tasks.lag_days, axis=0).sum())
    weeks = 2 * minutes / a_week + (waiting + lags + max(LATER_DAYS)) / WEEK_DAYS + 8
    per_week = max(len(pace.weekly.days), 1)
    count = min(int(weeks * per_week), LONGEST_SITTINGS)
    day = pace.weekly.sittings(known.first_day, count)
    weekday = (day + known.first_day.weekday()) % WEEK_DAYS
    expected = np.array([_expected(pace, k) for k in range(WEEK_DAYS)])
    second = np.isin(weekday, pace.weekly.second_days)
    return Sittings(day, expected[weekday][None, :], second)


def _expected(pace: Pace, weekday: int) -> float:
    """Minutes to be expected of a planned sitting on a weekday."""
    share = {one.weekday: one.share for one in pace.kept}.get(weekday, 0.0)
    length = pace.weekly.minutes[weekday] * exp(pace.length_log)
    return share * length * (1 - forecast_figure("week off"))


def _spares(
    tasks: Sequence[Task], middle: Tasks, sittings: Sittings, last: float
) -> list[Spare]:
    """For everything that must come: how much later it may."""
    waits = {wait.key: wait for task in tasks for wait in task.waits}
    found = []
    for key, wait in waits.items():
        here = [k for k, t in enumerate(tasks) if key in {w.key for w in t.waits}]
        from_day = np.repeat(middle.from_day, len(LATER_DAYS), axis=0)
        from_day[:, here] += np.array(LATER_DAYS)[:, None]
        tried = replace(
            middle,
            minutes=np.repeat(middle.minutes, len(LATER_DAYS), axis=0),
            lag_days=np.repeat(middle.lag_days, len(LATER_DAYS), axis=0),
            from_day=from_day,
        )
        minutes = np.repeat(sittings.minutes, len(LATER_DAYS), axis=0)
        done = by_hand(tried, replace(sittings, minutes=minutes))
        moved = done.last_day > last + WEEK_DAYS - 1
        held = [
            days
            for days, is_moved in zip(LATER_DAYS, moved, strict=True)
            if not is_moved
        ]
        days = None if not moved.any() else max(held, default=0)
        first = float(middle.from_day[0, here].max(initial=0.0))
        found.append(Spare(wait, first, days))
    return sorted(found, key=lambda one: one.days if one.days is not None else NEVER)

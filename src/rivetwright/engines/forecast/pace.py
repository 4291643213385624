"""How much of the planned time is really worked: which days, how long, for how long.

Learned from the days on which time was booked, pulled toward usual shares as long as
few weeks have passed. Ahead of us lie weeks off and a pace that drifts.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from math import exp, log

import numpy as np
from numpy.typing import NDArray
from scipy.signal import lfilter

from rivetwright.engines.network.calendar import WEEK, Weekly
from rivetwright.engines.network.hands import Sittings
from rivetwright.standards.forecast import forecast_figure

Figures = NDArray[np.float64]


@dataclass(frozen=True)
class Kept:
    """Planned sittings of one weekday (Monday nought) so far, and those worked."""

    weekday: int
    planned: int
    worked: int

    @property
    def share(self) -> float:
        """Share expected to be kept, pulled toward the usual one [-]."""
        usual, weight = (
            forecast_figure("sitting kept"),
            forecast_figure("sitting weight"),
        )
        return (usual * weight + self.worked) / (weight + self.planned)


@dataclass(frozen=True)
class Pace:
    """How the calendar is kept.

    `length` is the share of a sitting's minutes that is worked where it takes place,
    as logarithm with its spread; `sittings` are those it rests on. Work on days that
    the calendar does not name is in it.
    """

    weekly: Weekly
    kept: tuple[Kept, ...]
    length_log: float
    length_spread: float
    sittings: int
    weeks: float
    worked_minutes: float

    @property
    def week_minutes(self) -> float:
        """Minutes to be expected of a week [min]."""
        planned = sum(self.weekly.minutes[one.weekday] * one.share for one in self.kept)
        return planned * exp(self.length_log) * (1 - forecast_figure("week off"))

    def sittings_ahead(
        self, today: date, count: int, trials: int, seed: int
    ) -> Sittings:
        """Sittings as they may come; asked for more, the first ones stay the same.

        Args:
            today: the first day that counts.
            count: how many planned ones [-].
            trials: how many futures [-].
            seed: the same seed gives the same futures [-].
        """
        day = self.weekly.sittings(today, count)
        weekday = (day + today.weekday()) % WEEK
        week = (day + today.weekday()) // WEEK
        planned = np.array(self.weekly.minutes)[weekday]
        minutes = self._drifting(int(week[-1]) + 1, trials, seed)[:, week] * planned
        self._fall_out(minutes, weekday, seed)
        second = np.isin(weekday, self.weekly.second_days)
        return Sittings(day, minutes, second)

    def _drifting(self, weeks: int, trials: int, seed: int) -> Figures:
        """Share of a sitting that is worked, week by week; nought in weeks off."""
        chance = _chances(seed)
        own = chance[0].normal(self.length_log, self.length_spread, (trials, 1))
        # What moves the pace stays for months and is then forgotten.
        stays = 1 - 1 / forecast_figure("drift weeks")
        steps = chance[1].standard_normal((weeks, trials), dtype=np.float32).T
        drift = lfilter([forecast_figure("week drift")], [1.0, -stays], steps, axis=1)
        share = np.exp(own + drift)
        # Two weeks off at a time: whoever goes away stays away.
        leaves = chance[2].random((weeks, trials), dtype=np.float32).T
        is_off = leaves < forecast_figure("week off") / 2
        is_off[:, 1:] |= is_off[:, :-1].copy()
        share[is_off] = 0
        return np.asarray(share)

    def _fall_out(
        self, minutes: Figures, weekday: NDArray[np.int64], seed: int
    ) -> None:
        """Leave out sittings that do not take place; the others differ in length."""
        weight = forecast_figure("sitting weight")
        *_, of_trial, of_sitting = _chances(seed)
        drawn = of_sitting.random(minutes.T.shape, dtype=np.float32).T
        for one in self.kept:
            a = one.share * (weight + one.planned)
            b = (1 - one.share) * (weight + one.planned)
            keeps = of_trial.beta(a, b, (len(minutes), 1))
            here = np.flatnonzero(weekday == one.weekday)
            told = drawn[:, here] / keeps
            # The same draw tells whether and how long: from a third to five thirds.
            minutes[:, here] *= np.where(told < 1, 1 / 3 + 4 / 3 * told, 0.0)


def _chances(seed: int) -> list[np.random.Generator]:
    """Chance for each thing that is drawn, so that none moves another."""
    return [np.random.default_rng([seed, k]) for k in range(5)]


def pace_of(
    weekly: Weekly, worked: Mapping[date, float], first: date | None, today: date
) -> Pace:
    """How the calendar was kept from the first day of the log to yesterday.

    Args:
        weekly: the planned week.
        worked: minutes booked by day [min].
        first: the day on which work began; None where it has not.
        today: the day that comes next.

    Returns:
        The pace [min].
    """
    past = {day: m for day, m in worked.items() if m > 0 and day < today}
    begun = first if first is not None else today
    yesterday = date.fromordinal(today.toordinal() - 1)
    planned = weekly.planned(begun, yesterday)
    kept = tuple(
        Kept(
            weekday,
            sum(day.weekday() == weekday for day in planned),
            sum(day.weekday() == weekday and day in past for day in planned),
        )
        for weekday in weekly.days
    )
    on_days = {day: minutes for day, minutes in past.items() if day in planned}
    total = sum(past.values())
    hoped = sum(planned[day] for day in on_days)
    length, spread = _length(total, hoped, len(on_days))
    weeks = max((today - begun).days / WEEK, 0.0)
    return Pace(weekly, kept, length, spread, len(on_days), weeks, total)


def _length(total: float, hoped: float, count: int) -> tuple[float, float]:
    """Logarithm of the share worked of a sitting, and how unsure it is."""
    before, spread = (
        log(forecast_figure("sitting length")),
        forecast_figure("length spread"),
    )
    if not count or not hoped:
        return before, spread
    scatter = forecast_figure("length scatter")
    told, known = 1 / spread**2, count / scatter**2
    middle = (before * told + log(total / hoped) * known) / (told + known)
    return middle, (told + known) ** -0.5

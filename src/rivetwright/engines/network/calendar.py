"""The shop's calendar: on which days there is time, how much, and who is there."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from rivetwright.engines.work.calendar import week_of
from rivetwright.model.shop import Shop

WEEK = 7


@dataclass(frozen=True)
class Weekly:
    """Planned minutes by weekday, Monday first, and the days of a second person.

    `is_said` where the shop file names the days.
    """

    minutes: tuple[float, ...]
    second_days: tuple[int, ...]
    is_said: bool = True

    @cached_property
    def days(self) -> tuple[int, ...]:
        """Weekdays with time, Monday nought."""
        return tuple(k for k, minutes in enumerate(self.minutes) if minutes > 0)

    @property
    def week_minutes(self) -> float:
        """Planned minutes of a whole week [min]."""
        return sum(self.minutes)

    def planned(self, first: date, last: date) -> dict[date, float]:
        """Days with time from a day to another, both counted, and their minutes [min].

        Args:
            first: the first day.
            last: the last day.
        """
        days = ((last - first).days + 1) if last >= first else 0
        dates = (first + timedelta(days=k) for k in range(days))
        found = ((day, self.minutes[day.weekday()]) for day in dates)
        return {day: minutes for day, minutes in found if minutes > 0}

    def sittings(self, today: date, count: int) -> NDArray[np.int64]:
        """Days of the next sittings, today counted as nought, shape (count,).

        Args:
            today: the first day that counts.
            count: how many [-].
        """
        per_week = len(self.days)
        weeks = np.arange(count // per_week + 2) * WEEK
        found = (weeks[:, None] + np.array(self.days)).ravel() - today.weekday()
        return np.asarray(found[found >= 0][:count])


def weekly_of(shop: Shop | None) -> Weekly:
    """The week of a shop, as tonight's work reads it.

    Args:
        shop: its calendar and people; None: an evening every day.
    """
    week = week_of(shop)
    minutes = tuple(week.minutes.get(day, 0.0) for day in range(WEEK))
    is_said = shop is not None and bool(shop.calendar)
    return Weekly(minutes, tuple(sorted(week.second_days)), is_said)

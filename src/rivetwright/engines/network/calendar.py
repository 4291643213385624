"""The shop's calendar: on which days there is time, how much, and who is there."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from rivetwright.model.shop import Shop

WEEKDAYS = (
    *("monday", "tuesday", "wednesday", "thursday", "friday", "saturday"),
    "sunday",
)
WEEK = 7
SECOND = "helper"
# Where the shop names no day: one evening and one morning (JUDGEMENT).
UNSAID = ((1, 120.0), (5, 180.0))


@dataclass(frozen=True)
class Weekly:
    """Planned minutes by weekday, Monday first, and the days of a second person.

    `is_said` where the shop file names the days; else two usual ones are taken.
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
    """The week of a shop.

    The days of a second person are the weekdays that the notes of the shop's second
    persons name; where they name none, every day.

    Args:
        shop: its calendar and people; None: two usual days.
    """
    minutes = [0.0] * WEEK
    for line in shop.calendar if shop else ():
        for day in weekdays_in(line.day):
            minutes[day] += 60 * line.hours
    is_said = any(minutes)
    if not is_said:
        for day, usual in UNSAID:
            minutes[day] = usual
    people = shop.people if shop else ()
    notes = [one.note for one in people if one.role == SECOND]
    second = sorted({day for note in notes for day in weekdays_in(note)})
    days: Sequence[int] = second or range(WEEK if notes else 0)
    return Weekly(tuple(minutes), tuple(days), is_said)


def weekdays_in(text: str) -> Iterable[int]:
    """Weekdays that a text names, Monday nought.

    Args:
        text: such as "Saturdays only" [-].
    """
    said = text.lower()
    return [k for k, name in enumerate(WEEKDAYS) if name in said]

"""Days at the bench: which days of the week, how long, and who is there."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, time, timedelta

from rivetwright.model.shop import Person, Shop
from rivetwright.standards.work import work_constant

WEEKDAYS = (
    "monday",
    "tuesday",
    "wednesday",
    "thursday",
    "friday",
    "saturday",
    "sunday",
)
_SECOND, _INSPECTOR, _MORNING = "helper", "inspector", "morning"
_DAYS = re.compile(r"(\d{1,3}) days")
_DAY = timedelta(days=1)
# How far ahead days are counted before "not within this time" is said.
HORIZON_DAYS = 3 * 365


@dataclass(frozen=True)
class Sitting:
    """One time at the bench by the calendar."""

    day: date
    minutes: float
    begins: time
    has_second: bool


@dataclass(frozen=True)
class Week:
    """The week of a shop: minutes and beginning by the day of the week.

    `second_days` are those on which a second person can come.
    """

    minutes: dict[int, float]
    begins: dict[int, time]
    second_days: frozenset[int]

    def sitting(self, day: date) -> Sitting | None:
        """What the calendar says of a day; None where nothing."""
        at = day.weekday()
        if at not in self.minutes:
            return None
        return Sitting(day, self.minutes[at], self.begins[at], at in self.second_days)

    def after(self, day: date) -> Iterator[Sitting]:
        """Every sitting from a day on, itself too, for three years."""
        for k in range(HORIZON_DAYS):
            sitting = self.sitting(day + k * _DAY)
            if sitting is not None:
                yield sitting


def week_of(shop: Shop | None) -> Week:
    """The week of a shop.

    A helper comes on the days that the note names, on every day where it names none.

    Args:
        shop: its calendar and people; None: an evening every day.

    Source: the shop file; work_constants.csv where it does not say.
    """
    minutes: dict[int, float] = {}
    begins: dict[int, time] = {}
    for line in shop.calendar if shop else ():
        for at in days_named(line.day):
            minutes[at] = minutes.get(at, 0.0) + line.hours * 60
            begins[at] = beginning(line.note)
    if not minutes:
        evening = work_constant("evening").value * 60
        minutes = dict.fromkeys(range(7), evening)
        begins = dict.fromkeys(range(7), beginning(""))
    people = [p for p in (shop.people if shop else ()) if p.role == _SECOND]
    return Week(minutes, begins, frozenset().union(*map(_days_of, people)))


def days_named(text: str) -> tuple[int, ...]:
    """Days of the week that a text names, Monday 0; `Saturdays` counts too.

    Args:
        text: as the shop file writes it [-].
    """
    said = text.lower()
    return tuple(k for k, name in enumerate(WEEKDAYS) if name in said)


def beginning(note: str) -> time:
    """When work begins by the note of a line: in the morning or the evening.

    Args:
        note: as the shop file writes it [-].

    Source: work_constants.csv; JUDGEMENT.
    """
    name = "morning begins" if _MORNING in note.lower() else "evening begins"
    return time(int(work_constant(name).value))


def _days_of(person: Person) -> frozenset[int]:
    named = days_named(person.note)
    return frozenset(named or range(7))


def notice_days(shop: Shop | None) -> int:
    """Days between asking an inspector and the visit.

    Args:
        shop: its inspector's note, such as "about 10 days' notice".

    Source: the shop file; work_constants.csv where it does not say.
    """
    for person in shop.people if shop else ():
        said = _DAYS.search(person.note)
        if person.role == _INSPECTOR and said is not None:
            return int(said[1])
    return int(work_constant("inspector's notice").value)

"""Timers that were forgotten, corrected; bench time apart from other time."""

from __future__ import annotations

from datetime import UTC, date, datetime

import pytest

from rivetwright.bench.hours import (
    Forgotten,
    Spent,
    day_of,
    forgotten,
    minutes_of,
    spent_by,
    zone_of,
)
from rivetwright.bench.workshop import Workshop
from rivetwright.record.state import Booked, Timer
from tests.unit.bench.conftest import Clock, Phone

ZONE = "Europe/London"


def timer(since: str) -> Timer:
    """A timer that runs since a moment (UTC)."""
    return Timer("f", "set", "aileron", f"{since}:00.000Z", True)


@pytest.mark.parametrize(
    ("since", "now", "minutes"),
    [
        ("2026-11-24T19:00", "2026-11-24T22:59", None),
        ("2026-11-24T19:00", "2026-11-24T23:00", None),
        ("2026-11-24T19:00", "2026-11-24T23:01", 241),
        ("2026-11-24T23:30", "2026-11-25T00:10", 40),
        ("2026-07-10T22:30", "2026-07-10T22:59", None),
        ("2026-07-10T22:30", "2026-07-10T23:05", 35),
    ],
)
def test_forgotten_is_over_four_hours_or_past_midnight(
    since: str, now: str, minutes: int | None
) -> None:
    """By the shop's clock: in July London's midnight is 23:00 UTC."""
    moment = datetime.fromisoformat(now).replace(tzinfo=UTC)
    found = forgotten(timer(since), moment, ZONE)
    assert (found and found.minutes) == minutes


def test_forgotten_names_its_own_day() -> None:
    """Begun at 23:30 UTC in July is half past midnight there, of the next day."""
    now = datetime(2026, 7, 12, 9, 0, tzinfo=UTC)
    found = forgotten(timer("2026-07-10T23:30"), now, ZONE)
    assert found == Forgotten("f", "2026-07-11", "2026-07-11 00:30", 2010)
    assert forgotten(None, now, ZONE) is None


def test_unknown_time_zone_is_utc() -> None:
    """Neither a wrong name nor a path leads anywhere else."""
    assert {zone_of(name).key for name in ("Nowhere/Else", "", "../etc")} == {"UTC"}


def booked(workshop: Workshop) -> list[Booked]:
    """What was booked since the opening."""
    return [one for one in workshop.state().booked if not one.day or one.fact == "x"]


def test_switching_ends_what_went_before(
    workshop: Workshop, phone: Phone, clock: Clock
) -> None:
    """Twenty minutes of setting, then ten of checking; each is booked."""
    phone.record("hours-begun", operation="set")
    clock.go_on(minutes=20)
    phone.record("hours-begun", operation="check heads")
    clock.go_on(minutes=10)
    phone.record("hours-ended")
    assert [(one.operation, one.seconds) for one in booked(workshop)] == [
        ("set", 1200),
        ("check heads", 600),
    ]
    assert workshop.state().timers == {}


def test_two_people_have_two_timers(
    workshop: Workshop, phone: Phone, clock: Clock
) -> None:
    """The friend's beginning does not end the builder's."""
    phone.record("hours-begun", operation="set")
    friend = Phone(workshop, "phone-2", "friend")
    friend.record("hours-begun", operation="hold the bar")
    clock.go_on(minutes=15)
    friend.record("hours-ended")
    assert set(workshop.state().timers) == {"builder"}


def test_forgotten_timer_is_corrected(
    workshop: Workshop, phone: Phone, clock: Clock
) -> None:
    """Begun on Wednesday at seven, found the next evening: 90 minutes that day.

    The 24 hours never count, and the minutes stand on Wednesday and in the aileron.
    """
    phone.record("hours-begun", operation="set")
    clock.go_on(hours=24)
    (timer_now,) = workshop.state().timers.values()
    found = forgotten(timer_now, clock(), workshop.time_zone)
    assert found is not None
    assert (found.day, found.minutes) == ("2026-11-25", 1440)
    before = minutes_of(spent_by(workshop.state().booked), is_bench=True)
    phone.record(
        "hours-booked",
        key="",
        day=found.day,
        operation="set",
        minutes=90,
        instead_of=found.fact,
    )
    state = workshop.state()
    assert state.timers == {}
    assert minutes_of(spent_by(state.booked), is_bench=True) == before + 90
    last = state.booked[-1]
    assert last.assembly == "aileron"
    assert day_of(last, workshop.time_zone) == date(2026, 11, 25)


def test_time_ended_by_mistake_is_corrected_too(
    workshop: Workshop, phone: Phone, clock: Clock
) -> None:
    """A timer that ran for nine hours and was then ended: booked anew, once."""
    phone.record("hours-begun", operation="set")
    clock.go_on(hours=9)
    phone.record("hours-ended")
    (long_one,) = booked(workshop)
    phone.record(
        "hours-booked",
        day="2026-11-25",
        operation="set",
        minutes=60,
        instead_of=long_one.fact,
    )
    assert booked(workshop) == []
    assert workshop.state().booked[-1].seconds == 3600


def test_minutes_by_operation_and_assembly() -> None:
    """Three bookings of two operations; the read drawings are no bench time."""

    def book(operation: str, seconds: int, is_bench: bool) -> Booked:
        return Booked("f", "builder", "flap", operation, seconds, is_bench)

    spent = spent_by(
        [book("drill", 600, True), book("read", 1200, False), book("drill", 660, True)]
    )
    assert spent == (
        Spent("flap", "drill", True, 21, 2),
        Spent("flap", "read", False, 20, 1),
    )
    assert minutes_of(spent, is_bench=True) == 21
    assert minutes_of(spent, is_bench=False) == 20


def test_timer_begun_belongs_to_the_shops_day() -> None:
    """23:30 UTC in July is the next day in London, in winter the same."""
    one = Booked("f", "builder", "", "set", 60, True, began="2026-07-10T23:30:00.000Z")
    assert day_of(one, ZONE) == date(2026, 7, 11)
    one.began = "2026-12-10T23:30:00.000Z"
    assert day_of(one, ZONE) == date(2026, 12, 10)

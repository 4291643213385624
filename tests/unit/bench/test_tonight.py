"""Which day, which hours, whose hands: as asked, else by calendar and clock."""

from __future__ import annotations

from datetime import UTC, date, datetime, time

import pytest

from rivetwright.bench.tonight import (
    Asked,
    asking_of,
    chain_for,
    closing_steps,
    quiet_time,
    tonight,
)
from rivetwright.bench.tonight_result import tonight_result
from rivetwright.bench.workshop import Workshop
from rivetwright.errors import NotFound, Refusal
from rivetwright.model.shop import Shop
from tests.unit.bench.conftest import Clock, Phone

THURSDAY, SATURDAY = date(2026, 11, 26), date(2026, 11, 28)


@pytest.mark.parametrize(
    ("now", "begins", "minutes"),
    [
        # Wednesday, no day of the calendar: the next one, Thursday evening.
        (datetime(2026, 11, 25, 19, 0), datetime(2026, 11, 26, 19, 0), 120),
        (datetime(2026, 11, 26, 12, 0), datetime(2026, 11, 26, 19, 0), 120),
        # An evening that has begun: what is over is over.
        (datetime(2026, 11, 26, 19, 45), datetime(2026, 11, 26, 19, 45), 75),
        (datetime(2026, 11, 26, 21, 30), datetime(2026, 11, 28, 9, 0), 180),
    ],
)
def test_day_and_hours_by_calendar_and_clock(
    workshop: Workshop, clock: Clock, now: datetime, begins: datetime, minutes: float
) -> None:
    """London keeps UTC in November."""
    clock.now = now.replace(tzinfo=UTC)
    session = tonight(workshop).session
    assert (session.begins, session.minutes) == (begins, minutes)
    assert session.has_second is (begins.date() == SATURDAY)


def test_what_is_asked_goes_before(workshop: Workshop) -> None:
    """Sunday, from ten, an hour and a half, with a second person."""
    asked = Asked(date(2026, 11, 29), 1.5, time(10), second=True)
    told = tonight(workshop, asked)
    assert told.session.begins == datetime(2026, 11, 29, 10)
    assert told.session.minutes == 90
    assert told.session.has_second
    assert not told.is_in_calendar


def test_hours_said_in_the_evening_count_from_now(
    workshop: Workshop, clock: Clock
) -> None:
    """Half past eight, an hour free: from half past eight, half of it noisy."""
    clock.now = datetime(2026, 11, 26, 20, 30, tzinfo=UTC)
    session = tonight(workshop, Asked(THURSDAY, hours=1)).session
    assert (session.begins.hour, session.begins.minute) == (20, 30)
    assert (session.minutes, session.noisy_minutes) == (60, 30)


@pytest.mark.parametrize("hours", [0, -1, 25])
def test_hours_that_are_none_are_refused(workshop: Workshop, hours: float) -> None:
    """Told what is allowed and what to do."""
    with pytest.raises(Refusal, match="at most 24 hours"):
        tonight(workshop, Asked(hours=hours))


def test_a_lent_tool_holds_its_rows_up(workshop: Workshop) -> None:
    """Without the deep yoke nothing squeezes B3, B4 and B8."""
    told = tonight(workshop, Asked(THURSDAY, out=("Y2",)))
    waiting = {h.wait.name for h in told.now.held if h.pieces[0].step == "rib-3"}
    assert "Y2" in waiting


def test_a_visit_that_is_agreed(workshop: Workshop, phone: Phone) -> None:
    """A step noted as booked, with its day in the note."""
    phone.record("step-noted", step="aileron-7", state="booked", note="2026-12-12, ten")
    told = tonight(workshop)
    asking = asking_of(told.work, told.today)
    assert asking.booked == {"aileron/aileron-7": date(2026, 12, 12)}
    chain = chain_for(told.work, told.today, "aileron/aileron-8")
    assert chain.earliest is not None
    assert chain.earliest >= date(2026, 12, 12)


def test_a_step_that_is_none_is_refused(workshop: Workshop) -> None:
    """With the nearest name."""
    told = tonight(workshop)
    with pytest.raises(NotFound, match="nearest: aileron/aileron-8"):
        chain_for(told.work, told.today, "aileron/aileron-88")


def test_steps_that_shut_something_in(workshop: Workshop) -> None:
    """Closings and inspections, as the steps of the scenario have them."""
    assert closing_steps(tonight(workshop).work) == (
        *("aileron/aileron-5", "aileron/aileron-7", "aileron/aileron-8"),
        *("flap/flap-5", "flap/flap-6", "flap/flap-8"),
        "root-rib-sb-07/wing-15",
    )


@pytest.mark.parametrize(
    ("written", "hour"),
    [("21:00", time(21)), ("", None), ("late", None), ("22", time(22))],
)
def test_hour_of_quiet(written: str, hour: time | None) -> None:
    """As the shop file writes it; what is no time is none."""
    assert quiet_time(Shop("s", "s", "in", quiet_after=written)) == hour


def test_result_says_the_whole_evening(workshop: Workshop) -> None:
    """Minutes add up; what waits names its thing; nothing stands twice."""
    told = tonight(workshop, Asked(date(2026, 11, 25)))
    chain = chain_for(told.work, told.today, "aileron/aileron-8", SATURDAY)
    made = tonight_result(told, chain)
    assert sum(one["likely_min"] for one in made["can"]) == pytest.approx(99.9, abs=0.2)
    assert made["closing"]["is_possible"] is False
    assert made["closing"]["earliest"] == "2026-12-08"
    things = {
        (one["waits_for"]["kind"], one["waits_for"]["name"]) for one in made["unlocks"]
    }
    assert ("tool", "BB3") in things

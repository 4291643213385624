"""Futures of what is left: laws that hold whatever is drawn."""

from __future__ import annotations

from datetime import date, timedelta

import numpy as np
import pytest

from rivetwright.engines.forecast.pace import pace_of
from rivetwright.engines.forecast.rates import Lot, rates_from
from rivetwright.engines.forecast.tasks import Task, WorkAhead
from rivetwright.engines.forecast.trials import (
    Forecast,
    Known,
    Rework,
    forecast,
    usual_known,
)
from rivetwright.engines.network.calendar import Weekly
from rivetwright.engines.work.rates import Logged
from rivetwright.engines.work.waits import PART, Wait
from rivetwright.standards.work import usual_rate

TODAY = date(2026, 11, 25)
WEEK = Weekly((0, 120, 0, 120, 0, 180, 0), (5,))
TRIALS = 800


def _known(lines: int = 0) -> Known:
    """A builder who drills at the table's rate, with so many lines of log."""
    each = usual_rate("match-drill").value.minutes
    log = [Logged("match-drill", each * 100, None, "100 holes")] * lines
    days = [TODAY - timedelta(days=k) for k in range(1, 8 * 7)]
    booked = {day: WEEK.minutes[day.weekday()] for day in days}
    pace = pace_of(WEEK, booked, days[-1], TODAY)
    return usual_known(TODAY, rates_from(log), pace, Rework(1000, 0))


def _task(
    key: str, holes: int, needs: tuple[str, ...] = (), waits: tuple[Wait, ...] = ()
) -> Task:
    each = usual_rate("match-drill").value.minutes
    lots = (Lot("match-drill", 0, holes, each * holes),)
    return Task(key, "a", key, lots, 0, needs, waits, False, False)


def _told(*tasks: Task, lines: int = 0) -> Forecast:
    return forecast(WorkAhead(tasks, ()), _known(lines), TRIALS)


def test_nothing_left_takes_no_time() -> None:
    """No task: no hours, done today."""
    told = _told()
    assert (told.hours.low, told.hours.high, told.last_day.high) == (0, 0, 0)
    assert told.date_at(0.9) == TODAY


def test_the_range_holds_what_the_table_says() -> None:
    """A thousand holes at 1.18 minutes are 19.7 hours; 5 % beside them 20.7."""
    told = _told(_task("drill", 1000)).hours
    assert told.low < 20.7 < told.high
    assert told.likely == pytest.approx(20.7, rel=0.15)


def test_a_log_narrows_the_range() -> None:
    """Forty lines of one's own leave less than half of the table's range."""
    bare, own = _told(_task("d", 1000)).hours, _told(_task("d", 1000), lines=40).hours
    assert own.high / own.low < (bare.high / bare.low) ** 0.5


def test_more_work_takes_longer() -> None:
    """Twice the holes: more hours in nearly every future, and a later day."""
    small, large = _told(_task("d", 500)), _told(_task("d", 1000))
    assert np.mean(large.whole_minutes > small.whole_minutes) > 0.95
    assert large.last_day.likely > small.last_day.likely


def test_nothing_is_begun_before_its_part_comes() -> None:
    """A part due in 30 days: none is begun before.

    Two fifths of deliveries are late, by ten days on average: more than three days in
    .4 x exp(-.3) = 30 % of the futures.
    """
    wait = Wait(PART, "709B", "", TODAY + timedelta(days=30), "on order")
    told = _told(_task("d", 10, waits=(wait,)))
    assert told.done.begin_day.min() >= 30
    late = float(np.mean(told.tasks.from_day > 30 + 3))
    assert late == pytest.approx(0.4 * np.exp(-0.3), abs=0.05)


def test_what_comes_after_ends_after() -> None:
    """In every future a task begins no sooner than the one that it needs ended."""
    told = _told(_task("b", 200, needs=("a",)), _task("a", 200))
    assert np.all(told.done.begin_day[:, 0] >= told.done.end_day[:, 1])


def test_the_same_seed_is_the_same_forecast() -> None:
    """Asked twice, the answer is the same to the last digit."""
    one, two = _told(_task("d", 300)), _told(_task("d", 300))
    assert np.array_equal(one.whole_minutes, two.whole_minutes)
    assert np.array_equal(one.done.end_day, two.done.end_day)
    assert one.date_at(0.5) <= one.date_at(0.9)


def test_hours_of_the_assemblies_are_the_whole() -> None:
    """One assembly alone has all the hours."""
    told = _told(_task("d", 300))
    assert told.assembly_hours()["a"].likely == pytest.approx(told.hours.likely)
    assert told.end_of("a").likely == told.last_day.likely


def test_work_for_two_is_parted_into_meetings() -> None:
    """150 minutes for two are three portions of 50; what needed it needs the last."""
    lots = (Lot("gun and bar", 0, 60, 150.0),)
    pair = Task("pair", "a", "s", lots, 60, ("x",), (), True, False)
    parted = WorkAhead((pair, _task("after", 10, needs=("pair",))), ()).in_portions()
    assert [one.key for one in parted.tasks] == ["pair|1", "pair|2", "pair|3", "after"]
    assert [one.needs for one in parted.tasks] == [
        ("x",),
        ("pair|1",),
        ("pair|2",),
        ("pair|3",),
    ]
    assert [one.usual_minutes for one in parted.tasks[:3]] == [50, 50, 50]
    assert sum(one.rivets for one in parted.tasks) == 60

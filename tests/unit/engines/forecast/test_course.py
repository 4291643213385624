"""The usual course: its chain, idle sittings, and what may be late."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

from rivetwright.engines.forecast.course import Course, usual_course
from rivetwright.engines.forecast.pace import pace_of
from rivetwright.engines.forecast.rates import Lot, rates_from
from rivetwright.engines.forecast.tasks import Task, WorkAhead
from rivetwright.engines.forecast.trials import Rework, forecast, usual_known
from rivetwright.engines.network.calendar import Weekly
from rivetwright.engines.network.chain import Because
from rivetwright.engines.work.waits import PART, Wait

TODAY = date(2026, 11, 25)
WEEK = Weekly((0, 120, 0, 120, 0, 180, 0), (5,))


def _wait(days: int) -> Wait:
    return Wait(PART, f"due in {days}", "", TODAY + timedelta(days=days), "on order")


def _task(key: str, hours: float, *, waits: tuple[Wait, ...] = ()) -> Task:
    lots = (Lot("match-drill", 0, 100, hours * 60),)
    return Task(key, "a", key, lots, 0, (), waits, False, False)


def _course(*tasks: Task) -> Course:
    known = usual_known(
        TODAY, rates_from([]), pace_of(WEEK, {}, None, TODAY), Rework(0, 0)
    )
    return usual_course(forecast(WorkAhead(tasks, ()), known, 300))


def test_busy_hands_wait_for_nothing() -> None:
    """Forty hours at hand, a part due in a week for the last: no sitting is idle.

    The part may be weeks late: its hour is done last all the same.
    """
    course = _course(_task("work", 40), _task("last", 1, waits=(_wait(7),)))
    assert course.idle == 0
    assert [link.because for link in course.links] == [Because.TODAY, Because.HANDS]
    assert course.spares[0].days is not None
    assert course.spares[0].days >= 42


def test_a_late_part_leaves_hands_idle() -> None:
    """An hour at hand, a part due in 100 days: it alone decides, and has no day."""
    course = _course(_task("work", 1), _task("last", 1, waits=(_wait(100),)))
    assert course.idle > 10
    assert [link.because for link in course.links] == [Because.DAY]
    assert course.last_day >= 100
    assert [one.days for one in course.spares] == [0]


def test_nothing_left_has_no_chain() -> None:
    """No task, no link, no spare."""
    course = _course()
    assert (course.links, course.spares, course.last_day) == ((), (), 0)


def test_a_second_thing_has_its_own_spare() -> None:
    """Of two parts the one due later leaves the other days to spare."""
    late, early = _wait(100), _wait(20)
    course = _course(
        replace(_task("x", 1), waits=(late,)), replace(_task("y", 1), waits=(early,))
    )
    spare = {one.wait.name: one.days for one in course.spares}
    assert spare["due in 100"] == 0
    assert spare["due in 20"] is not None
    assert spare["due in 20"] >= 56

"""How the calendar is kept: the demo's weeks by hand, and sittings as they may come."""

from __future__ import annotations

from datetime import date
from math import exp, log

import numpy as np
import pytest

from rivetwright.engines.forecast.pace import Pace, pace_of
from rivetwright.engines.network.calendar import Weekly, weekly_of
from rivetwright.model.shop import Person, Shop, WorkTime

TODAY = date(2026, 11, 25)
WEEK = Weekly((0, 120, 0, 120, 0, 180, 0), (5,))
# Minutes booked on each day of the demo's log, added up by hand.
BOOKED = {
    date(2026, 10, 3): 155.0,
    date(2026, 10, 6): 150.0,
    date(2026, 10, 10): 165.0,
    date(2026, 10, 13): 45.0,
    date(2026, 10, 17): 56.0,
    date(2026, 10, 20): 25.0,
    date(2026, 10, 24): 95.0,
    date(2026, 10, 31): 105.0,
    date(2026, 11, 3): 60.0,
    date(2026, 11, 7): 94.0,
    date(2026, 11, 10): 15.0,
    date(2026, 11, 14): 45.0,
    date(2026, 11, 21): 90.0,
}


@pytest.fixture
def pace() -> Pace:
    """The demo's pace."""
    return pace_of(WEEK, BOOKED, date(2026, 10, 3), TODAY)


def test_days_that_were_kept(pace: Pace) -> None:
    """2026-10-03 to 11-24: 8 Tuesdays, 5 kept; 7 Thursdays, none; 8 Saturdays, all.

    Pulled toward 0.7 as if by three sittings: 7.1 / 11, 2.1 / 10 and 10.1 / 11.
    """
    assert [(one.planned, one.worked) for one in pace.kept] == [(8, 5), (7, 0), (8, 8)]
    shares = [one.share for one in pace.kept]
    assert shares == pytest.approx([7.1 / 11, 2.1 / 10, 10.1 / 11])


def test_how_long_they_were(pace: Pace) -> None:
    """1,100 of 8 x 180 + 5 x 120 = 2,040 planned minutes: 0.539, pulled toward 0.85.

    Thirteen sittings weigh 13 / .6^2 = 36.1, the judged share 1 / .25^2 = 16: the
    logarithm is (16 x -.1625 + 36.1 x -.6177) / 52.1 = -.478, 0.620 of what is
    planned.
    """
    assert sum(BOOKED.values()) == 1100
    middle = (16 * log(0.85) + 13 / 0.36 * log(1100 / 2040)) / (16 + 13 / 0.36)
    assert pace.length_log == pytest.approx(middle)
    assert exp(pace.length_log) == pytest.approx(0.620, abs=0.001)


def test_a_week_to_be_expected(pace: Pace) -> None:
    """(120 x .645 + 120 x .21 + 180 x .918) x .62 x .94: 156 minutes, 2.6 hours."""
    assert pace.week_minutes == pytest.approx(156, abs=1)


def test_nothing_booked_is_the_judged_pace() -> None:
    """Before the first day 0.7 of the sittings are kept, 0.85 of each is worked."""
    fresh = pace_of(WEEK, {}, None, TODAY)
    assert [one.share for one in fresh.kept] == pytest.approx([0.7] * 3)
    assert exp(fresh.length_log) == pytest.approx(0.85)
    assert fresh.weeks == 0


def test_sittings_ahead_have_that_pace(pace: Pace) -> None:
    """Two thousand futures of 26 weeks: minutes of a week on average within 6 %."""
    ahead = pace.sittings_ahead(TODAY, 78, 2000, 1)
    assert ahead.day[0] == 1
    assert (TODAY.weekday() + ahead.day[:3]).tolist() == [3, 5, 8]
    assert ahead.has_second.tolist() == [False, True, False] * 26
    a_week = float(ahead.minutes.sum(axis=1).mean()) / 26
    assert a_week == pytest.approx(pace.week_minutes, rel=0.06)


def test_more_sittings_begin_with_the_same(pace: Pace) -> None:
    """Asked for twice as many, the first ones are those of before."""
    few, many = (pace.sittings_ahead(TODAY, count, 40, 5) for count in (30, 60))
    assert np.array_equal(many.minutes[:, :30], few.minutes)


def test_week_of_a_shop() -> None:
    """Minutes by weekday; the second person's days out of his note."""
    shop = Shop(
        "s",
        "S",
        "in",
        people=(Person("f", "F", "helper", "Saturdays only"),),
        calendar=(WorkTime("Tuesday", 2), WorkTime("Saturday", 3)),
    )
    week = weekly_of(shop)
    assert week.minutes == (0, 120, 0, 0, 0, 180, 0)
    assert week.second_days == (5,)
    assert not weekly_of(None).is_said

"""Own rates: the table without a log, one's own with a long one."""

from __future__ import annotations

from math import log, sqrt

import pytest
from scipy.stats import t as student

from rivetwright.engines.forecast.rates import OwnRates, rates_from
from rivetwright.engines.work.rates import DEFAULT, OWN, Logged
from rivetwright.standards.forecast import forecast_figure
from rivetwright.standards.work import usual_rate

DRILL, DEBURR = "match-drill", "deburr"


def _log(each: float, count: int, lines: int) -> list[Logged]:
    """So many lines of so many holes, each hole at some minutes."""
    return [Logged(DRILL, each * count, None, f"{count} holes")] * lines


def _drill(rates: OwnRates) -> float:
    return rates.rate(DRILL).minutes


def test_without_a_log_the_table_speaks() -> None:
    """The table's minutes; the range by hand from the spreads judged beforehand.

    Builder .3 and operation .27 are .404 together; a line scatters .3 x 1.25 = .375;
    both .551; a range of 80 % of Student's t with eight degrees is 1.397 of it: .770
    in the logarithm, 0.46 to 2.16.
    """
    rates = rates_from([])
    told = rates.rate(DRILL)
    assert told.minutes == pytest.approx(usual_rate(DRILL).value.minutes)
    assert told.basis == DEFAULT
    half = float(student.ppf(0.9, 8)) * sqrt(0.3**2 + 0.27**2 + 0.375**2)
    assert log(told.high_ratio) == pytest.approx(half)
    assert (told.low_ratio, told.high_ratio) == pytest.approx((0.463, 2.16), abs=0.01)
    assert rates.own_share(DRILL) == pytest.approx(0, abs=1e-9)


def test_a_long_log_speaks_for_itself() -> None:
    """Sixty lines at twice the table: within 6 % of them, and hardly the table's."""
    twice = 2 * usual_rate(DRILL).value.minutes
    rates = rates_from(_log(twice, 10, 60))
    assert _drill(rates) == pytest.approx(twice, rel=0.06)
    told = rates.rate(DRILL)
    assert (told.basis, told.entries, told.count) == (OWN, 60, 600)
    assert rates.own_share(DRILL) > 0.9


def test_a_thin_log_is_pulled_to_the_table() -> None:
    """One line at twice the table lies between the two, two lines lie nearer."""
    usual = usual_rate(DRILL).value.minutes
    one, two = (_drill(rates_from(_log(2 * usual, 150, n))) for n in (1, 2))
    assert usual < one < two < 2 * usual


def test_who_is_slow_in_one_thing_may_be_in_others() -> None:
    """Deburring was never logged: it follows drilling a part of the way."""
    usual = usual_rate(DEBURR).value.minutes
    rates = rates_from(_log(2 * usual_rate(DRILL).value.minutes, 10, 60))
    told = rates.rate(DEBURR)
    assert usual < told.minutes < 2 * usual
    assert told.basis == DEFAULT


def test_one_odd_evening_moves_it_little() -> None:
    """Among twelve lines one of ten times the minutes moves the rate less than 10 %."""
    lines = _log(1.18, 40, 12)
    odd = Logged(DRILL, 1.18 * 400, None, "40 holes")
    before, after = _drill(rates_from(lines)), _drill(rates_from([*lines, odd]))
    assert abs(log(after / before)) < 0.1


def test_repetition_that_saves_much_is_seen() -> None:
    """Minutes that fall by a fifth at each doubling pull the slope below the judged."""
    done, lines = 0, []
    for count in (10, 20, 40, 80, 160, 320, 640):
        middle = done + 0.4 * count
        each = 2.0 * middle ** log(0.8, 2)
        lines.append(Logged(DRILL, each * count, None, f"{count} holes"))
        done += count
    low, likely, high = rates_from(lines * 1).slope
    assert likely < forecast_figure("slope") - 0.02
    assert low < likely < high


def test_lines_that_counted_nothing_are_time_beside() -> None:
    """Tidying is hours, and no rate."""
    rates = rates_from([Logged("put away, move assemblies", 40.0)])
    assert (rates.minutes, rates.beside_minutes) == (40, 40)
    assert rates.lots == ()

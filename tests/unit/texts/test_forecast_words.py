"""Hours, days and what is waited for, in words."""

from __future__ import annotations

from datetime import date

import pytest

from rivetwright.bench.forecast import RateLine
from rivetwright.bench.step_network import StepView
from rivetwright.engines.forecast.course import Spare
from rivetwright.engines.forecast.tasks import LeftOut
from rivetwright.engines.forecast.trials import Range
from rivetwright.engines.work.rates import WorkRate
from rivetwright.engines.work.waits import ANSWER, DELIVERY, PART, TOOL, Wait
from rivetwright.standards.source import Status
from rivetwright.texts.forecast_words import (
    say_basis,
    say_day,
    say_days,
    say_each,
    say_hours,
    say_hours_range,
    say_left_out,
    say_spare,
    say_step_lines,
    say_waits,
)

DUE = Wait(PART, "709B", "", date(2026, 12, 18), "on order")
DAY = date(2027, 2, 13)


def _rate(entries: int, minutes: float = 1.8) -> RateLine:
    basis = "own" if entries else "default"
    rate = WorkRate(
        "squeezer", "rivet", minutes, 0.5, 2.0, basis, entries, 0, Status.OWN_TEST
    )
    return RateLine("squeezer", "rivet", 0, 0.0, 0, 0.0, rate, 1.17, 0.3)


@pytest.mark.parametrize(
    ("hours", "said"), [(0.34, "0.3 h"), (9.94, "9.9 h"), (27.6, "28 h")]
)
def test_hours_have_tenths_under_ten(hours: float, said: str) -> None:
    """Nobody wants tenths of thirty hours."""
    assert say_hours(hours) == said


def test_ranges() -> None:
    """From low to high; one figure where both are the same."""
    assert say_hours_range(Range(5.04, 6.0, 12.3)) == "5.0 to 12 h"
    assert say_hours_range(Range(0.0, 0.0, 0.0)) == "0.0 h"
    assert say_days(DAY, None) == "2027-02-13 to no day"
    assert say_day(DAY) == "2027-02-13"


def test_rates_with_what_they_rest_on() -> None:
    """Two digits for few minutes; one line is no lines."""
    assert say_each(_rate(2)) == ("1.8 min per rivet", "0.9 to 3.6")
    assert say_basis(_rate(1)) == "your log, 1 line"
    assert say_basis(_rate(3)) == "your log, 3 lines"
    assert say_basis(_rate(0)) == "usual figure, moved by your other rates"


def test_what_is_waited_for() -> None:
    """A part with its day, an answer, a tool nobody gave a day for."""
    waits = (DUE, Wait(ANSWER, "Q-2"), Wait(TOOL, "BP2", state="on order"))
    assert say_waits(waits) == (
        "waits for part 709B, due 2026-12-18; the answer to Q-2; tool BP2, no day told"
    )
    assert say_waits(()) == ""


def test_what_has_no_date() -> None:
    """What is not ordered, what nobody spoke of, and what comes after such a step."""
    kit = Wait(DELIVERY, "wing kit", state="not ordered")
    assert say_left_out(LeftOut("a", "w", (kit,))) == "wing kit: not ordered"
    tool = Wait(TOOL, "X1")
    said = "tool X1: nobody has ordered it"
    assert say_left_out(LeftOut("a", "w", (tool,))) == said
    assert say_left_out(LeftOut("a", "w", (), "wing-4")) == "after wing-4"


@pytest.mark.parametrize(
    ("days", "said"), [(0, "none"), (21, "21 days"), (None, "more than 168 days")]
)
def test_how_late_it_may_come(days: int | None, said: str) -> None:
    """Where even half a year moves nothing, that is said."""
    assert say_spare(Spare(DUE, 23.0, days)) == said


def test_lines_of_a_step() -> None:
    """State first, then hours and day, what it waits for and what it closes."""
    step = StepView(
        "flap-8",
        "hinge",
        "not started",
        ("flap-7",),
        False,
        ("C-BS",),
        True,
        Range(1.0, 1.5, 2.2),
        (DAY, DAY, DAY),
        (DUE,),
        0.0,
        None,
    )
    assert say_step_lines(step) == (
        "not started",
        "1.5 h, likely done 2027-02-13",
        "waits for part 709B, due 2026-12-18",
        "closes C-BS",
    )

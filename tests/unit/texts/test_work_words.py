"""The work that is left in words: times, holes, waits, answers."""

from __future__ import annotations

from datetime import date

import pytest

from rivetwright.engines.work.chain import Chain
from rivetwright.engines.work.waits import HERE, HOLD, SECOND, STOCK, TOOL, Wait
from rivetwright.standards.work import usual_rates
from rivetwright.texts.catalogue import catalogue
from rivetwright.texts.work_words import (
    joined_names,
    say_answer,
    say_count,
    say_range,
    say_time,
    say_wait,
)
from tests.unit.engines.work.made_work import minutes


@pytest.mark.parametrize(
    ("likely", "said"),
    [
        (0.2, "1 min"),
        (20, "20 min"),
        (119.4, "119 min"),
        (120, "2 h"),
        (135, "2 h 15 min"),
    ],
)
def test_times_are_said_as_one_plans_an_evening(likely: float, said: str) -> None:
    """Whole minutes, hours from two on."""
    assert say_time(likely) == said


def test_ranges() -> None:
    """From 0.8 to 1.6 of the likely minutes."""
    assert say_range(minutes(20)) == "20 min (16 to 32)"
    assert say_range(minutes(150)) == "2 h 30 min (2 h to 4 h)"


@pytest.mark.parametrize(
    ("names", "said"),
    [
        (("A17", "A18"), ["A17", "A18"]),
        (("A19:7", "A19:1-6"), ["A19:1-7"]),
        (("A12:1-17", "A12:21-36"), ["A12:1-17", "A12:21-36"]),
        (("B9", "B19:3", "B19:1-2"), ["B9", "B19:1-3"]),
    ],
)
def test_neighbours_are_one_range(names: tuple[str, ...], said: list[str]) -> None:
    """Holes that follow on one another, whatever tool reaches them."""
    assert joined_names(names) == said


@pytest.mark.parametrize(
    ("wait", "said"),
    [
        (Wait("answer", "Q-2"), "the answer to Q-2"),
        (
            Wait("part", "709B", until=date(2026, 12, 18)),
            "part 709B, due 2026-12-18",
        ),
        (Wait("part", "903", state="not ordered"), "part 903, not ordered"),
        (Wait(TOOL, ""), "a tool that gets there: none does, owned or on order"),
        (Wait(SECOND, ""), "a second person"),
        (Wait(STOCK, "BF4-2", state="3"), "rivets BF4-2, 3 on hand"),
        (
            Wait(HOLD, "D7", state=HERE),
            "hold D7 to be lifted: what it waited for is here",
        ),
        (
            Wait("drying", "501", until=date(2026, 11, 26)),
            "dry primer on 501, due 2026-11-26",
        ),
    ],
)
def test_what_is_waited_for(wait: Wait, said: str) -> None:
    """With its day, or where it stands."""
    assert say_wait(wait) == said


def test_answers_to_a_date() -> None:
    """Yes, no, no with what has no day, and just the earliest."""
    day, late = date(2026, 11, 28), date(2026, 12, 8)
    yes = say_answer(Chain("a/1", day, day, ()))
    assert yes.startswith("Yes: it can be done by Sat 2026-11-28")
    assert "not before Tue 2026-12-08" in say_answer(Chain("a/1", day, late, ()))
    assert say_answer(Chain("a/1", None, late, ())) == "Not before Tue 2026-12-08."
    assert "No day within three years" in say_answer(Chain("a/1", day, None, ()))


def test_every_operation_has_words() -> None:
    """Those of the table of rates, and how each is counted, one and many."""
    for one in usual_rates():
        assert catalogue().word("work_does", one.value.name)
        assert say_count(one.value.counted, 1).startswith("1 ")
        assert say_count(one.value.counted, 3).startswith("3 ")

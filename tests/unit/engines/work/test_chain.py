"""The chain in the way of a date, laid into the days of a calendar by hand.

November 2026: the 24th is a Tuesday.  Tuesdays and Thursdays 120 min, Saturdays 180
with a second person.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date, time

import pytest

from rivetwright.engines.work.calendar import Week, days_named, notice_days, week_of
from rivetwright.engines.work.chain import Asking, Chain, chain_to
from rivetwright.engines.work.gates import Gates
from rivetwright.engines.work.pieces import Needs, Piece
from rivetwright.engines.work.waits import Wait
from rivetwright.model.shop import Person, Shop, WorkTime
from tests.unit.engines.work.made_work import ANSWER, piece

MONDAY = date(2026, 11, 23)
EVENING, MORNING = time(19), time(9)
WEEK = Week(
    {1: 120.0, 3: 120.0, 5: 180.0},
    {1: EVENING, 3: EVENING, 5: MORNING},
    frozenset({5}),
)


def chain(rows: list[Piece], goal: str, day: date | None = None) -> Chain:
    """The chain to a step, asked on Monday, the inspector ten days off."""
    return chain_to(Gates(rows), f"a/{goal}", Asking(MONDAY, WEEK, 10, {}), day)


def test_work_alone_is_laid_into_evenings() -> None:
    """100 + 100 min: Tuesday 120, so 80 are left for Thursday."""
    rows = [piece("A", "1", 100), piece("B", "2", 100, after=["step:1"])]
    found = chain(rows, "2", date(2026, 11, 26))
    assert found.earliest == date(2026, 11, 26)
    assert found.is_possible
    assert [(link.step, link.ends.day) for link in found.links] == [
        ("a/1", 24),
        ("a/2", 26),
    ]
    assert not chain(rows, "2", date(2026, 11, 25)).is_possible


def test_a_part_decides_the_day() -> None:
    """Due on Friday: worked on Saturday; step 1 is no part of the chain any more."""
    part = Wait("part", "9", until=date(2026, 11, 27))
    rows = [piece("A"), piece("B", "2", after=["step:1"], waits=[part])]
    found = chain(rows, "2")
    assert found.earliest == date(2026, 11, 28)
    last = found.links[-1]
    assert (last.decides, last.ready) == (part, date(2026, 11, 27))
    assert [link.is_chain for link in found.links] == [False, True]


def test_primer_dries_overnight() -> None:
    """Primed on Tuesday with an hour to spare: riveted on Thursday."""
    prime = replace(piece("P", operation="prime"), part="501", way="")
    row = replace(piece("A", "2", after=["step:1"]), needs=Needs(parts=("501",)))
    assert chain([prime, row], "2").earliest == date(2026, 11, 26)


def test_two_people_only_on_saturdays() -> None:
    """Ten minutes with gun and bar: not before the 28th."""
    assert chain([piece("A", people=2)], "1").earliest == date(2026, 11, 28)


def test_the_inspector_comes_after_his_notice_or_when_agreed() -> None:
    """Ten days from the 23rd: Thursday 3 December; agreed for the 26th: then."""
    visit = Wait("inspector", "1")
    rows = [piece("A", waits=[visit])]
    assert chain(rows, "1").earliest == date(2026, 12, 3)
    agreed = Asking(MONDAY, WEEK, 10, {"a/1": date(2026, 11, 26)})
    assert chain_to(Gates(rows), "a/1", agreed, None).earliest == date(2026, 11, 26)


def test_what_nobody_can_date_is_no_yes() -> None:
    """The hours would do, but an answer has no day."""
    found = chain([piece("A", waits=[ANSWER])], "1", date(2026, 12, 31))
    assert found.earliest == date(2026, 11, 24)
    assert found.unknown == (ANSWER,)
    assert not found.is_possible


def test_holes_left_open_stand_in_nobodys_way() -> None:
    """A part on back order for holes that the drawing leaves open."""
    later = Wait("part", "7", is_open=True)
    rows = [piece("A"), piece("A2", waits=[later])]
    assert chain(rows, "1", date(2026, 11, 24)).is_possible


def test_a_step_that_is_done_is_possible_today() -> None:
    """Nothing is left in it."""
    found = chain([piece("A")], "9", MONDAY)
    assert (found.earliest, found.links) == (MONDAY, ())
    assert found.is_possible


def test_where_nobody_is_named_any_day_does() -> None:
    """A week without a second person: two-handed work is laid into any evening."""
    alone = Week(WEEK.minutes, WEEK.begins, frozenset())
    rows = [piece("A", people=2), piece("B", "2", after=["step:1"])]
    found = chain_to(Gates(rows), "a/2", Asking(MONDAY, alone, 10, {}), None)
    assert found.earliest == date(2026, 11, 24)


def test_what_no_calendar_has_room_for() -> None:
    """420 min a week for 156 weeks are 65,520 min; what comes after is not asked."""
    rows = [piece("A", "1", 70_000), piece("B", "2", after=["step:1"])]
    assert chain(rows, "1").earliest is None
    assert chain(rows, "2").earliest is None


def test_week_of_the_shop() -> None:
    """Evenings at seven, mornings at nine; the friend on the days the note names."""
    calendar = (
        *(WorkTime("Tuesday", 2, "evening"), WorkTime("Thursday", 2, "evening")),
        WorkTime("Saturday", 3, "morning"),
    )
    friend = Person("f", "friend", "helper", "can hold the bar, Saturdays only")
    shop = Shop("s", "s", "in", people=(friend,), calendar=calendar)
    assert week_of(shop) == WEEK
    assert week_of(None).sitting(MONDAY) is not None


@pytest.mark.parametrize(
    ("note", "days"),
    [("about 10 days' notice", 10), ("three weeks", 10), ("call 21 days before", 21)],
)
def test_notice_of_the_inspector(note: str, days: int) -> None:
    """The number of days in the note, else about ten (JUDGEMENT)."""
    shop = Shop("s", "s", "in", people=(Person("i", "i", "inspector", note),))
    assert notice_days(shop) == days


def test_days_named() -> None:
    """Monday is 0; plurals count too."""
    assert days_named("Saturdays and Sunday") == (5, 6)
    assert days_named("any day") == ()

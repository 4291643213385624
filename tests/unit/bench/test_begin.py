"""An opening becomes facts once, in the order of its days, none later than now."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime
from pathlib import Path

import pytest

from rivetwright.bench.begin import Begun, is_bench_time, plan_facts, shop_facts
from rivetwright.bench.now import HoleIds
from rivetwright.bench.workshop import Workshop
from rivetwright.errors import FactRefused
from rivetwright.intake.plan_file import read_plan_text
from rivetwright.model.columns import expand
from rivetwright.model.opening import Opening, Question, WorkDone
from rivetwright.record.fact import Fact
from rivetwright.record.kinds import HoleWorked, OpeningTaken, PlanIssued, RivetsSet
from rivetwright.record.ranges import NAMED_MAX, named
from rivetwright.web.pages.project import starting_plan
from tests.unit.bench.conftest import Clock

DAY = date(2026, 11, 20)
NOW = datetime(2026, 11, 25, 9, 30, tzinfo=UTC)
BEGUN = Begun("project", "builder", NOW, saw=3)
DIGEST = "d" * 64


def facts_of(opening: Opening, *, begun: Begun = BEGUN, count: int = 8) -> list[Fact]:
    """The facts of an opening of a panel with one row of holes, R1."""
    text = starting_plan().replace("count: 8", f"count: {count}")
    plan = replace(read_plan_text(text, "/somewhere/panel.yaml"), opening=opening)
    return plan_facts(HoleIds(expand(plan)), begun, DIGEST)


@pytest.fixture
def row() -> str:
    """The name of the panel's row."""
    return read_plan_text(starting_plan()).rows[0].name


def test_issued_first_and_taken_last() -> None:
    """A plan in which nothing happened is two facts; the file goes by its name."""
    first, last = facts_of(Opening())
    assert isinstance(first.body, PlanIssued)
    assert (first.body.digest, first.revision) == (DIGEST, first.body.revision)
    assert isinstance(last.body, OpeningTaken)
    assert last.body.file == "panel.yaml"
    assert {fact.saw for fact in (first, last)} == {3}


def test_ids_follow_from_what_is_said(row: str) -> None:
    """Made twice, at other moments even, the facts have the same ids, all different."""
    opening = Opening(day=DAY, set_holes=(f"{row}:1-4",), drilled=(f"{row}:1-8",))
    ids = [fact.id for fact in facts_of(opening)]
    later = replace(BEGUN, now=datetime(2027, 1, 1, tzinfo=UTC))
    assert ids == [fact.id for fact in facts_of(opening, begun=later)]
    assert len(set(ids)) == len(ids)
    other = replace(BEGUN, project="another")
    assert not set(ids) & {fact.id for fact in facts_of(opening, begun=other)}


def test_days_in_order_and_noon_of_each(row: str) -> None:
    """Written the other way round; counted from 1 in the order of the days."""
    opening = Opening(
        day=DAY,
        done=(
            WorkDone("deburred", (f"{row}:1-8",), date(2026, 11, 12), by=("friend",)),
            WorkDone("drilled", (f"{row}:1-8",), date(2026, 11, 10)),
        ),
    )
    facts = facts_of(opening)
    assert [fact.happened for fact in facts] == [
        "2026-11-10T12:00:00.000Z",
        "2026-11-10T12:00:00.000Z",
        "2026-11-12T12:00:00.000Z",
        "2026-11-20T12:00:00.000Z",
    ]
    assert [fact.device_seq for fact in facts] == [1, 2, 3, 4]
    assert [fact.person for fact in facts[1:3]] == ["builder", "friend"]


def test_what_names_no_day_counts_last(row: str) -> None:
    """No day of the opening: drilled by the last day that is named, 2026-11-12."""
    opening = Opening(
        drilled=(f"{row}:1-8",),
        done=(WorkDone("deburred", (f"{row}:1-8",), date(2026, 11, 12)),),
        questions=(Question("Q1", (), "which?", date(2026, 11, 11), "this"),),
    )
    days = {fact.kind: fact.happened[:10] for fact in facts_of(opening)}
    assert days["question-asked"] == "2026-11-11"
    assert days["question-answered"] == days["opening-taken"] == "2026-11-12"


def test_nothing_counts_as_later_than_now() -> None:
    """Begun at half past nine of the opening's day, what is marked at ten is later."""
    today = Opening(day=NOW.date())
    assert facts_of(today)[-1].happened == "2026-11-25T09:30:00.000Z"


def test_work_of_no_day_says_so(row: str) -> None:
    """Eight drilled, of which the log names three: the others by the opening's day."""
    opening = Opening(
        day=DAY,
        drilled=(f"{row}:1-8",),
        set_holes=(f"{row}:1-2",),
        done=(WorkDone("drilled", (f"{row}:1-3",), date(2026, 11, 10)),),
    )
    logged, rest, rivets = (fact.body for fact in facts_of(opening)[1:4])
    assert isinstance(logged, HoleWorked)
    assert isinstance(rest, HoleWorked)
    assert isinstance(rivets, RivetsSet)
    counts = [len(list(named(one.holes))) for one in (logged, rest, rivets)]
    assert counts == [3, 5, 2]
    assert logged.note == ""
    assert "not known" in rest.note
    assert "not known" in rivets.note


def test_a_fact_names_no_more_holes_than_it_may(row: str) -> None:
    """5,001 drilled holes are two facts: 5,000 and one."""
    opening = Opening(day=DAY, drilled=(f"{row}:1-{NAMED_MAX + 1}",))
    bodies = [fact.body for fact in facts_of(opening, count=NAMED_MAX + 1)]
    counts = [
        len(list(named(one.holes))) for one in bodies if isinstance(one, HoleWorked)
    ]
    assert counts == [NAMED_MAX, 1]


def test_callout_really_set(row: str) -> None:
    """The line's callout where it has one, else the row's."""
    opening = Opening(
        done=(
            WorkDone("set", (f"{row}:1",), DAY, callout="MS20470AD4-6"),
            WorkDone("set", (f"{row}:2",), DAY),
        ),
    )
    other, drawn = (
        fact.body for fact in facts_of(opening) if isinstance(fact.body, RivetsSet)
    )
    assert isinstance(other, RivetsSet)
    assert isinstance(drawn, RivetsSet)
    assert other.callout == "MS20470AD4-6"
    assert drawn.callout == str(read_plan_text(starting_plan()).rows[0].callout)


def test_day_of_no_calendar_is_refused(row: str) -> None:
    """The year 226 is a slip of the pen; nothing is made of the file."""
    slip = WorkDone("drilled", (f"{row}:1",), date(226, 11, 10))
    with pytest.raises(FactRefused, match="0226-11-10"):
        facts_of(Opening(day=DAY, done=(slip,)))


@pytest.mark.parametrize(
    ("operation", "is_bench"),
    [
        ("match-drill", True),
        ("set, squeezer", True),
        ("read drawings", False),
        ("clean, put away, move assemblies", False),
        ("Order rivets", False),
        ("film", False),
    ],
)
def test_bench_time_apart_from_other_time(operation: str, is_bench: bool) -> None:
    """Reading, tidying, ordering and filming are no bench time."""
    assert is_bench_time(operation) is is_bench


def test_shop_is_counted_after_its_hours(workshop: Workshop) -> None:
    """The demo's shop: hours of 2026-11-21, then tools and stock, then it is taken."""
    shop = workshop.read().project.shop
    assert shop is not None
    facts = shop_facts(shop, BEGUN, DIGEST)
    kinds = list(dict.fromkeys(fact.kind for fact in facts))
    assert kinds == ["hours-booked", "delivered", "counted", "opening-taken"]
    assert {fact.assembly for fact in facts} == {""}


def test_plan_that_came_later_is_taken_then(demo_copy: Path, clock: Clock) -> None:
    """The flap's file is put into the folder after the record was begun.

    Until it is begun too, its own opening holds; then it becomes facts.
    """
    flap = demo_copy / "flap.yaml"
    text = flap.read_text("utf-8")
    flap.unlink()
    workshop = Workshop(demo_copy, clock=clock)
    try:
        workshop.begin()
        flap.write_text(text, "utf-8")
        before = workshop.now().assembly("flap").worked_plan.worked
        assert before.plan.opening.done
        assert workshop.begin()
        after = workshop.now().assembly("flap").worked_plan.worked
        assert after.plan.opening.drilled == before.plan.opening.drilled
        assert workshop.state().flags == []
    finally:
        workshop.close()

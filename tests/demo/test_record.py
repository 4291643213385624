"""Everything that the scenario says has happened is in the demo's record.

The figures are those of the scenario's tables: rows and their set rivets (section 3),
stock (6), steps (7), holes that wait (8), the bulletin (9), the log with its head
checks (10), and the questions (11).
"""

from __future__ import annotations

import shutil
from collections.abc import Iterable, Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest

from rivetwright.bench.hours import spent_by
from rivetwright.bench.now import HoleIds, opening_now
from rivetwright.bench.workshop import Workshop
from rivetwright.model.opening import HoursEntry
from rivetwright.record.chain import Entry
from rivetwright.record.kinds import (
    HeadChecked,
    HoleWorked,
    HoursBooked,
    OpeningTaken,
    RivetRemoved,
    RivetsSet,
)
from rivetwright.record.ranges import named
from rivetwright.record.state import HoleNow

NOW = datetime(2026, 11, 25, 19, 0, tzinfo=UTC)


@pytest.fixture(scope="module")
def workshop(
    root: Path, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[Workshop]:
    """A copy of the demo with its record begun."""
    folder = tmp_path_factory.mktemp("record") / "ostrel"
    shutil.copytree(root / "examples" / "ostrel", folder)
    opened = Workshop(folder, clock=lambda: NOW)
    assert opened.begin()
    yield opened
    opened.close()


@pytest.fixture(scope="module")
def entries(workshop: Workshop) -> list[Entry]:
    """Every entry of the record."""
    return list(workshop.entries())


def hole(workshop: Workshop, key: str, name: str) -> HoleNow:
    """A hole of the record by the plan's name for it."""
    row, number = name.split(":")
    plan = workshop.hole_ids(key).holes.plan
    (row_id,) = [one.id for one in plan.rows if one.name == row]
    return workshop.state().assembly(key).hole(row_id, int(number))


def counts(entries: list[Entry], kind: type, operation: str = "") -> dict[str, int]:
    """Holes of the facts of a kind, by assembly and day."""
    found: dict[str, int] = {}
    for entry in entries:
        body = entry.fact.body
        if not isinstance(body, kind) or operation != getattr(body, "operation", ""):
            continue
        key = f"{entry.fact.assembly} {entry.fact.happened[:10]}"
        found[key] = found.get(key, 0) + len(list(named(body.holes)))  # type: ignore[attr-defined]
    return found


def test_seventy_nine_rivets_sit(workshop: Workshop) -> None:
    """Aileron 44 (20 squeezed, 24 back-riveted), root rib 35 (28 and 7), flap none."""
    sits = {
        key: sum(
            hole.rivet is not None
            for row in workshop.state().assembly(key).rows.values()
            for hole in row.values()
        )
        for key in workshop.plan_ids
    }
    assert sits == {"aileron": 44, "root-rib": 35, "flap": 0}


def test_work_stands_on_its_day(entries: list[Entry]) -> None:
    """Drilled 172, 65 and 89 holes, and so on; the log's counts.

    Dimpled holes: A11 37, A13-A18 6 each, A19-A22 8 each, A23-A26 one each: 37 + 36 +
    32 + 4 = 109. (The log's 255 dimples are the sheets of these: 3 x 37 + 2 x 72.)
    """
    assert counts(entries, HoleWorked, "drilled") == {
        "aileron 2026-10-03": 172,
        "root-rib 2026-10-24": 65,
        "flap 2026-11-21": 89,
    }
    assert counts(entries, HoleWorked, "deburred") == {
        "aileron 2026-10-06": 172,
        "root-rib 2026-10-31": 65,
    }
    assert counts(entries, HoleWorked, "dimpled") == {"aileron 2026-10-10": 109}
    assert counts(entries, HoleWorked, "primed") == {
        "aileron 2026-10-10": 172,
        "root-rib 2026-11-03": 65,
    }


def test_rivets_were_set_on_their_days(entries: list[Entry]) -> None:
    """20 and 24, two replaced; 28 + 7, one replaced. Removed: two, then one."""
    assert counts(entries, RivetsSet) == {
        "aileron 2026-10-13": 20,
        "aileron 2026-10-17": 24,
        "aileron 2026-10-20": 2,
        "root-rib 2026-11-07": 35,
        "root-rib 2026-11-10": 1,
    }
    assert counts(entries, RivetRemoved) == {
        "aileron 2026-10-20": 2,
        "root-rib 2026-11-10": 1,
    }


@pytest.mark.parametrize(
    ("key", "name", "day"),
    [
        ("aileron", "A5:2", "2026-10-20"),
        ("aileron", "A14:3", "2026-10-20"),
        ("root-rib", "B1:5", "2026-11-10"),
    ],
)
def test_drilled_out_rivets_were_replaced(
    workshop: Workshop, key: str, name: str, day: str
) -> None:
    """One removal each, and the rivet that sits there now is of that day.

    The head that was checked was the first rivet's, not that of the one there now.
    """
    found = hole(workshop, key, name)
    assert found.removed_count == 1
    assert found.rivet is not None
    assert found.rivet.at.startswith(day)
    ((head, rivet),) = [(one.fact, one.rivet) for one in found.heads]
    assert head
    assert rivet not in ("", found.rivet.fact)


def test_b13_was_set_with_the_friend(entries: list[Entry], workshop: Workshop) -> None:
    """Seven rivets by gun and bar; everything else by the builder alone."""
    (b13,) = [
        entry.fact.body
        for entry in entries
        if isinstance(entry.fact.body, RivetsSet)
        and entry.fact.body.people == ("builder", "friend")
    ]
    assert workshop.hole_ids("root-rib").names(b13.holes) == ("B13:1-7",)
    assert b13.setup == "gun and bar"
    assert {entry.fact.person for entry in entries} == {"builder"}


def test_ten_heads_were_checked(entries: list[Entry], workshop: Workshop) -> None:
    """Seven on 2026-10-17, three on 2026-11-07, as measured [in]."""
    assert counts(entries, HeadChecked) == {
        "aileron 2026-10-17": 7,
        "root-rib 2026-11-07": 3,
    }
    checked = {
        ("aileron", "A3:1"): (0.210, 0.064),
        ("aileron", "A5:1"): (0.210, 0.064),
        ("aileron", "A5:2"): (0.205, 0.058),
        ("aileron", "A6:2"): (0.196, 0.073),
        ("aileron", "A9:2"): (0.213, 0.068),
        ("aileron", "A14:3"): (0.115, 0.052),
        ("aileron", "A15:5"): (0.148, 0.044),
        ("root-rib", "B1:5"): (0.251, 0.045),
        ("root-rib", "B6:2"): (0.213, 0.062),
        ("root-rib", "B13:4"): (0.158, 0.047),
    }
    for (key, name), (width, height) in checked.items():
        (head,) = hole(workshop, key, name).heads
        assert head.width_mm == pytest.approx(width * 25.4, abs=1e-6)
        assert head.height_mm == pytest.approx(height * 25.4, abs=1e-6)


def test_hours_by_assembly_are_those_of_the_log(workshop: Workshop) -> None:
    """Minutes at the bench, and beside it.

    Aileron, bench: 95 + 150 + 85 + 80 + 45 + 40 + 16 + 25 = 536; reading 60.
    Root rib, bench: 45 + 105 + 60 + 55 + 25 + 14 + 15 = 319; reading 50.
    Flap, bench: 50; reading 45. No one assembly: cleaning 40. In all 1,100.
    """
    spent = spent_by(workshop.state().booked)
    found: dict[tuple[str, bool], int] = {}
    for one in spent:
        key = (one.assembly, one.is_bench)
        found[key] = found.get(key, 0) + one.minutes
    assert found == {
        ("aileron", True): 536,
        ("aileron", False): 60,
        ("root-rib", True): 319,
        ("root-rib", False): 50,
        ("flap", True): 50,
        ("flap", False): 45,
        ("", False): 40,
    }
    assert sum(found.values()) == 1100


def test_every_line_of_the_log_is_one_fact(entries: list[Entry]) -> None:
    """Twenty lines, the first on 2026-10-03, the last on 2026-11-21."""
    days = [
        entry.fact.body.day
        for entry in entries
        if isinstance(entry.fact.body, HoursBooked)
    ]
    assert (len(days), min(days), max(days)) == (20, "2026-10-03", "2026-11-21")


def test_holes_wait_as_the_table_says(workshop: Workshop) -> None:
    """D7 to D10 are holds; D1 to D6 are open holes of the plan, not facts."""
    found = {
        hold.id: (workshop.hole_ids(key).names(hold.holes), hold.until)
        for key in workshop.plan_ids
        for hold in workshop.state().assembly(key).holds.values()
    }
    assert found == {
        "D7": (("C14:1-18",), "2026-12-18"),
        "D8": (("B9:1-4", "B10:1-4"), "2026-12-09"),
        "D9": (("A19:8", "A20:8", "A21:8", "A22:8"), "2026-12-04"),
        "D10": (("A23:1", "A24:1", "A25:1", "A26:1"), ""),
    }


def test_questions_were_asked_and_not_answered(workshop: Workshop) -> None:
    """Q-1 to Q-4, all on 2026-11-22."""
    found = {
        name: (one.asked_at[:10], one.answer)
        for key in workshop.plan_ids
        for name, one in workshop.state().assembly(key).questions.items()
    }
    assert found == dict.fromkeys(("Q-1", "Q-2", "Q-3", "Q-4"), ("2026-11-22", ""))


def test_bulletin_came_in(workshop: Workshop) -> None:
    """SB-07 on 2026-11-16; its doubler 621 is on order until 2026-12-09."""
    state = workshop.state()
    assert state.assembly("root-rib").bulletins["SB-07"].startswith("2026-11-16")
    doubler = state.deliveries["part", "621"]
    assert (doubler.state, doubler.due) == ("on order", "2026-12-09")
    assert "SB-07K" in doubler.note


def test_parts_and_tools_on_their_way(workshop: Workshop) -> None:
    """Back orders 513 and 709B; tools Y4, BB3 and BP2 on order."""
    deliveries = workshop.state().deliveries
    assert deliveries["part", "513"].state == "back order"
    assert deliveries["part", "709B"].due == "2026-12-18"
    ordered = {
        name: one.due
        for (what, name), one in deliveries.items()
        if what == "tool" and one.state == "on order"
    }
    assert ordered == {"Y4": "2026-12-16", "BB3": "2026-12-04", "BP2": ""}


def test_stock_is_as_counted(workshop: Workshop) -> None:
    """The count was made after all that was set: nothing is taken from it twice."""
    on_hand = {name: one.on_hand for (_, name), one in workshop.state().stock.items()}
    assert on_hand == {
        "MS20426AD3-2.5": 45,
        "MS20426AD3-3": 140,
        "MS20426AD3-3.5": 60,
        "MS20426AD4-5": 60,
        "MS20470AD3-3": 30,
        "MS20470AD3-3.5": 50,
        "MS20470AD4-4": 60,
        "MS20470AD4-4.5": 40,
        "MS20470AD4-5": 6,
        "MS20470AD4-5.5": 25,
        "MS20470AD5-7": 14,
        "MS20470AD5-8": 0,
        "BD4-2": 45,
        "BF4-1": 60,
        "BF4-2": 20,
    }


def test_steps_are_as_far_as_they_are(workshop: Workshop) -> None:
    """Four steps done, six under way; the others in the table's words."""
    states: dict[str, list[str]] = {}
    for key in workshop.plan_ids:
        for name, step in workshop.state().assembly(key).steps.items():
            states.setdefault(step.state, []).append(name)
    assert sorted(states["done"]) == ["aileron-1", "aileron-2", "rib-1", "rib-2"]
    under_way = ["aileron-3", "aileron-4", "flap-1", "rib-3", "rib-5", "rib-6"]
    assert sorted(states["under way"]) == under_way


def test_nothing_is_odd_about_it(workshop: Workshop) -> None:
    """No fact of the demo's record is flagged."""
    assert workshop.state().flags == []


def test_begun_twice_is_once(workshop: Workshop, entries: list[Entry]) -> None:
    """Begun again, no fact is added."""
    assert not workshop.begin()
    assert workshop.position() == len(entries)
    taken = [one for one in entries if isinstance(one.fact.body, OpeningTaken)]
    assert len(taken) == 4


def test_record_says_the_same_as_the_files(workshop: Workshop) -> None:
    """The plans with the record's opening are those with their own.

    Left out: the log itself (`done`), which is in the record, and a bulletin's title,
    which is in the bulletin. Hours of one day stand in no order.
    """

    def by_day(some: Iterable[HoursEntry]) -> list[HoursEntry]:
        return sorted(some, key=lambda one: (one.day, one.operation))

    for assembly in workshop.read().project.assemblies:
        worked = assembly.worked_plan.worked
        was = worked.plan.opening
        parts = [one.part for one in was.deliveries]
        now = opening_now(HoleIds(worked.holes), workshop.state(), parts)
        left_out = ("done", "bulletins", "hours")
        fields = [name for name in vars(was) if name not in left_out]
        assert [getattr(now, name) for name in fields] == [
            getattr(was, name) for name in fields
        ]
        assert by_day(now.hours) == by_day(was.hours)

"""An evening filled: noise first, one assembly, one set-up, heads at once, in time."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime, time

import pytest

from rivetwright.engines.work.now import Now, what_now
from rivetwright.engines.work.pieces import Needs
from rivetwright.engines.work.session import Session
from rivetwright.engines.work.waits import Wait
from tests.unit.engines.work.made_work import ANSWER, heads_of, piece

SEVEN = datetime(2026, 11, 25, 19)


def evening(minutes: float = 120.0, **more: object) -> Session:
    """An evening from seven, alone, noise until nine."""
    given = {"quiet_after": time(21), **more}
    return Session(SEVEN, minutes, **given)  # type: ignore[arg-type]


def order(now: Now) -> list[str]:
    """What is done in order."""
    return [" ".join(piece.key for piece in turn.pieces) for turn in now.turns]


def test_noise_goes_first() -> None:
    """A quiet row stands first in the plan and comes last in the evening."""
    now = what_now([piece("A"), piece("B", is_noisy=True, tools=("G",))], evening())
    assert order(now) == ["B", "A"]
    assert [turn.begins for turn in now.turns] == [0, 10]


def test_heads_are_looked_at_at_once() -> None:
    """Before another row is begun, though that one is noisy too."""
    rows = [
        *(piece("A", is_noisy=True), heads_of("A")),
        *(piece("B", is_noisy=True, tools=("Y2",)), heads_of("B")),
    ]
    assert order(what_now(rows, evening())) == ["A", "A heads", "B", "B heads"]


def test_rows_of_one_set_up_are_one_turn() -> None:
    """The same tool, yoke and rivet are not rigged twice; another rivet is."""
    rows = [piece("A"), piece("B", callout="AD4-5"), piece("C")]
    now = what_now(rows, evening())
    assert order(now) == ["A C", "B"]
    assert [turn.is_set_up for turn in now.turns] == [True, True]


def test_what_lies_on_the_bench_is_worked_first() -> None:
    """Assembly b lies there: a is taken out afterwards, once."""
    rows = [
        piece("A"),
        piece("B", assembly="b"),
        piece("C", "2", assembly="b", tools=()),
    ]
    now = what_now(rows, evening(on_bench="b"))
    assert order(now)[-1] == "A"
    assert [turn.is_moved for turn in now.turns] == [False, False, True]


def test_what_most_work_waits_behind_comes_first() -> None:
    """Step 2 opens 90 minutes, step 1 none."""
    rows = [
        piece("A", tools=("Y2",)),
        piece("B", "2"),
        piece("C", "3", 90, after=["step:2"], waits=[ANSWER]),
    ]
    assert order(what_now(rows, evening())) == ["B", "A"]


def test_what_leaves_it_in_no_state_to_be_put_away_is_begun_last() -> None:
    """Step 1 lays a skin on that step 9 holds down; B goes first, though quiet."""
    rows = [piece("A", is_noisy=True), piece("B", "2", tools=("Y2",))]
    now = what_now(rows, evening(avoided=frozenset({"a/1"})))
    assert order(now) == ["B", "A"]


def test_what_a_piece_opens_is_done_the_same_evening() -> None:
    """Step 2 becomes free as step 1 is done."""
    now = what_now([piece("A"), piece("B", "2", after=["step:1"])], evening())
    assert order(now) == ["A", "B"]
    assert now.held == ()


def test_a_long_row_is_begun() -> None:
    """30 of 60 minutes: 15 of 30 rivets; what is left needs only time."""
    now = what_now([piece("A", "1", 60, count=30)], evening(30))
    assert [(turn.count, turn.whole_count) for turn in now.turns] == [(15, 30)]
    assert now.turns[0].minutes.likely == pytest.approx(30)


def test_rivets_are_set_only_where_their_heads_can_be_checked() -> None:
    """20 min, rivets 18 and heads 6 of them 24 in all: 8 of 10 rivets, 20 / 24."""
    now = what_now([piece("A", "1", 18), heads_of("A", 6)], evening(20))
    assert [turn.count for turn in now.turns] == [8]


def test_too_little_time_is_said_as_such() -> None:
    """Four minutes are no beginning: all is for another evening."""
    now = what_now([piece("A")], evening(4))
    assert now.turns == ()
    assert [one.key for one in now.later] == ["A"]
    assert now.held == ()
    assert now.minutes is None


def test_after_the_hour_of_quiet_by_hand() -> None:
    """From half past eight 30 noisy minutes: B, 20 min, goes by hand after A."""
    rows = [
        piece("A", "1", 20, is_noisy=True, tools=("BACK",), way="back-riveting"),
        piece("B", "2", 20, is_noisy=True, quiet_way="hand squeezer"),
    ]
    now = what_now(rows, Session(datetime(2026, 11, 25, 20, 30), 90, time(21)))
    assert [(turn.way, turn.is_noisy) for turn in now.turns] == [
        ("back-riveting", True),
        ("hand squeezer", False),
    ]
    # The usual figure of the hand squeezer: 10 rivets of 1.5 min.
    assert now.turns[1].minutes.likely == pytest.approx(15)


def test_rivets_run_out() -> None:
    """25 there: A and B take 10 each, of C's 10 only 5 are left."""
    rows = [piece(name, stock=(("AD4-4", 10),)) for name in "ABC"]
    now = what_now(rows, evening(stock={"AD4-4": 25}))
    assert order(now) == ["A B"]
    few = what_now(rows[:1], evening(stock={"AD4-4": 9}))
    assert few.held[0].wait == Wait("stock", "AD4-4", state="9")


@pytest.mark.parametrize("has_second", [False, True])
def test_two_people(has_second: bool) -> None:
    """Gun and bar wait for a second person."""
    now = what_now([piece("A", people=2)], evening(has_second=has_second))
    assert bool(now.turns) is has_second
    assert [held.wait.kind for held in now.held] == ([] if has_second else ["helper"])


def test_a_tool_that_is_lent() -> None:
    """One of two yokes out: the other does; both out: it waits."""
    row = piece("A", tools=("Y1", "Y2"))
    assert what_now([row], evening(left_out=frozenset({"Y1"}))).turns
    lent = what_now([row], evening(left_out=frozenset({"Y1", "Y2"})))
    assert [held.wait.kind for held in lent.held] == ["tool"]


def test_primer_dries_overnight() -> None:
    """Dry at eight the next morning: tonight it waits until that day."""
    row = piece("A")
    needs = type(row.needs)(parts=("501",), dry_at=datetime(2026, 11, 26, 8))
    wet = type(row)(**{**vars(row), "needs": needs})
    held = what_now([wet], evening()).held[0]
    assert held.wait.kind == "drying"
    assert held.wait.until == date(2026, 11, 26)


def test_what_is_primed_tonight_is_put_together_another_day() -> None:
    """Part 501 primed: its rivets wait for a later evening, those of 502 do not."""
    prime = replace(piece("P", operation="prime"), part="501", way="")
    rows = [
        prime,
        replace(piece("A", after=["P"]), needs=Needs(parts=("501",))),
        replace(piece("B", after=["P"]), needs=Needs(parts=("502",))),
    ]
    now = what_now(rows, evening())
    assert order(now) == ["P", "B"]
    assert [one.key for one in now.later] == ["A"]


def test_what_stands_at_the_bottom_is_told() -> None:
    """C waits for step 2, which waits for step 1, which waits for the answer."""
    rows = [
        piece("A", waits=[ANSWER], closes=("F",), faces=("F",)),
        piece("B", "2", after=["step:1"]),
        piece("C", "3", after=["step:2"]),
    ]
    held = {one.pieces[0].key: one for one in what_now(rows, evening()).held}
    assert held["C"].wait.name == "2"
    assert held["C"].root == ANSWER
    assert held["A"].root is None
    assert not held["C"].may_leave

"""Pieces put together to tasks: what waits apart, what is left out, what needs what."""

from __future__ import annotations

from datetime import date

from rivetwright.engines.forecast.tasks import WorkAhead, work_ahead
from rivetwright.engines.work.pieces import Minutes, Needs, Piece
from rivetwright.engines.work.rates import DEFAULT
from rivetwright.engines.work.waits import DELIVERY, PART, Wait
from rivetwright.standards.source import Status

DUE = Wait(PART, "709B", "", date(2026, 12, 18), "on order")
NEVER_ORDERED = Wait(DELIVERY, "wing kit", "", None, "not ordered")
LEFT_OPEN = Wait(PART, "513", "", None, "back order", is_open=True)


def _piece(
    step: str,
    operation: str,
    *,
    holes: int = 10,
    after: tuple[str, ...] = (),
    waits: tuple[Wait, ...] = (),
    people: int = 1,
    part: str = "",
) -> Piece:
    """A piece of an assembly `a`; a rivet goes in with the squeezer."""
    names = "+".join(wait.name for wait in waits)
    return Piece(
        f"a/{step}/{operation}/{part}{names}{people}",
        "a",
        step,
        operation,
        ("R1",),
        part,
        tuple(range(holes)),
        holes,
        "hole",
        Minutes(1, 2, 3, DEFAULT, 0, 0, Status.JUDGEMENT),
        False,
        people,
        "squeezer" if operation == "set" else "",
        "",
        Needs(),
        after,
        waits,
    )


def _needs(ahead: WorkAhead) -> dict[str, set[str]]:
    return {task.key: set(task.needs) for task in ahead.tasks}


def test_pieces_of_a_step_are_one_task() -> None:
    """Setting and checking together; a step needs the whole step before it."""
    ahead = work_ahead(
        [
            _piece("1", "match-drill"),
            _piece("2", "set", after=("a/1",)),
            _piece("2", "check heads", after=("a/2/set/1",)),
        ]
    )
    assert _needs(ahead) == {"a/1": set(), "a/2": {"a/1"}}
    assert [task.rivets for task in ahead.tasks] == [0, 10]
    assert [lot.operation for lot in ahead.tasks[1].lots] == ["squeezer", "check heads"]


def test_making_ready_what_comes_later_keeps_nobody_waiting() -> None:
    """Holes in 709B are drilled when it is here; other deburring need not wait.

    Setting them waits for the part and comes after its holes were drilled.
    """
    ahead = work_ahead(
        [
            _piece("1", "match-drill"),
            _piece("1", "match-drill", waits=(DUE,)),
            _piece("2", "deburr", after=("a/1",)),
            _piece("3", "set", after=("a/2",), waits=(DUE,)),
        ]
    )
    assert _needs(ahead) == {
        "a/1": set(),
        "a/1|part 709B": set(),
        "a/2": {"a/1"},
        "a/3|part 709B": {"a/2", "a/1|part 709B"},
    }


def test_what_nobody_ordered_is_left_out_with_what_follows() -> None:
    """The wing kit has no date, so neither has the step after it; the rest has."""
    ahead = work_ahead(
        [
            _piece("1", "set"),
            _piece("2", "set", after=("a/1",), waits=(NEVER_ORDERED,)),
            _piece("3", "set", after=("a/2",)),
        ]
    )
    assert [task.key for task in ahead.tasks] == ["a/1"]
    assert [(one.step, one.after) for one in ahead.left_out] == [("2", ""), ("3", "2")]


def test_holes_that_the_drawing_leaves_open_do_not_count() -> None:
    """An open hole for a later part is no work ahead."""
    ahead = work_ahead([_piece("1", "set", waits=(LEFT_OPEN,))])
    assert (ahead.tasks, ahead.left_out) == ((), ())


def test_a_hole_is_deburred_once_whatever_its_sheets() -> None:
    """The log counts holes: two sheets of ten holes are ten."""
    ahead = work_ahead(
        [_piece("1", "deburr", part="p"), _piece("1", "deburr", part="q")]
    )
    assert [lot.count for lot in ahead.tasks[0].lots] == [10]


def test_work_for_two_is_a_task_of_its_own() -> None:
    """Rivets for gun and bar wait for the second person, the others do not."""
    ahead = work_ahead([_piece("1", "set"), _piece("1", "set", people=2)])
    assert [(task.key, task.takes_two) for task in ahead.tasks] == [
        ("a/1", False),
        ("a/1|pair", True),
    ]

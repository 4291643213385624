"""Which facts may change places without a difference."""

from __future__ import annotations

import pytest

from rivetwright.record.kinds import (
    STOCK,
    Counted,
    GateTicked,
    HoldLifted,
    HoldPut,
    HoursBegun,
    HoursEnded,
    Kind,
    NoteWritten,
    PlanIssued,
    RivetsSet,
    StepBegun,
    Undone,
)
from rivetwright.record.touching import Touched, touched
from tests.unit.record.made import fact

CODE = "MS20470AD4-4"


def both(one: Kind, other: Kind) -> tuple[Touched, Touched]:
    """What two facts of one person have to do with."""
    return (
        touched(fact(1, one), ("1", "phone", 1, 1)),
        touched(fact(2, other), ("2", "phone", 2, 2)),
    )


@pytest.mark.parametrize(
    ("one", "other"),
    [
        (RivetsSet(("a:1-3",), CODE), RivetsSet(("a:4",), CODE)),
        (RivetsSet(("a:1",), CODE), NoteWritten("x", ("a:1",))),
        (GateTicked("ready:s", "drilled"), GateTicked("ready:s", "film_off")),
        (StepBegun("s"), RivetsSet(("a:1",), CODE)),
        (HoldPut("D1", ("a:1",), "x"), HoldPut("D2", ("a:1",), "x")),
    ],
)
def test_facts_with_nothing_in_common_are_apart(one: Kind, other: Kind) -> None:
    """Other holes, other lines, or only speaking of a hole."""
    first, second = both(one, other)
    assert first.is_apart(second)
    assert second.is_apart(first)


@pytest.mark.parametrize(
    ("one", "other"),
    [
        (RivetsSet(("a:1-3",), CODE), RivetsSet(("a:3",), CODE)),
        (RivetsSet(("a:1",), CODE), Counted(STOCK, CODE, 5)),
        (HoldPut("D1", ("a:1",), "x"), HoldLifted("D1", "y")),
        (HoursBegun("set"), HoursEnded()),
        (NoteWritten("x"), Undone("f" * 32)),
        (NoteWritten("x"), PlanIssued(2, "d")),
    ],
)
def test_facts_about_the_same_are_not_apart(one: Kind, other: Kind) -> None:
    """The same hole, code, hold or timer; an undo and a revision concern all."""
    first, second = both(one, other)
    assert not first.is_apart(second)
    assert not second.is_apart(first)

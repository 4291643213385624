"""Which pieces keep which others waiting, and what comes free when something comes."""

from __future__ import annotations

from rivetwright.engines.work.gates import Gates
from rivetwright.engines.work.unlocks import COMES, IS_LEFT, unlocks
from rivetwright.engines.work.waits import Wait
from tests.unit.engines.work.made_work import ANSWER, piece

PART = Wait("part", "9")
OPEN = Wait("part", "7", is_open=True)


def names(gates: Gates, some: list[int]) -> list[str]:
    """Pieces by name, in order."""
    return sorted(gates.pieces[k].key for k in some)


def test_a_step_is_whole_when_its_last_piece_is_done() -> None:
    """B, in step 2, comes after both pieces of step 1; A2 waits, so B does too."""
    gates = Gates(
        [piece("A1"), piece("A2", waits=[ANSWER]), piece("B", "2", after=["step:1"])]
    )
    assert names(gates, list(gates.reached.pieces)) == ["A1"]
    wait = gates.first_wait(2)
    assert wait is not None
    assert wait.key == ("step", "1")
    assert names(gates, gates.freed_by(ANSWER.key)) == ["A2", "B"]


def test_what_the_drawing_leaves_open_keeps_no_step_waiting() -> None:
    """A2 stays open for a part to come: step 1 is whole without it."""
    gates = Gates(
        [piece("A1"), piece("A2", waits=[OPEN]), piece("B", "2", after=["step:1"])]
    )
    assert names(gates, list(gates.reached.pieces)) == ["A1", "B"]


def test_two_things_free_nothing_one_by_one() -> None:
    """B waits for the answer and for the part; either alone frees only its own."""
    both = [piece("A1", waits=[ANSWER]), piece("A2", waits=[PART])]
    gates = Gates([*both, piece("B", "2", after=["step:1"])])
    assert names(gates, gates.freed_by(ANSWER.key)) == ["A1"]
    assert names(gates, gates.freed_by(PART.key)) == ["A2"]
    assert names(gates, list(gates.behind(ANSWER.key))) == ["A1", "B"]


def test_holes_may_be_left_where_nothing_closes_over_them() -> None:
    """A2 lies on face F. Step 2 closes nothing, step 3 closes F: left, B is free."""
    gates = Gates(
        [
            piece("A1", faces=("F",)),
            piece("A2", waits=[ANSWER], faces=("F",)),
            piece("B", "2", after=["step:1"]),
            piece("C", "3", after=["step:2"], closes=("F",)),
        ]
    )
    assert names(gates, gates.freed_by_leaving(ANSWER.key)) == ["B"]


def test_a_step_that_closes_over_its_own_holes_is_not_left() -> None:
    """Step 1 itself shuts the face: its waiting hole is its last chance."""
    gates = Gates(
        [
            piece("A", waits=[ANSWER], faces=("F",), closes=("F",)),
            piece("B", "2", after=["step:1"]),
        ]
    )
    assert gates.freed_by_leaving(ANSWER.key) == []


def test_an_inspection_is_never_left() -> None:
    """What waits for the inspector stays where it is."""
    visit = Wait("inspector", "1")
    gates = Gates([piece("A", waits=[visit]), piece("B", "2", after=["step:1"])])
    assert gates.freed_by_leaving(visit.key) == []


def test_what_unlocks_most_stands_first() -> None:
    """The answer frees A 10 and B 30 min, the part 20; leaving A frees B."""
    gates = Gates(
        [
            piece("A", waits=[ANSWER]),
            piece("B", "2", 30, after=["step:1"]),
            piece("C", "3", 20, waits=[PART]),
        ]
    )
    found = [(one.way, one.wait.name, one.freed_minutes) for one in unlocks(gates)]
    assert found == [(COMES, "Q-1", 40), (IS_LEFT, "Q-1", 30), (COMES, "9", 20)]
    assert [one.behind_minutes for one in unlocks(gates)] == [40, 40, 20]


def test_nobody_is_called_before_the_work_is_ready() -> None:
    """The inspection waits for step 1 first, then for the inspector."""
    visit = Wait("inspector", "2")
    gates = Gates(
        [piece("A", waits=[ANSWER]), piece("I", "2", after=["step:1"], waits=[visit])]
    )
    wait = gates.first_wait(1)
    assert wait is not None
    assert wait.kind == "step"

"""Revisions of a plan: what was done to a row that is the same stays with it."""

from __future__ import annotations

from rivetwright.record.fold import fold
from rivetwright.record.kinds import (
    HoldPut,
    NoteWritten,
    PlanIssued,
    QuestionAsked,
    RivetsSet,
)
from rivetwright.record.order import placed_on
from rivetwright.record.touching import touched
from tests.unit.record.made import chained, fact, flags

CODE = "MS20470AD4-4"
SWAPPED = PlanIssued(2, "d" * 64, lineage=(("a", "b"), ("b", "a")))


def test_two_rows_may_change_their_ids() -> None:
    """Hole a:1 and hole b:2 are set; then a is called b and b is called a."""
    entries = chained(
        [
            fact(1, RivetsSet(("a:1",), CODE), revision=1),
            fact(2, RivetsSet(("b:2",), CODE), revision=1),
            fact(3, SWAPPED, revision=2),
        ]
    )
    rows = fold(entries).assembly("aileron").rows
    assert {row: sorted(holes) for row, holes in rows.items()} == {"b": [1], "a": [2]}


def test_what_speaks_of_holes_moves_with_them() -> None:
    """A hold, a question, a note and the last action name the row by its new id."""
    entries = chained(
        [
            fact(1, HoldPut("D1", ("a:1-3",), "waits"), revision=1),
            fact(2, QuestionAsked("Q-1", "why?", ("b:4",)), revision=1),
            fact(3, NoteWritten("tight", ("a:5", "c:1")), revision=1),
            fact(4, SWAPPED, revision=2, person="friend"),
        ]
    )
    aileron = fold(entries).assembly("aileron")
    assert aileron.holds["D1"].holes == ("b:1-3",)
    assert aileron.questions["Q-1"].holes == ("a:4",)
    assert aileron.notes[0].holes == ("b:5", "c:1")
    assert aileron.last["builder"].holes == ("b:5", "c:1")


def test_late_mark_of_an_older_revision_finds_its_row() -> None:
    """Made against revision 1 after 2 and 3 came: a became b, then c; flagged."""
    first = PlanIssued(2, "d" * 64, lineage=(("a", "b"),))
    second = PlanIssued(3, "e" * 64, lineage=(("b", "c"),))
    entries = chained(
        [
            fact(1, first, revision=2),
            fact(2, second, revision=3),
            fact(3, RivetsSet(("a:1",), CODE), revision=1),
            fact(4, HoldPut("D1", ("b:2",), "waits"), revision=2),
            fact(5, RivetsSet(("a:9",), CODE), revision=3),
        ]
    )
    state = fold(entries)
    aileron = state.assembly("aileron")
    assert aileron.hole("c", 1).rivet is not None
    assert aileron.holds["D1"].holes == ("c:2",)
    assert aileron.hole("a", 9).rivet is not None, "a new row with the old id"
    assert flags(state) == ["older-revision", "older-revision"]


def test_facts_of_two_revisions_do_not_change_places() -> None:
    """By its old and by its new id a hole is one; other assemblies do not matter."""
    made = [
        fact(1, RivetsSet(("a:1",), CODE), revision=1),
        fact(2, RivetsSet(("b:1",), CODE), revision=2),
        fact(3, RivetsSet(("b:2",), CODE), revision=2),
        fact(4, RivetsSet(("a:1",), CODE), revision=1, assembly="flap"),
    ]
    old, new, beside, flap = (
        touched(entry.fact, place) for place, entry in placed_on(chained(made), {})
    )
    assert not old.is_apart(new)
    assert new.is_apart(beside)
    assert new.is_apart(flap)

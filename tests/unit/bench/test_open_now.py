"""Why a hole must wait at a step, and what waits for one and the same thing."""

from __future__ import annotations

from rivetwright.bench.evening import evening_of
from rivetwright.bench.now import HoleIds
from rivetwright.bench.open_now import (
    FINDING,
    HOLD,
    OPEN,
    OTHER_STEP,
    REMOVE,
    OpenHole,
    Waits,
)
from rivetwright.engines.plan import WorkedPlan
from rivetwright.model.plan import HoleRange, OpenHoles
from rivetwright.model.step import Step
from rivetwright.record.fold import fold
from rivetwright.record.kinds import (
    Delivered,
    FindingAnswered,
    HoldLifted,
    HoldPut,
    Kind,
    LeftOpen,
    Received,
    RivetRemoved,
    RivetsSet,
)
from tests.unit.bench.plans import row, worked
from tests.unit.record.made import told

CODE, SHORT = "MS20470AD4-4", "MS20470AD4-2"
STEPS = (Step("1", "first"), Step("2", "bracket on"))


def waiting(plan: WorkedPlan, *bodies: Kind, step: str = "1") -> list[str]:
    """For each hole the kind of its waiting; empty where it is free."""
    waits = Waits(plan, HoleIds(plan.worked.holes), fold(told(*bodies)), step)
    found = [waits.of(at) for at in range(len(plan.worked.holes))]
    return [one.kind if one else "" for one in found]


def opened(plan: WorkedPlan, *bodies: Kind, step: str = "1") -> tuple[OpenHole, ...]:
    """What must stay open at a step after these facts."""
    return evening_of(plan, fold(told(*bodies)), step=step).open_holes


def plain() -> WorkedPlan:
    """One row of three holes, nothing wrong with it."""
    return worked(row("A", CODE), id="aileron", steps=STEPS)


def with_open(**later: str) -> WorkedPlan:
    """The same with hole 3 left open."""
    one = OpenHoles("D1", (HoleRange("A", 3, 3),), "bracket shares it", **later)  # type: ignore[arg-type]
    return worked(row("A", CODE), id="aileron", steps=STEPS, open_holes=(one,))


def test_nothing_waits_where_nothing_is_wrong() -> None:
    """Three free holes."""
    assert waiting(plain()) == ["", "", ""]


def test_hole_for_a_later_step_waits_until_that_step() -> None:
    """Hole 3 is open at step 1 and free at step 2; the others are step 1's."""
    plan = with_open(step="2")
    assert waiting(plan) == ["", "", OPEN]
    assert waiting(plan, step="2") == [OTHER_STEP, OTHER_STEP, ""]


def test_hole_for_a_part_waits_until_the_part_is_here() -> None:
    """On back order: open. On hand, or so many received: free."""
    plan = with_open(part="strip")
    assert waiting(plan) == ["", "", OPEN]
    assert waiting(plan, Delivered("part", "strip", "back order")) == ["", "", OPEN]
    assert waiting(plan, Delivered("part", "strip", "on hand")) == ["", "", ""]
    assert waiting(plan, Received("part", "strip", 1)) == ["", "", ""]
    assert waiting(plan, Received("tool", "strip", 1)) == ["", "", OPEN]


def test_held_hole_waits_until_the_hold_is_lifted() -> None:
    """Held, then lifted."""
    put = HoldPut("H1", ("id-A:2",), "question", "question", "Q-1")
    assert waiting(plain(), put) == ["", HOLD, ""]
    assert waiting(plain(), put, HoldLifted("H1", "answered")) == ["", "", ""]


def test_stopped_hole_waits_until_somebody_answers() -> None:
    """A tail of 1/8 in on 0.080 in of sheet makes no head: stop, until answered for.

    2.032 mm of sheet leave 3.175 - 2.032 = 1.143 mm of a 3.175 mm shank, 0.36 D,
    where the rule wants 1.5 D. Two holes answered for leave the third.
    """
    plan = worked(row("A", SHORT), id="aileron", steps=STEPS)
    assert waiting(plan) == [FINDING, FINDING, FINDING]
    (stopped,) = opened(plan)
    assert (stopped.kind, stopped.reason, stopped.count) == (FINDING, "LENGTH-01", 3)
    answer = FindingAnswered("LENGTH-01", ("id-A:1-2",), "as drawn", "the supplier")
    assert waiting(plan, answer) == ["", "", FINDING]


def test_answer_to_another_finding_frees_nothing() -> None:
    """The code must be that of the finding."""
    plan = worked(row("A", SHORT), id="aileron", steps=STEPS)
    answer = FindingAnswered("EDGE-01", ("id-A:1-3",), "as drawn", "the supplier")
    assert waiting(plan, answer) == [FINDING, FINDING, FINDING]


def test_wrong_rivet_without_a_reason_must_come_out() -> None:
    """Another code by mistake waits for its removal; with a reason it was meant."""
    wrong = RivetsSet(("id-A:1",), "MS20470AD4-5")
    assert waiting(plain(), wrong) == [REMOVE, "", ""]
    removed = RivetRemoved(("id-A:1",), "too long")
    assert waiting(plain(), wrong, removed) == ["", "", ""]
    meant = RivetsSet(("id-A:1",), "MS20470AD4-5", reason="supplier's letter")
    assert waiting(plain(), meant) == ["", "", ""]


def test_hold_comes_before_what_the_drawing_says() -> None:
    """A hole both open and held is shown once, by its hold."""
    put = HoldPut("H1", ("id-A:3",), "no tool", "tool", "BB3")
    (one,) = opened(with_open(step="2"), put)
    assert (one.kind, one.id, one.waits_for) == (HOLD, "H1", "BB3")


def test_holes_with_one_cause_stand_together() -> None:
    """Hole 1 and 3 of one hold: one line, two ranges."""
    put = HoldPut("H1", ("id-A:1", "id-A:3"), "no tool", "tool", "BB3", "2026-12-04")
    (one,) = opened(plain(), put)
    assert one.names == ("A:1", "A:3")
    assert one.hole_ids == ("id-A:1", "id-A:3")
    assert (one.count, one.until) == (2, "2026-12-04")


def test_line_is_ticked_when_every_hole_is_marked() -> None:
    """One of two marked is not marked."""
    put = HoldPut("H1", ("id-A:1", "id-A:3"), "no tool")
    first = LeftOpen(("id-A:1",), is_marked=True)
    second = LeftOpen(("id-A:3",), is_marked=True)
    assert not opened(plain(), put, first)[0].is_marked
    assert opened(plain(), put, first, second)[0].is_marked


def test_rivets_in_holes_that_must_wait_are_counted() -> None:
    """A hold that came after one of three was set says so."""
    done = RivetsSet(("id-A:2",), CODE)
    put = HoldPut("H1", ("id-A:1-3",), "bulletin")
    assert opened(plain(), done, put)[0].set_count == 1

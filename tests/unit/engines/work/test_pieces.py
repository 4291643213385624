"""Pieces of small plans: what is left, in which step, and what it waits for."""

from __future__ import annotations

from datetime import date

import pytest

from rivetwright.engines.plan import WorkedPlan
from rivetwright.engines.work.pieces import Piece, pieces_of
from rivetwright.engines.work.rates import default_rates
from rivetwright.engines.work.stand import stand_as_written
from rivetwright.model.columns import parse_hole_range
from rivetwright.model.opening import (
    Delivery,
    Hold,
    Opening,
    Question,
    StepState,
    WorkDone,
)
from rivetwright.model.plan import OpenHoles
from rivetwright.model.shop import Shop, Tool
from rivetwright.model.step import Need, Step
from tests.unit.engines.small import FLUSH, row, worked

TWO = (("top", "plain"), ("web", "plain"))
DRILL = Step("drill", "assemble, match-drill")
TIDY = Step("tidy", "deburr, dimple, prime", needs=(Need("step", "drill"),))
SET = Step("set", "rivet the web", needs=(Need("step", "tidy"),))
STEPS = (DRILL, TIDY, SET)


def ready(*rows: str) -> tuple[WorkDone, ...]:
    """Rows drilled, deburred and primed."""
    holes = tuple(f"{name}:1-10" for name in rows)
    return tuple(
        WorkDone(operation, holes) for operation in ("drilled", "deburred", "primed")
    )


def left(plan: WorkedPlan, shop: Shop | None = None) -> list[Piece]:
    """Every piece of a plan, by the table's rates."""
    return list(pieces_of([stand_as_written(plan)], shop, default_rates()))


def said(pieces: list[Piece]) -> list[tuple[str, str, str, int]]:
    """Step, operation, part or names, and count of each."""
    return [(p.step, p.operation, p.part or " ".join(p.names), p.count) for p in pieces]


def test_preparing_falls_to_the_steps_that_name_it() -> None:
    """Ten holes through two sheets: drill, deburr and prime each sheet, set, look."""
    plan = worked(row("R", count=10, stack=TWO, step="set"), steps=STEPS)
    assert said(left(plan)) == [
        ("drill", "match-drill", "R", 10),
        ("tidy", "deburr", "top", 10),
        ("tidy", "deburr", "web", 10),
        ("tidy", "prime", "top", 1),
        ("tidy", "prime", "web", 1),
        ("set", "set", "R", 10),
        ("set", "check heads", "R", 10),
    ]


def test_deburring_takes_a_hole_as_logs_count_it() -> None:
    """Ten holes through two sheets at 1.31 min a hole: 13.1 min, half of it a sheet."""
    plan = worked(row("R", count=10, stack=TWO, step="set"), steps=STEPS)
    minutes = [p.minutes.likely for p in left(plan) if p.operation == "deburr"]
    assert minutes == pytest.approx([6.55, 6.55])


def test_dimples_and_countersinks_are_asked_of_their_sheets_alone() -> None:
    """A flush rivet: the top sheet dimpled, the other countersunk."""
    stack = (("top", "dimple"), ("web", "countersink"))
    plan = worked(row("R", FLUSH, count=4, stack=stack, step="set"), steps=STEPS)
    found = {(p.operation, p.part, p.step) for p in left(plan) if p.part}
    assert ("dimple", "top", "tidy") in found
    # No step before names it: it falls to the step that sets the rivets.
    assert ("countersink", "web", "set") in found


def test_what_was_done_is_no_work_any_more() -> None:
    """All prepared and 6 of 10 set: four rivets and their heads."""
    opening = Opening(done=ready("R"), set_holes=("R:1-6",))
    plan = worked(
        row("R", count=10, stack=TWO, step="set"), steps=STEPS, opening=opening
    )
    setting = [one for one in said(left(plan)) if one[0] == "set"]
    assert setting == [("set", "set", "R:7-10", 4), ("set", "check heads", "R:7-10", 4)]


def test_a_step_said_to_be_done_has_nothing_left() -> None:
    """The person finished it, whatever the record lacks."""
    states = tuple(StepState(step.name, "done") for step in STEPS)
    plan = worked(
        row("R", count=10, stack=TWO, step="set"),
        steps=STEPS,
        opening=Opening(steps=states),
    )
    assert left(plan) == []


def test_a_step_known_by_its_title_alone_is_one_piece() -> None:
    """The manual's minutes; an hour and weak where it gives none."""
    steps = (Step("a", "fit the hinge", kit_minutes=45), Step("b", "paint"))
    plan = worked(row("R", count=1, step="c"), steps=(*steps, Step("c", "set")))
    by_step = {piece.step: piece for piece in left(plan)}
    assert by_step["a"].minutes.likely == 45
    assert by_step["a"].minutes.basis == "plan"
    assert by_step["b"].minutes.likely == 60
    assert by_step["b"].minutes.basis == "default"


@pytest.mark.parametrize(
    ("opening", "kind", "name", "until"),
    [
        (
            Opening(
                holds=(Hold("H", ("R:3-4",), "late", "part", "9", date(2026, 12, 9)),)
            ),
            *("part", "9", date(2026, 12, 9)),
        ),
        (
            Opening(questions=(Question("Q", ("R:3-4",), "which?"),)),
            *("answer", "Q", None),
        ),
        (
            Opening(holds=(Hold("H", ("R:3-4",), "later", "other"),)),
            *("hold", "H", None),
        ),
    ],
)
def test_holes_that_wait_are_a_piece_of_their_own(
    opening: Opening, kind: str, name: str, until: date | None
) -> None:
    """Holes 3 and 4 wait; the other eight can be done in full."""
    plan = worked(row("R", count=10, stack=TWO), opening=opening)
    setting = [piece for piece in left(plan) if piece.operation == "set"]
    assert [piece.names for piece in setting] == [
        ("R:1-2", "R:5-10"),
        ("R:3-4",),
    ]
    (wait,) = setting[1].waits
    assert (wait.kind, wait.name, wait.until) == (kind, name, until)


def test_an_answered_question_holds_nobody_up() -> None:
    """With an answer the holes are free again."""
    asked = Question("Q", ("R:3-4",), "which?", answer="as drawn")
    plan = worked(row("R", count=10, stack=TWO), opening=Opening(questions=(asked,)))
    assert [p.waits for p in left(plan) if p.operation == "set"] == [()]


def test_a_part_that_is_not_here_keeps_its_holes_from_the_drill() -> None:
    """The web is on order: row R waits, row S without it does not."""
    opening = Opening(deliveries=(Delivery("web", "on order", date(2026, 12, 9)),))
    plan = worked(
        row("R", count=10, stack=TWO),
        row("S", count=10, stack=(("top", "plain"), ("rib", "plain"))),
        opening=opening,
    )
    drilling = {p.names: p.waits for p in left(plan) if p.operation == "match-drill"}
    assert [wait.name for wait in drilling["R",]] == ["web"]
    assert drilling["S",] == ()


def test_holes_that_the_drawing_leaves_open_leave_the_step_whole() -> None:
    """Open for part 9, which nobody has heard of."""
    opened = OpenHoles("D", (parse_hole_range("R:10"),), "strip", part="9")
    plan = worked(row("R", count=10, stack=TWO), open_holes=(opened,))
    setting = [piece for piece in left(plan) if piece.operation == "set"]
    assert [(p.names, p.is_left_open) for p in setting] == [
        (("R:1-9",), False),
        (("R:10",), True),
    ]


def test_a_need_that_some_holes_wait_for_is_theirs_alone() -> None:
    """The step needs bar BB for hole 8; hole 8 is on hold for it, the others go on."""
    steps = (Step("1", "set", needs=(Need("tool", "BB", "for hole 8"),)),)
    shop = Shop("s", "s", "in", tools=(Tool("BB", "bar", state="on order"),))
    held = Opening(holds=(Hold("H", ("R:8",), "gap", "tool", "BB"),))
    plan = worked(row("R", count=8, stack=TWO), steps=steps, opening=held)
    waits = {p.names: p.waits for p in left(plan, shop) if p.operation == "set"}
    assert waits["R:1-7",] == ()
    assert [wait.name for wait in waits["R:8",]] == ["BB"]
    free = worked(row("R", count=8, stack=TWO), steps=steps)
    waits = {p.names: p.waits for p in left(free, shop) if p.operation == "set"}
    assert [wait.name for wait in waits["R",]] == ["BB"]


def test_what_a_piece_needs_is_said_whether_it_is_there_or_not() -> None:
    """Rivets, parts, the signature before it, the hole to be taped over."""
    look = Step("look", "pre-cover inspection", is_inspection=True)
    close = Step("set", "close it", needs=(Need("step", "look"),))
    asked = Question("Q", ("R:3",), "which?")
    plan = worked(
        row("R", count=5, stack=TWO, step="set"),
        steps=(look, close),
        opening=Opening(questions=(asked,)),
    )
    first, waiting = (p.needs for p in left(plan) if p.operation == "set")
    assert first.stock == (("MS20470AD4-4", 4),)
    assert first.parts == ("top", "web")
    assert first.inspections == ("look",)
    assert first.marks == ("R:3",)
    assert waiting.answers == ("Q",)
    assert waiting.marks == ()


def test_keys_are_each_a_piece() -> None:
    """No two pieces share a key, so that what comes before what is sure."""
    opening = Opening(questions=(Question("Q", ("R:3-4", "S:1"), "which?"),))
    plan = worked(
        row("R", count=10, stack=TWO, step="set"),
        row("S", count=10, stack=TWO, step="set"),
        steps=STEPS,
        opening=opening,
    )
    keys = [piece.key for piece in left(plan)]
    assert len(set(keys)) == len(keys)

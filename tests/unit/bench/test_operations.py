"""What was done to each sheet, row by row, and what is next."""

from __future__ import annotations

from rivetwright.bench.evening import evening_of
from rivetwright.bench.operations import SheetWork, by_row, next_work
from rivetwright.engines.plan import WorkedPlan
from rivetwright.model.plan import DIMPLE, HoleRange, OpenHoles, Part, Sheet
from rivetwright.model.step import Step
from rivetwright.record.fold import fold
from rivetwright.record.kinds import (
    DEBURRED,
    DIMPLED,
    DRILLED,
    PRIMED,
    HoleWorked,
    Kind,
)
from tests.unit.bench.plans import PARTS, SHEET_MM, face, row, straight, worked
from tests.unit.record.made import told

FLUSH = "MS20426AD3-3"
DIMPLED_STACK = (Sheet("skin", DIMPLE), Sheet("rib", DIMPLE))


def works(plan: WorkedPlan, *bodies: Kind) -> tuple[SheetWork, ...]:
    """The table after these facts."""
    return evening_of(plan, fold(told(*bodies)), step="1").operations


def flush_row() -> WorkedPlan:
    """Three flush holes through a skin and a rib, both dimpled."""
    return worked(row("A", FLUSH, stack=DIMPLED_STACK), id="aileron")


def done(plan: WorkedPlan, *bodies: Kind) -> dict[tuple[str, str], int]:
    """How many holes have each operation, by operation and part."""
    return {(w.operation, w.part): w.done_count for w in works(plan, *bodies)}


def test_every_sheet_is_deburred_and_dimpled() -> None:
    """Drilled and primed as a stack, the rest sheet by sheet, in working order."""
    table = [(w.operation, w.part, w.hole_count) for w in works(flush_row())]
    assert table == [
        (DRILLED, "", 3),
        (DEBURRED, "skin", 3),
        (DEBURRED, "rib", 3),
        (DIMPLED, "skin", 3),
        (DIMPLED, "rib", 3),
        (PRIMED, "", 3),
    ]


def test_one_sheet_done_is_not_the_other() -> None:
    """The skin is deburred, two holes of the rib are not."""
    said = done(
        flush_row(),
        HoleWorked(("id-A:1-3",), DEBURRED, "skin"),
        HoleWorked(("id-A:1",), DEBURRED, "rib"),
    )
    assert (said[DEBURRED, "skin"], said[DEBURRED, "rib"]) == (3, 1)


def test_done_to_all_sheets_is_done_to_each() -> None:
    """A fact without a part speaks of every sheet."""
    said = done(flush_row(), HoleWorked(("id-A:2",), DIMPLED))
    assert (said[DIMPLED, "skin"], said[DIMPLED, "rib"]) == (1, 1)


def test_done_to_each_sheet_is_done_to_the_stack() -> None:
    """Primed skin alone is not primed; skin and rib are."""
    skin = HoleWorked(("id-A:1-3",), PRIMED, "skin")
    rib = HoleWorked(("id-A:1-2",), PRIMED, "rib")
    assert done(flush_row(), skin)[PRIMED, ""] == 0
    assert done(flush_row(), skin, rib)[PRIMED, ""] == 2


def test_next_sheet_to_deburr() -> None:
    """Skin first, then rib, then nothing."""
    plan = flush_row()
    skin = HoleWorked(("id-A:1-3",), DEBURRED, "skin")
    rib = HoleWorked(("id-A:1-3",), DEBURRED, "rib")
    first = next_work(works(plan), DEBURRED)
    second = next_work(works(plan, skin), DEBURRED)
    assert first is not None
    assert second is not None
    assert (first.part, second.part) == ("skin", "rib")
    assert next_work(works(plan, skin, rib), DEBURRED) is None


def test_sheets_found_from_the_outlines_count_too() -> None:
    """No stack is written: skin and rib lie over each other on the face."""
    made = straight("A", 20.0, 25.0, FLUSH, preparation=(("*", DIMPLE),))
    plan = worked(made, id="aileron", faces=(face(),))
    parts = [w.part for w in works(plan) if w.operation == DIMPLED]
    assert parts == ["skin", "rib"]


def test_part_that_comes_later_is_not_to_be_deburred_now() -> None:
    """Hole 3 gets a strip over it at step 2; at step 1 nobody has the strip."""
    strip = Sheet("strip", DIMPLE)
    later = OpenHoles(
        "D1", (HoleRange("A", 3, 3),), "strip", "2", stack=(strip, *DIMPLED_STACK)
    )
    steps = (Step("1", "first"), Step("2", "strip on"))
    made = row("A", FLUSH, stack=DIMPLED_STACK)
    parts = (*PARTS, Part("strip", "strip", SHEET_MM))
    plan = worked(made, id="aileron", steps=steps, open_holes=(later,), parts=parts)
    assert {w.part for w in works(plan)} == {"", "skin", "rib"}
    then = evening_of(plan, fold([]), step="2").operations
    assert {w.part for w in then} == {"", "strip", "skin", "rib"}


def test_what_is_next_for_each_operation() -> None:
    """Drilled is through; the skin is deburred, the rib not; no dimple yet."""
    facts = (
        HoleWorked(("id-A:1-3",), DRILLED),
        HoleWorked(("id-A:1-3",), DEBURRED, "skin"),
    )
    shown = evening_of(flush_row(), fold(told(*facts)), step="1")
    assert [(one.operation, one.part) for one in shown.next_works] == [
        (DEBURRED, "rib"),
        (DIMPLED, "skin"),
        (PRIMED, ""),
    ]


def test_rows_stand_as_a_person_counts() -> None:
    """A1, A2, A10, B1; a row is done when all of it is."""

    def work(row: str, done: int) -> SheetWork:
        return SheetWork(row, "", "drilled", (f"{row}:1-2",), done, 2)

    rows = by_row([work("A10", 2), work("B1", 0), work("A2", 2), work("A1", 2)])
    assert [one.row for one in rows] == ["A1", "A2", "A10", "B1"]
    assert [one.is_done for one in rows] == [True, True, True, False]
    assert by_row([work("A1", 2), work("A1", 1)])[0].is_done is False

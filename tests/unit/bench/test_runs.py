"""What is set next: runs counted from a named end, and where each must stop."""

from __future__ import annotations

import pytest

from rivetwright.bench.evening import Evening, evening_of
from rivetwright.bench.open_now import HOLD, OPEN, OTHER_STEP
from rivetwright.bench.runs import Run
from rivetwright.model.pattern import Counted, Points, Straight
from rivetwright.model.plan import Access, HoleRange, OpenHoles, Row
from rivetwright.model.step import Step
from rivetwright.record.fold import fold
from rivetwright.record.kinds import HolderMoved, HoldPut, Kind, RivetsSet
from rivetwright.standards.codes import parse_rivet_code
from tests.unit.bench.plans import face, row, straight, worked
from tests.unit.record.made import told

CODE = "MS20470AD4-4"


def evening_after(*bodies: Kind, rows: tuple[Row, ...], **more: object) -> Evening:
    """The evening of a made-up plan after these facts."""
    said = {"id": "aileron", "faces": (face(),), **more}
    return evening_of(worked(*rows, **said), fold(told(*bodies)))  # type: ignore[arg-type]


def stretches(evening: Evening) -> list[tuple[str, int, int]]:
    """Row, first and last of every run."""
    return [(run.row, run.first, run.last) for run in evening.runs]


def long_row(
    count: int = 6,
    first_mm: tuple[float, float] = (10.0, 25.0),
    step_mm: tuple[float, float] = (10.0, 0.0),
) -> Row:
    """A row of holes 10 mm apart from the left end, 25 mm up, unless told else."""
    pattern = Straight(first_mm, step_mm, count)
    return straight("A", 0.0, 0.0, CODE, pattern=pattern)


def only_run(evening: Evening) -> Run:
    """The one run there is."""
    (run,) = evening.runs
    return run


def test_untouched_row_is_one_run() -> None:
    """Six holes, nothing in the way: the whole row, and no stop."""
    run = only_run(evening_after(rows=(long_row(),)))
    assert (run.first, run.last, run.count) == (1, 6, 6)
    assert run.is_whole_row
    assert run.stop_after is None
    assert run.names == tuple(f"A:{k}" for k in range(1, 7))


def test_what_is_set_is_left_out() -> None:
    """Holes 1 and 2 of six are set: from the third on."""
    done = RivetsSet(("id-A:1-2",), CODE)
    evening = evening_after(done, rows=(long_row(),))
    assert stretches(evening) == [("A", 3, 6)]
    assert (evening.setups[0].hole_count, evening.setups[0].done_count) == (6, 2)


def test_run_ends_before_a_held_hole() -> None:
    """Hole 4 of six is held: 1 to 3, stop; then 5 to 6."""
    held = HoldPut("H1", ("id-A:4",), "no bar", "tool", "BB3", "2026-12-04")
    evening = evening_after(held, rows=(long_row(),))
    assert stretches(evening) == [("A", 1, 3), ("A", 5, 6)]
    stop = evening.runs[0].stop_after
    assert stop is not None
    assert (stop.name, stop.counted, stop.why.kind) == ("A:4", 4, HOLD)
    assert (stop.why.waits_for, stop.why.until) == ("BB3", "2026-12-04")
    assert evening.runs[1].stop_after is None


def test_held_hole_that_is_set_needs_no_stop() -> None:
    """The rivet sits there already: nobody can set it too early any more."""
    bodies = (
        RivetsSet(("id-A:4",), CODE),
        HoldPut("H1", ("id-A:4",), "bulletin"),
    )
    evening = evening_after(*bodies, rows=(long_row(),))
    assert [run.stop_after for run in evening.runs] == [None, None]


def test_step_that_takes_open_holes_stops_at_the_rest_of_the_row() -> None:
    """Holes 2 and 3 wait for step 2; there the fourth is another step's."""
    later = OpenHoles("D1", (HoleRange("A", 2, 3),), "bracket", step="2")
    steps = (Step("1", "first"), Step("2", "bracket on"))
    plan = worked(
        long_row(), id="aileron", faces=(face(),), steps=steps, open_holes=(later,)
    )
    before = evening_of(plan, fold([]), step="1")
    assert stretches(before) == [("A", 1, 1), ("A", 4, 6)]
    assert before.runs[0].stop_after is not None
    assert before.runs[0].stop_after.why.kind == OPEN
    then = evening_of(plan, fold([]), step="2")
    assert stretches(then) == [("A", 2, 3)]
    stop = then.runs[0].stop_after
    assert stop is not None
    assert (stop.name, stop.why.kind, stop.why.reason) == ("A:4", OTHER_STEP, "first")


@pytest.mark.parametrize(
    ("first_mm", "step_mm", "end"),
    [
        ((10.0, 25.0), (10.0, 0.0), "left"),
        ((90.0, 25.0), (-10.0, 0.0), "right"),
        ((50.0, 10.0), (0.0, 5.0), "lower"),
        ((50.0, 40.0), (0.0, -5.0), "upper"),
        ((10.0, 10.0), (10.0, 4.0), "left"),
    ],
)
def test_row_is_counted_from_the_end_it_begins_at(
    first_mm: tuple[float, float], step_mm: tuple[float, float], end: str
) -> None:
    """Along u from the left, back from the right, up from the lower edge, and down.

    A slanting row goes by the direction in which it goes farther.
    """
    rows = (long_row(4, first_mm, step_mm),)
    assert only_run(evening_after(rows=rows)).from_end == end


def test_row_that_turns_back_has_no_end_to_count_from() -> None:
    """10, 60, 30: the second hole from the left would be the drawing's third."""
    points = Points(((10.0, 25.0), (60.0, 25.0), (30.0, 25.0)))
    turned = Row("id-A", "A", parse_rivet_code(CODE), points, "1", "F")
    assert only_run(evening_after(rows=(turned,))).from_end == ""


def test_row_without_places_has_no_end_to_count_from() -> None:
    """A count alone names no end."""
    assert only_run(evening_after(rows=(row("A", CODE),))).from_end == ""


def test_numbers_that_the_pattern_skips_are_not_counted() -> None:
    """Number 2 of four is no hole: what is numbered 3 is the second on the metal."""
    gap = row("A", CODE, pattern=Counted(4), skip=(2,))
    done = RivetsSet(("id-A:1",), CODE)
    run = only_run(evening_after(done, rows=(gap,)))
    assert run.names == ("A:3", "A:4")
    assert (run.first, run.last, run.row_count) == (2, 3, 3)


def test_rows_of_one_setup_come_together() -> None:
    """The third row has the callout, sheets and tool of the first: one set-up."""
    tool = Access(tools=("Y1",))
    rows = (
        row("A", CODE, access=tool),
        row("B", "MS20470AD4-5", access=tool),
        row("C", CODE, access=tool),
    )
    evening = evening_after(rows=rows)
    assert [[run.row for run in one.runs] for one in evening.setups] == [
        ["A", "C"],
        ["B"],
    ]
    assert evening.setups[0].tools == ("Y1",)


def test_open_holes_with_another_callout_are_another_setup() -> None:
    """Hole 3 takes a longer rivet once its part is there."""
    later = OpenHoles(
        "D1",
        (HoleRange("A", 3, 3),),
        "strip",
        step="2",
        callout=parse_rivet_code("MS20470AD4-5"),
    )
    steps = (Step("1", "first"), Step("2", "strip on"))
    plan = worked(row("A", CODE), id="aileron", steps=steps, open_holes=(later,))
    (setup,) = evening_of(plan, fold([]), step="2").setups
    assert setup.callout == "MS20470AD4-5"
    assert setup.runs[0].names == ("A:3",)


def test_sheet_holders_in_a_run_are_counted() -> None:
    """Holders in holes 1, 3 and 5, and the one in 5 taken out again: two."""
    bodies = (
        HolderMoved(("id-A:1", "id-A:3", "id-A:5"), is_in=True),
        HolderMoved(("id-A:5",), is_in=False),
    )
    assert only_run(evening_after(*bodies, rows=(long_row(),))).holders == 2

"""A step's order from the record: followed, gone on with, worked out anew."""

from __future__ import annotations

from rivetwright.bench.evening import Ordering, evening_of
from rivetwright.bench.order import StepOrder, Wanted, order_of_step
from rivetwright.engines.order.checker import check_plan
from rivetwright.engines.order.said import FIRST, OUT, SET
from rivetwright.engines.plan import WorkedPlan
from rivetwright.model.pattern import Straight
from rivetwright.record.fold import fold
from rivetwright.record.kinds import HoldPut, Kind, RivetsSet
from tests.unit.bench.plans import face, row, worked
from tests.unit.record.made import told

CODE = "MS20470AD4-4"
COUNT = 9


def plan() -> WorkedPlan:
    """One row of nine holes, 30 mm apart."""
    pattern = Straight((5.0, 25.0), (30.0, 0.0), COUNT)
    return worked(row("A", CODE, pattern=pattern), faces=(face(),), id="aileron")


PLAN = plan()


def order(*bodies: Kind, **wanted: object) -> StepOrder:
    """Its order after these facts."""
    asked = Wanted(work=0.0, **wanted)  # type: ignore[arg-type]
    return order_of_step(PLAN, None, fold(told(*bodies)), "1", asked)


def runs(one: StepOrder) -> list[tuple[int, ...]]:
    """Numbers of the holes of each run, in order of number."""
    return [
        tuple(sorted(hole + 1 for hole in press.holes))
        for press in one.presses
        if press.kind == SET
    ]


def names(numbers: tuple[int, ...]) -> tuple[str, ...]:
    """Holes by permanent id."""
    return tuple(f"id-A:{number}" for number in numbers)


def test_holders_go_in_first_and_come_out_between() -> None:
    """Every second hole and both ends; the open ones are set, then the others."""
    one = order()
    kinds = [press.kind for press in one.presses]
    assert kinds[0] == FIRST
    assert kinds.index(OUT) > kinds.index(SET)
    assert sorted(h for run in runs(one) for h in run) == list(range(1, COUNT + 1))


def test_what_was_set_as_said_leaves_the_rest() -> None:
    """After the first run the same order goes on with its second."""
    whole = runs(order())
    rest = order(RivetsSet(names(whole[0]), CODE))
    assert not rest.is_replanned
    assert runs(rest) == whole[1:]


def test_part_of_a_run_leaves_the_rest_of_it() -> None:
    """One rivet less than the run: it is still there."""
    first = runs(order())[0]
    rest = order(RivetsSet(names(first[:-1]), CODE))
    assert first[-1] in runs(rest)[0]


def test_what_was_set_another_way_is_gone_on_from() -> None:
    """Holes 1 and 2 first, against every rule: the rest is allowed all the same."""
    one = order(RivetsSet(names((1, 2)), CODE))
    assert one.plan is not None
    verdict = check_plan(one.plan.staged.stage, one.plan.ordered.steps)
    assert verdict.is_allowed
    assert sorted(h for run in runs(one) for h in run) == list(range(3, COUNT + 1))


def test_a_hole_suddenly_held_stays_open() -> None:
    """Hole 5 is put on hold: every run says to leave it."""
    one = order(HoldPut("H1", names((5,)), "burr found"))
    assert all(5 not in run for run in runs(one))
    assert [hole + 1 for hole in one.waiting] == [5]
    assert all(5 in press.leaves for press in one.presses if press.kind == SET)


def test_all_set_leaves_nothing() -> None:
    """No plan, nine of nine."""
    one = order(RivetsSet(names(tuple(range(1, COUNT + 1))), CODE))
    assert one.plan is None
    assert (one.done_count, one.hole_count) == (COUNT, COUNT)


def test_same_record_gives_the_same_order() -> None:
    """Twice from the same facts: the same runs."""
    body = RivetsSet(names((4,)), CODE)
    assert runs(order(body)) == runs(order(body))


def test_runs_of_the_bench_are_those_of_the_order() -> None:
    """In the same sequence, each with what is done before it."""
    evening = evening_of(PLAN, fold(told()), step="1", ordering=Ordering())
    found = [tuple(sorted(int(n[2:]) for n in run.names)) for run in evening.runs]
    assert found == runs(order_of_step(PLAN, None, fold(told()), "1"))
    assert evening.runs[0].before[0].kind == FIRST
    assert any(press.kind == OUT for press in evening.runs[1].before)

"""The work that is left moves with the record: marks, answers, arrivals, bulletins."""

from __future__ import annotations

from datetime import datetime

from rivetwright.bench.work import WorkLeft, work_left, work_now
from rivetwright.bench.workshop import Workshop
from rivetwright.engines.work.pieces import Piece
from rivetwright.record.state import State
from tests.unit.bench.conftest import Clock, Phone


def setting(work: WorkLeft, step: str) -> list[Piece]:
    """Rivets left to set in a step."""
    return [p for p in work.pieces if p.step == step and p.operation == "set"]


def names(work: WorkLeft, step: str) -> list[str]:
    """The same, by name."""
    return [name for piece in setting(work, step) for name in piece.names]


def test_file_and_record_say_the_same(workshop: Workshop) -> None:
    """Begun from the files, the record leaves the very same work."""
    by_record = work_now(workshop)
    by_file = work_left(workshop.read().project, State())
    assert [p.key for p in by_record.pieces] == [p.key for p in by_file.pieces]
    assert by_record.rates == by_file.rates
    assert by_record.stock == by_file.stock
    assert by_record.booked_minutes == by_file.booked_minutes


def test_rivets_set_are_no_work_any_more(workshop: Workshop, phone: Phone) -> None:
    """A17 and the first half of A18 set: A18:4-6 are left."""
    phone.record("rivets-set", "A17:1-6", callout="MS20426AD3-3")
    phone.record("rivets-set", "A18:1-3", callout="MS20426AD3-3")
    assert names(work_now(workshop), "aileron-4") == ["A18:4-6"]


def test_another_rivet_for_a_reason_is_set(workshop: Workshop, phone: Phone) -> None:
    """A17:1 with a half size shorter, as the supplier allowed: five are left."""
    code = "MS20426AD3-2.5"
    phone.record("rivets-set", "A17:1", callout=code, reason="supplier's letter")
    assert names(work_now(workshop), "aileron-4") == ["A17:2-6", "A18"]


def test_an_answer_frees_its_holes(workshop: Workshop, phone: Phone) -> None:
    """Q-2 answered: A1 and A2 wait for nothing any more."""
    assert [w.name for p in setting(work_now(workshop), "aileron-3") for w in p.waits]
    phone.record("question-answered", question="Q-2", answer="as drawn", by="supplier")
    free = setting(work_now(workshop), "aileron-3")
    assert [p.waits for p in free] == [(), ()]


def test_a_part_that_came_leaves_its_hold_to_be_lifted(
    workshop: Workshop, phone: Phone
) -> None:
    """709B is here: C14 can be drilled, and is free to set once D7 is lifted."""
    phone.record("delivered", key="", what="part", named="709B", state="on hand")
    of_row = {p.operation: p for p in work_now(workshop).pieces if p.names == ("C14",)}
    assert of_row["match-drill"].waits == ()
    (wait,) = of_row["set"].waits
    assert (wait.kind, wait.name, wait.state) == ("hold", "D7", "here")
    phone.record("hold-lifted", key="flap", hold="D7", reason="709B is here")
    assert [p.waits for p in setting(work_now(workshop), "flap-8")] == [(), ()]


def test_a_step_finished_leaves_nothing(workshop: Workshop, phone: Phone) -> None:
    """flap-1 finished with C14 left for later: the drilling is nobody's any more."""
    phone.record("step-finished", key="flap", step="flap-1", left="C14")
    steps = {piece.step for piece in work_now(workshop).pieces}
    assert "flap-1" not in steps
    assert "flap-2" in steps


def test_fresh_primer_dries_overnight(
    workshop: Workshop, phone: Phone, clock: Clock
) -> None:
    """Primed at seven in the evening: dry at seven in the morning (12 h, JUDGEMENT)."""
    phone.record("hole-worked", "A17:1-6", operation="primed")
    dry = {p.names: p.needs.dry_at for p in setting(work_now(workshop), "aileron-4")}
    assert dry["A17",] == datetime(2026, 11, 26, 7)
    assert dry["A18",] == datetime(2026, 10, 11, 1)
    assert clock.now.hour == 19


def test_the_plan_after_the_bulletin_counts(workshop: Workshop) -> None:
    """SB-07 came in: rib-7 is left, rib-5 whose rows it took is not."""
    work = work_now(workshop)
    assert [one.key for one in work.assemblies] == ["aileron", "flap", "root-rib-sb-07"]
    steps = {piece.step for piece in work.pieces}
    assert "rib-7" in steps
    assert "rib-5" not in steps
    # The bench works the plan as it was begun; the bulletin's own step is not in it.
    assert work.bench_keys["root-rib-sb-07/rib-3"] == "root-rib"
    assert "root-rib-sb-07/rib-7" not in work.bench_keys


def test_what_was_worked_at_last_lies_on_the_bench(workshop: Workshop) -> None:
    """The flap, on 2026-11-21."""
    assert work_now(workshop).on_bench == "flap"

"""How facts about holes, heads, holds, questions, steps and photos change the state."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from rivetwright.record.kinds import (
    STOCK,
    BulletinMet,
    BulletinReceived,
    FindingAnswered,
    GateTicked,
    HeadChecked,
    HeadDecided,
    HolderMoved,
    HoldLifted,
    HoldPut,
    HoleOpenedUp,
    HoleWorked,
    InspectionSigned,
    LeftOpen,
    NoteWritten,
    PhotoTaken,
    QuestionAnswered,
    QuestionAsked,
    RivetRemoved,
    RivetsSet,
    StepBegun,
    StepFinished,
    StepNoted,
)
from rivetwright.record.state import (
    Answered,
    Done,
    HeadSeen,
    HeadSettled,
    HoldNow,
    Met,
    NoteNow,
    PhotoNow,
    QuestionNow,
    RivetIn,
    RunTimed,
    Signature,
    StepNow,
    StockNow,
    Tick,
)
from rivetwright.record.telling import Telling

# A run of fewer rivets is none; of each set-up the newest runs say how fast one is now.
RUN_MIN, RUNS_KEPT = 2, 40


def _worked(told: Telling, body: HoleWorked) -> None:
    done = Done(told.fact.id, told.fact.person, told.at)
    for hole in told.holes(body.holes):
        hole.worked.setdefault(body.operation, {})[body.part] = done
        if body.size_mm is not None:
            hole.size_mm = body.size_mm


def _holder(told: Telling, body: HolderMoved) -> None:
    for hole in told.holes(body.holes):
        hole.holder = told.fact.id if body.is_in else ""


def _set(told: Telling, body: RivetsSet) -> None:
    rivet = RivetIn(
        told.fact.id,
        body.callout,
        told.at,
        body.setup,
        body.people,
        body.reason,
        told.fact.revision,
    )
    count = from_stock = 0
    for hole in told.holes(body.holes):
        there = hole.rivet
        if there is not None:
            told.flag("already-set", f"set before by fact {there.fact}")
        # Told twice, the same rivet left the drawer once.
        from_stock += there is None or there.callout != body.callout
        hole.rivet = rivet
        hole.holder = ""
        count += 1
    key = (STOCK, body.callout)
    stock = told.state.stock.setdefault(key, StockNow())
    stock.used += from_stock
    if from_stock and body.tray_count is not None and body.left_over is not None:
        stock.lost += max(0, body.tray_count - body.left_over - count)
    _time(told, body, count)


def _time(told: Telling, body: RivetsSet, count: int) -> None:
    """Keep how long a run took; a single rivet is no run, and tells of no rate."""
    if not body.run_s or count < RUN_MIN:
        return
    key = (body.setup, body.callout)
    runs = told.state.runs.setdefault(key, [])
    said = (told.fact.assembly, count, body.run_s)
    told.note_down(runs, RunTimed(told.fact.id, told.at, *said))
    # Of what came in whatever order the newest are the same.
    del runs[:-RUNS_KEPT]


def _left_open(told: Telling, body: LeftOpen) -> None:
    for hole in told.holes(body.holes):
        hole.is_marked_open = body.is_marked
        hole.left_open = body.reason


def _checked(told: Telling, body: HeadChecked) -> None:
    for hole in told.holes(body.holes):
        seen = HeadSeen(told.fact.id, told.at, told.fact.person, body)
        seen.removed_count = hole.removed_count
        rivet = hole.rivet
        if rivet is None:
            told.flag("not-set", "a head was checked where no rivet sits")
        else:
            seen.rivet, seen.callout, seen.set_at = rivet.fact, rivet.callout, rivet.at
            seen.setup, seen.people = rivet.setup, rivet.people
        hole.heads.append(seen)


def _settled(told: Telling, body: HeadDecided) -> None:
    for hole in told.holes(body.holes):
        rivet = hole.rivet.fact if hole.rivet else ""
        said = HeadSettled(told.fact.id, told.at, told.fact.person, body, rivet)
        hole.settled.append(said)


def _removed(told: Telling, body: RivetRemoved) -> None:
    for hole in told.holes(body.holes):
        if hole.rivet is None:
            told.flag("not-set", "a rivet was removed where none sat")
        else:
            key = (STOCK, hole.rivet.callout)
            told.state.stock.setdefault(key, StockNow()).spoilt += 1
        hole.rivet = None
        hole.removed_count += 1
        hole.removals.append(told.fact.id)


def _opened_up(told: Telling, body: HoleOpenedUp) -> None:
    for hole in told.holes(body.holes):
        hole.drill = body.drill
        hole.size_mm = body.size_mm


def _hold_put(told: Telling, body: HoldPut) -> None:
    told.assembly.holds[body.hold] = HoldNow(
        body.hold,
        told.named_now(body.holes),
        body.reason,
        body.cause,
        body.cause_name,
        body.until,
        body.stack,
        body.callout,
        told.at,
        told.fact.id,
    )


def _hold_lifted(told: Telling, body: HoldLifted) -> None:
    hold = told.assembly.holds.get(body.hold)
    if hold is None:
        told.flag("hold-unknown", f"no hold {body.hold}")
        return
    hold.lifted_at, hold.lifted_because = told.at, body.reason


def _asked(told: Telling, body: QuestionAsked) -> None:
    told.assembly.questions[body.question] = QuestionNow(
        body.question,
        body.text,
        told.named_now(body.holes),
        body.asked_of,
        told.at,
    )


def _answer(told: Telling, body: QuestionAnswered) -> None:
    question = told.assembly.questions.get(body.question)
    if question is None:
        told.flag("question-unknown", f"no question {body.question}")
        return
    question.answer, question.by = body.answer, body.by
    question.document, question.answered_at = body.document, told.at


def _finding(told: Telling, body: FindingAnswered) -> None:
    told.note_down(
        told.assembly.answers,
        Answered(
            told.fact.id,
            body.code,
            told.named_now(body.holes),
            body.answer,
            body.by,
            body.document,
            told.at,
        ),
    )


def _step(told: Telling, name: str) -> StepNow:
    return told.assembly.steps.setdefault(name, StepNow())


def _begun(told: Telling, body: StepBegun) -> None:
    step = _step(told, body.step)
    step.state, step.begun_at = "under way", told.at
    step.finished_at = ""
    step.note = body.note or step.note


def _finished(told: Telling, body: StepFinished) -> None:
    step = _step(told, body.step)
    step.state, step.finished_at, step.left = "done", told.at, body.left
    step.note = body.note or step.note


def _noted(told: Telling, body: StepNoted) -> None:
    step = _step(told, body.step)
    step.state, step.note = body.state, body.note


def _ticked(told: Telling, body: GateTicked) -> None:
    lines = told.assembly.gates.setdefault(body.gate, {})
    lines[body.line] = Tick(
        told.fact.id, told.fact.person, told.at, body.is_ticked, body.note
    )


def _signed(told: Telling, body: InspectionSigned) -> None:
    told.note_down(
        told.assembly.signatures,
        Signature(told.fact.id, body.step, body.by, body.is_passed, told.at, body.text),
    )


def _bulletin(told: Telling, body: BulletinReceived) -> None:
    told.assembly.bulletins[body.bulletin] = told.at


def _met(told: Telling, body: BulletinMet) -> None:
    told.assembly.met[body.bulletin] = Met(
        told.fact.id,
        body.bulletin,
        body.how,
        body.by,
        told.named_now(body.holes),
        body.document,
        told.at,
    )


def _note(told: Telling, body: NoteWritten) -> None:
    told.note_down(
        told.assembly.notes,
        NoteNow(
            told.fact.id,
            body.text,
            told.named_now(body.holes),
            body.step,
            told.fact.person,
            told.at,
        ),
    )


def _photo(told: Telling, body: PhotoTaken) -> None:
    told.note_down(
        told.assembly.photos,
        PhotoNow(
            told.fact.id,
            body.digest,
            body.media,
            told.named_now(body.holes),
            body.step,
            body.caption,
            told.fact.person,
            told.at,
        ),
    )


HOLE_KINDS: dict[type, Callable[[Telling, Any], None]] = {
    HoleWorked: _worked,
    HolderMoved: _holder,
    RivetsSet: _set,
    LeftOpen: _left_open,
    HeadChecked: _checked,
    HeadDecided: _settled,
    RivetRemoved: _removed,
    HoleOpenedUp: _opened_up,
    HoldPut: _hold_put,
    HoldLifted: _hold_lifted,
    QuestionAsked: _asked,
    QuestionAnswered: _answer,
    FindingAnswered: _finding,
    StepBegun: _begun,
    StepFinished: _finished,
    StepNoted: _noted,
    GateTicked: _ticked,
    InspectionSigned: _signed,
    BulletinReceived: _bulletin,
    BulletinMet: _met,
    NoteWritten: _note,
    PhotoTaken: _photo,
}

"""Facts of the record as sentences a person of the trade would say."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from rivetwright.bench.diary import Line
from rivetwright.bench.gate import CLOSE, READY
from rivetwright.record.kinds import (
    PART,
    TOOL,
    BulletinMet,
    BulletinReceived,
    Counted,
    Delivered,
    FindingAnswered,
    GateTicked,
    HeadChecked,
    HeadDecided,
    HolderMoved,
    HoldLifted,
    HoldPut,
    HoleOpenedUp,
    HoleWorked,
    HoursBegun,
    HoursBooked,
    HoursEnded,
    InspectionSigned,
    Kind,
    LeftOpen,
    NoteWritten,
    OpeningTaken,
    Ordered,
    PhotoTaken,
    PlanIssued,
    QuestionAnswered,
    QuestionAsked,
    Received,
    RivetRemoved,
    RivetsSet,
    StepBegun,
    StepFinished,
    StepNoted,
    Undone,
)
from rivetwright.texts.catalogue import catalogue
from rivetwright.texts.head_words import look_words
from rivetwright.units.wording import show_both
from rivetwright.web.sayings import Sayings

Told = Callable[[Line, Sayings], Iterator[str]]


def fact_words(line: Line, say: Sayings) -> str:
    """One fact as a sentence: what was done, then what belongs to it."""
    parts = [part.strip() for part in TOLD[type(line.body)](line, say)]
    note = getattr(line.body, "note", "")
    return "; ".join(filter(None, [*parts, note]))


def holes_words(line: Line, say: Sayings) -> str:
    """Holes by name; that they are of another plan where this one lacks them."""
    return ", ".join(line.holes) or say("fact.gone")


def _word(section: str, word: str, say: Sayings) -> str:
    """A word of the record as the catalogue says it; as it stands where it does not."""
    key = section + word
    return say(key) if key in say.own else word


def _because(reason: str, say: Sayings) -> str:
    return say("fact.because", reason=reason) if reason else ""


def _worked(line: Line, say: Sayings) -> Iterator[str]:
    body = line.body
    assert isinstance(body, HoleWorked)
    done = _word("bench.operation.", body.operation, say)
    yield say("fact.worked", holes=holes_words(line, say), done=done)
    yield say("bench.ops.sheet", part=body.part) if body.part else ""


def _holder(line: Line, say: Sayings) -> Iterator[str]:
    body = line.body
    assert isinstance(body, HolderMoved)
    holes = holes_words(line, say)
    if body.is_in:
        yield say("fact.holder_in", holes=holes)
    else:
        yield say("fact.holder_out", holes=holes)


def _set(line: Line, say: Sayings) -> Iterator[str]:
    body = line.body
    assert isinstance(body, RivetsSet)
    yield say("fact.set", holes=holes_words(line, say), callout=body.callout)
    yield _because(body.reason, say)
    if body.tray_count is not None:
        yield say("fact.tray", count=body.tray_count)
    if body.left_over:
        yield say("fact.left_over", count=body.left_over)


def _left_open(line: Line, say: Sayings) -> Iterator[str]:
    body = line.body
    assert isinstance(body, LeftOpen)
    holes = holes_words(line, say)
    if body.is_marked:
        yield say("fact.marked", holes=holes)
    else:
        yield say("fact.left_open", holes=holes)
    yield body.reason


def _checked(line: Line, say: Sayings) -> Iterator[str]:
    body = line.body
    assert isinstance(body, HeadChecked)
    holes = holes_words(line, say)
    looks = ", ".join(look_words(look) for look in body.looks)
    if looks:
        yield say("fact.head_bad", holes=holes, looks=looks)
    else:
        yield say("fact.head_seen", holes=holes)
    if body.width_mm is not None:
        yield say("fact.wide", size=_size(body.width_mm))
    if body.height_mm is not None:
        yield say("fact.high", size=_size(body.height_mm))
    if body.offset_mm:
        yield say("fact.beside", size=_size(body.offset_mm))
    if body.proud_mm:
        yield say("fact.proud", size=_size(body.proud_mm))


def _decided(line: Line, say: Sayings) -> Iterator[str]:
    body = line.body
    assert isinstance(body, HeadDecided)
    yield say(
        "fact.decided",
        holes=holes_words(line, say),
        decision=catalogue().word("head_action", body.decision).rstrip("."),
    )
    yield _because(body.reason, say)
    yield _from(body.by, "", say)


def _size(size_mm: float) -> str:
    both = show_both(size_mm, style="decimal")
    return f"{both.main} ({both.other})"


def _removed(line: Line, say: Sayings) -> Iterator[str]:
    assert isinstance(line.body, RivetRemoved)
    yield say("fact.removed", holes=holes_words(line, say))
    yield _because(line.body.reason, say)


def _opened_up(line: Line, say: Sayings) -> Iterator[str]:
    body = line.body
    assert isinstance(body, HoleOpenedUp)
    yield say("fact.opened_up", holes=holes_words(line, say), drill=body.drill)
    yield _because(body.reason, say)


def _hold(line: Line, say: Sayings) -> Iterator[str]:
    body = line.body
    assert isinstance(body, HoldPut)
    yield say("fact.hold", holes=holes_words(line, say), reason=body.reason)
    if body.cause_name:
        yield say("bench.open.wait_part", name=body.cause_name)
    yield say("bench.open.until", day=body.until) if body.until else ""


def _lifted(line: Line, say: Sayings) -> Iterator[str]:
    assert isinstance(line.body, HoldLifted)
    yield say("fact.lifted", holes=line.about or say("fact.gone"))
    yield _because(line.body.reason, say)


def _asked(line: Line, say: Sayings) -> Iterator[str]:
    body = line.body
    assert isinstance(body, QuestionAsked)
    of = body.asked_of
    if of:
        yield say("fact.asked_of", of=of, text=body.text)
    else:
        yield say("fact.asked", text=body.text)
    yield ", ".join(line.holes)


def _answered(line: Line, say: Sayings) -> Iterator[str]:
    body = line.body
    assert isinstance(body, QuestionAnswered)
    question = line.about or say("fact.gone_question")
    yield say("fact.answer", question=question, answer=body.answer)
    yield _from(body.by, body.document, say)


def _finding(line: Line, say: Sayings) -> Iterator[str]:
    body = line.body
    assert isinstance(body, FindingAnswered)
    yield say("fact.finding", code=body.code, answer=body.answer)
    yield ", ".join(line.holes)
    yield _from(body.by, body.document, say)


def _from(by: str, document: str, say: Sayings) -> str:
    who = ", ".join(filter(None, (by, document)))
    return say("fact.by", by=who) if who else ""


def _begun(line: Line, say: Sayings) -> Iterator[str]:
    assert isinstance(line.body, StepBegun)
    yield say("fact.begun", step=line.body.step)


def _finished(line: Line, say: Sayings) -> Iterator[str]:
    body = line.body
    assert isinstance(body, StepFinished)
    yield say("fact.finished", step=body.step)
    yield say("fact.left", left=body.left) if body.left else ""


def _noted(line: Line, say: Sayings) -> Iterator[str]:
    assert isinstance(line.body, StepNoted)
    yield say("fact.step", step=line.body.step, state=line.body.state)


def _ticked(line: Line, say: Sayings) -> Iterator[str]:
    body = line.body
    assert isinstance(body, GateTicked)
    gate, _, step = body.gate.partition(":")
    word, _, of = body.line.partition(" ")
    if gate == READY:
        yield say("fact.ready", step=step, line=_word("bench.gate.", word, say))
        yield of.replace("|", ", ").rstrip(", ")
    elif gate == CLOSE:
        yield say("fact.close", step=step, line=_word("bench.close.", word, say))
    else:
        yield say("fact.without", step=step, name=of)
    yield "" if body.is_ticked else say("fact.unticked")


def _signed(line: Line, say: Sayings) -> Iterator[str]:
    body = line.body
    assert isinstance(body, InspectionSigned)
    if body.is_passed:
        yield say("fact.passed", step=body.step, by=body.by)
    else:
        yield say("fact.failed", step=body.step, by=body.by)
    yield body.text


def _bulletin(line: Line, say: Sayings) -> Iterator[str]:
    assert isinstance(line.body, BulletinReceived)
    yield say("fact.bulletin", name=line.body.bulletin)
    yield line.body.title


def _met(line: Line, say: Sayings) -> Iterator[str]:
    body = line.body
    assert isinstance(body, BulletinMet)
    yield say("fact.met", name=body.bulletin, how=body.how)
    yield ", ".join(line.holes)
    yield _from(body.by, body.document, say)


def _supply(line: Line, say: Sayings) -> Iterator[str]:
    body = line.body
    assert isinstance(body, Ordered | Delivered | Received | Counted)
    named = body.named
    if body.what == PART:
        named = say("fact.part", name=named)
    elif body.what == TOOL:
        named = say("fact.tool", name=named)
    if isinstance(body, Received):
        yield say("fact.received", named=named, count=body.count)
    elif isinstance(body, Counted):
        yield say("fact.counted", named=named, count=body.count)
    elif isinstance(body, Ordered):
        yield say("fact.ordered", named=named, count=body.count)
        yield say("fact.due", day=body.due) if body.due else ""
    else:
        yield say("fact.stands", named=named, state=body.state)
        yield say("fact.due", day=body.due) if body.due else ""


def _hours(line: Line, say: Sayings) -> Iterator[str]:
    body = line.body
    if isinstance(body, HoursBegun):
        yield say("fact.timer", work=body.operation)
    elif isinstance(body, HoursBooked):
        more = {"count": body.minutes, "day": body.day}
        yield say("fact.booked", work=body.operation, **more)
    else:
        yield say("fact.timer_end")


def _note(line: Line, say: Sayings) -> Iterator[str]:
    assert isinstance(line.body, NoteWritten)
    yield say("fact.note", text=line.body.text)
    yield ", ".join(line.holes) or line.body.step


def _photo(line: Line, say: Sayings) -> Iterator[str]:
    body = line.body
    assert isinstance(body, PhotoTaken)
    of = ", ".join(line.holes) or body.step or line.assembly
    yield say("fact.photo", of=of)
    yield body.caption


def _undone(line: Line, say: Sayings) -> Iterator[str]:
    assert isinstance(line.body, Undone)
    kind = line.about
    what = _word("bench.last.", kind, say) if kind else say("fact.gone_fact")
    yield say("fact.undone", what=what)
    yield _because(line.body.reason, say)


def _plan(line: Line, say: Sayings) -> Iterator[str]:
    body = line.body
    if isinstance(body, PlanIssued):
        yield say("fact.issued", revision=body.revision)
    else:
        yield say("fact.opening")


TOLD: dict[type[Kind], Told] = {
    HoleWorked: _worked,
    HolderMoved: _holder,
    RivetsSet: _set,
    LeftOpen: _left_open,
    HeadChecked: _checked,
    HeadDecided: _decided,
    RivetRemoved: _removed,
    HoleOpenedUp: _opened_up,
    HoldPut: _hold,
    HoldLifted: _lifted,
    QuestionAsked: _asked,
    QuestionAnswered: _answered,
    FindingAnswered: _finding,
    StepBegun: _begun,
    StepFinished: _finished,
    StepNoted: _noted,
    GateTicked: _ticked,
    InspectionSigned: _signed,
    BulletinReceived: _bulletin,
    BulletinMet: _met,
    Ordered: _supply,
    Delivered: _supply,
    Received: _supply,
    Counted: _supply,
    HoursBegun: _hours,
    HoursEnded: _hours,
    HoursBooked: _hours,
    NoteWritten: _note,
    PhotoTaken: _photo,
    Undone: _undone,
    PlanIssued: _plan,
    OpeningTaken: _plan,
}

"""Take marks from the bench into the record, or say why one is not taken.

What happened is always taken, unless it needs a reason that can still be asked for:
a rivet of another code than the plan's, or in a hole that must wait or that a finding
stops. A sender who could not know of the hold or the revision is not asked. Words
that mean nothing are asked back too. Why: `design/record.md`.
"""

from __future__ import annotations

import secrets
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from rivetwright.bench.meaning import see_to_words
from rivetwright.bench.now import HoleIds, standing
from rivetwright.bench.open_now import must_stay_open, stopped_holes
from rivetwright.bench.workshop import Workshop
from rivetwright.errors import (
    FactRefused,
    NotAllowed,
    ReasonNeeded,
    Refusal,
    StoreRefused,
)
from rivetwright.record.devices import MARKS, OWNER
from rivetwright.record.fact import Fact, as_json, read_fact
from rivetwright.record.kinds import Kind, OpeningTaken, PlanIssued, RivetsSet, Undone
from rivetwright.record.order import write_utc
from rivetwright.record.ranges import named
from rivetwright.record.state import HoldNow, State
from rivetwright.record.store import Kept

BATCH_MAX = 500


@dataclass(frozen=True)
class Sender:
    """Who sends: a device, the person it belongs to, and what it may do."""

    device: str
    person: str
    role: str = MARKS


@dataclass(frozen=True)
class Taken:
    """One mark that is in the record now; `flags` say what is odd about it."""

    id: str
    seq: int
    is_new: bool
    flags: tuple[str, ...] = ()


@dataclass(frozen=True)
class Answer:
    """What became of each mark."""

    taken: tuple[Taken, ...]
    refused: tuple[tuple[str, Refusal], ...]
    position: int


def keep(
    workshop: Workshop, sender: Sender, marks: Sequence[Mapping[str, Any]]
) -> Answer:
    """Take marks in the order given.

    Project, person and device come from the sender, whatever a mark says of them.

    Raises:
        NotAllowed: the sender may only read.
        NotFound: the record was not begun.
        FactRefused: too many marks at once.
        StoreRefused: the record cannot be written; nothing of the batch was taken.
    """
    if sender.role not in (OWNER, MARKS):
        raise NotAllowed(
            asked="record a mark",
            found="a device that may only read",
            allowed="a device paired for marking",
            do="pair it on the laptop's page Devices",
        )
    if len(marks) > BATCH_MAX:
        raise FactRefused(
            asked="take marks",
            found=f"{len(marks)} at once",
            allowed=f"at most {BATCH_MAX}",
            do="send fewer at once",
        )
    with workshop.lock:
        return _keep(workshop, sender, marks)


def keep_here(
    workshop: Workshop,
    sender: Sender,
    body: Kind,
    *,
    assembly: str,
    revision: int = 0,
    saw: int = 0,
    fact_id: str = "",
) -> Answer:
    """Take one mark made on a page of the laptop, which counts these itself.

    A page that gives its mark an id may send it twice: it is one fact.

    Raises:
        NotAllowed: the sender may only read.
        StoreRefused: the record cannot be written.
    """
    with workshop.lock:
        device = f"{sender.device}.form"
        fact = Fact(
            id=fact_id or secrets.token_hex(16),
            project=workshop.project_id,
            assembly=assembly,
            person=sender.person,
            device=device,
            device_seq=workshop.last_device_seq(device) + 1,
            happened=write_utc(workshop.clock()),
            body=body,
            revision=revision,
            saw=saw,
        )
        own = Sender(device, sender.person, sender.role)
        return keep(workshop, own, [as_json(fact)])


def _keep(
    workshop: Workshop, sender: Sender, marks: Sequence[Mapping[str, Any]]
) -> Answer:
    facts: list[Fact] = []
    refused: list[tuple[str, Refusal]] = []
    workshop.begun()
    if _has_new_plan(workshop):
        # A plan that came later: its opening counts before the first mark on it.
        workshop.begin()
    known = workshop.state()
    for said in marks:
        try:
            fact = _read(workshop, sender, said)
            # A mark whose answer was lost comes again; it is in, whatever came since.
            if workshop.position_of(fact.id) is None:
                see_to_words(workshop, known, fact)
                check(workshop, known, fact)
        except StoreRefused:
            raise
        except Refusal as refusal:
            refused.append((str(said.get("id", ""))[:64], refusal))
        else:
            facts.append(fact)
    kept, stale = _append(workshop, facts)
    refused += stale
    state = workshop.state()
    odd = _flags(workshop, state, facts)
    taken = tuple(Taken(k.id, k.seq, k.is_new, odd.get(k.id, ())) for k in kept)
    return Answer(taken, tuple(refused), state.position)


def _has_new_plan(workshop: Workshop) -> bool:
    return not set(workshop.plan_ids) <= set(workshop.state().openings)


def _append(
    workshop: Workshop, facts: Sequence[Fact]
) -> tuple[list[Kept], list[tuple[str, Refusal]]]:
    """Observations in one transaction; each decision in its own, it may be stale."""
    kept: list[Kept] = []
    refused: list[tuple[str, Refusal]] = []
    together: list[Fact] = []
    for fact in facts:
        if not fact.body.is_decision:
            together.append(fact)
            continue
        if together:
            kept += workshop.append(together)
            together = []
        try:
            kept += workshop.append([fact])
        except Refusal as refusal:
            refused.append((fact.id, refusal))
    if together:
        kept += workshop.append(together)
    return kept, refused


def _read(workshop: Workshop, sender: Sender, said: Mapping[str, Any]) -> Fact:
    """A mark as a fact of this sender."""
    own = {"person": sender.person, "device": sender.device}
    fact = read_fact({**said, **own, "project": workshop.project_id})
    if fact.assembly and fact.assembly not in workshop.plan_ids:
        raise FactRefused(
            asked="take a mark",
            found=f"assembly {fact.assembly}",
            allowed=f"one of {', '.join(workshop.plan_ids)}",
            do="load the page again; the plan file of this assembly is gone",
        )
    _see_to_the_plan(workshop, sender, fact.body)
    return fact


def _see_to_the_plan(workshop: Workshop, sender: Sender, body: Kind) -> None:
    """A plan is issued by its owner, whose file was stored; openings are begun.

    Neither is taken back: a further revision says what holds then.
    """
    about = _taken_back(workshop, body) if isinstance(body, Undone) else body
    if not isinstance(about, PlanIssued | OpeningTaken):
        return
    is_stored = isinstance(body, PlanIssued) and workshop.document(body.digest)
    if is_stored and sender.role == OWNER:
        return
    raise FactRefused(
        asked=f"record {body.name}",
        found="a mark from the bench",
        allowed="a plan file issued on the laptop, which stores it",
        do="issue the plan with rivetwright record issue",
    )


def _taken_back(workshop: Workshop, body: Undone) -> Kind | None:
    """What a mark takes back; None where the record does not have it."""
    at = workshop.position_of(body.fact)
    if at is None:
        return None
    (entry,) = workshop.begun().entries(workshop.project_id, at - 1, at)
    return entry.fact.body


def check(workshop: Workshop, state: State, fact: Fact) -> None:
    """See that a rivet set against the plan, a hold or a stop comes with a reason.

    Raises:
        ReasonNeeded: it does not, and the sender could have known.
    """
    body = fact.body
    if not isinstance(body, RivetsSet) or body.reason.strip():
        return
    ids = workshop.hole_ids(fact.assembly, fact.revision)
    now = state.assembly(fact.assembly)
    if fact.revision and fact.revision < now.revision:
        return
    held = held_holes(ids, state, fact.assembly)
    at_work = ids.indices(body.holes)
    stopped = _stopped(workshop, ids, fact, at_work)
    for at in at_work:
        name = ids.holes.name(at)
        planned = str(ids.holes.callout(at))
        row_callout = str(ids.holes.row_of(at).callout)
        if body.callout not in (planned, row_callout):
            raise _needs_reason(
                f"{body.callout} in {name}", f"{planned}, which the plan gives"
            )
        hold = held.get(at)
        if hold is not None and _known(workshop, hold, fact):
            raise _needs_reason(f"{name} on hold: {hold.reason}", "a hole free to set")
        opened = int(ids.holes.open_holes[at])
        if opened >= 0 and _must_stay_open(ids, at, fact, state):
            why = ids.holes.plan.open_holes[opened].reason
            raise _needs_reason(f"{name} to be left open: {why}", "a hole free to set")
        if at in stopped:
            raise _needs_reason(
                f"{name}, which finding {stopped[at]} stops; nobody has answered it",
                "a hole free to set, or a finding that somebody answered for",
            )


def _stopped(
    workshop: Workshop, ids: HoleIds, fact: Fact, holes: Sequence[int]
) -> dict[int, str]:
    """Holes that a finding stops, with its code.

    Working the plan out anew takes a while: only where it stopped one of these before.
    """
    now = workshop.state().assembly(fact.assembly)

    def look() -> dict[int, str]:
        worked_plan = workshop.worked_plan(fact.assembly, fact.revision)
        return stopped_holes(worked_plan, ids, now)

    stopped = look()
    if stopped.keys().isdisjoint(holes):
        return {}
    workshop.now()
    return look()


def held_holes(ids: HoleIds, state: State, assembly: str) -> dict[int, HoldNow]:
    """Holes that are on hold, each with the hold that was put last."""
    return {
        at: hold
        for hold in standing(state.assembly(assembly))
        for at in ids.indices(hold.holes)
    }


def _known(workshop: Workshop, hold: HoldNow, fact: Fact) -> bool:
    """Whether the sender had seen the hold: it was put at or before what it saw."""
    put = workshop.position_of(hold.fact)
    return put is None or put <= fact.saw


def _must_stay_open(ids: HoleIds, at: int, fact: Fact, state: State) -> bool:
    """Whether the later step of an open hole is still to come, or its part."""
    opened = ids.holes.plan.open_holes[int(ids.holes.open_holes[at])]
    if not opened.step:
        return must_stay_open(opened, state, "")
    step = state.assembly(fact.assembly).steps.get(opened.step)
    return step is None or step.state not in ("under way", "done")


def _needs_reason(found: str, allowed: str) -> ReasonNeeded:
    return ReasonNeeded(
        asked="record a set rivet",
        found=found,
        allowed=f"{allowed}; anything else only with a reason",
        do="write the reason and send it again; the mark is kept until then",
    )


def _flags(
    workshop: Workshop, state: State, facts: Sequence[Fact]
) -> dict[str, tuple[str, ...]]:
    """What is odd about facts just taken."""
    odd: dict[str, list[str]] = {fact.id: [] for fact in facts}
    for flag in state.flags:
        if flag.fact in odd:
            odd[flag.fact].append(flag.code)
    for fact in facts:
        if not fact.assembly:
            continue
        ids = workshop.hole_ids(fact.assembly, fact.revision)
        pairs = named(getattr(fact.body, "holes", ()))
        if any(ids.index(row, number) is None for row, number in pairs):
            odd[fact.id].append("hole-unknown")
        if isinstance(fact.body, RivetsSet) and not fact.body.reason.strip():
            held = held_holes(ids, state, fact.assembly)
            if any(at in held for at in ids.indices(fact.body.holes)):
                odd[fact.id].append("held-since")
    return {name: tuple(codes) for name, codes in odd.items() if codes}


def as_sender(fact: Fact, sender: Sender) -> Fact:
    """A fact as another sender's: for marks carried over by hand."""
    return replace(fact, device=sender.device, person=sender.person)

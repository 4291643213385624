"""A file's opening becomes facts, once; from then on the record speaks."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime
from pathlib import PurePath

from rivetwright.bench.now import HoleIds
from rivetwright.model.columns import parse_hole_range
from rivetwright.model.opening import HoursEntry, Opening, WorkDone
from rivetwright.model.shop import Shop
from rivetwright.record.fact import Fact, as_json, read_fact
from rivetwright.record.kinds import (
    DRILLED,
    OPENING_DEVICE,
    PART,
    STOCK,
    TOOL,
    BulletinReceived,
    Counted,
    Delivered,
    HeadChecked,
    HoldPut,
    HoleWorked,
    HoursBooked,
    Kind,
    OpeningTaken,
    PlanIssued,
    QuestionAnswered,
    QuestionAsked,
    RivetRemoved,
    RivetsSet,
    StepBegun,
    StepFinished,
    StepNoted,
)
from rivetwright.record.order import write_utc
from rivetwright.record.ranges import NAMED_MAX

FIRST_DAY = date(1970, 1, 1)
# What is time at the bench; the rest (reading, tidying, ordering) is kept apart.
NOT_BENCH = ("read", "clean", "tidy", "order", "film", "put away")
BY_THE_DAY = "by the day of the opening; on which day is not known"


@dataclass(frozen=True)
class Dated:
    """A fact to be, with its day and who did it."""

    day: date
    body: Kind
    person: str = ""


def is_bench_time(operation: str) -> bool:
    """Whether an operation is work at the bench."""
    return not operation.lower().startswith(NOT_BENCH)


@dataclass(frozen=True)
class Begun:
    """For whom, when and where in the record an opening becomes facts.

    `person` is who is meant where the file names nobody. No fact counts as later
    than `now`, so that what is marked from then on comes after all of them.
    """

    project: str
    person: str
    now: datetime
    saw: int = 0


def plan_facts(ids: HoleIds, begun: Begun, digest: str) -> list[Fact]:
    """The facts of a plan's opening, in the order of their days.

    Args:
        ids: the plan's holes.
        begun: for whom, when and where.
        digest: of the plan file, stored with the record.
    """
    plan = ids.holes.plan
    opening = plan.opening
    last = _last_day(opening)
    said = [*_work(ids, opening, last), *_words(ids, opening, last)]
    said.sort(key=lambda one: one.day)
    # Its name alone: where the folder lies is no fact.
    taken = OpeningTaken(PurePath(plan.file).name, digest, last.isoformat())
    said.append(Dated(last, taken))
    first = said[0].day
    issued = PlanIssued(plan.revision, digest, plan.drawing)
    said.insert(0, Dated(min(first, plan.issued or first), issued))
    return made(said, begun, plan.id, plan.revision)


def shop_facts(shop: Shop, begun: Begun, digest: str) -> list[Fact]:
    """The facts of a shop's opening: stock, tools on order, hours of no assembly."""
    days = [shop.opening_day, *(one.day for one in shop.hours)]
    last = max((day for day in days if day), default=FIRST_DAY)
    said = [_hours(one) for one in shop.hours]
    said += [
        Dated(last, Delivered(TOOL, tool.id, tool.state, _iso(tool.due), tool.note))
        for tool in shop.tools
    ]
    said += [Dated(last, Counted(STOCK, one.code, one.count)) for one in shop.stock]
    said.sort(key=lambda one: one.day)
    said.append(Dated(last, OpeningTaken("shop", digest, last.isoformat())))
    return made(said, begun, "", 0)


def _last_day(opening: Opening) -> date:
    """The day by which everything had happened: what names no day counts last."""
    days = [
        opening.day,
        *(one.asked for one in opening.questions),
        *(
            one.day
            for some in (opening.done, opening.heads, opening.hours, opening.bulletins)
            for one in some
        ),
    ]
    return max((day for day in days if day), default=FIRST_DAY)


def made(said: list[Dated], begun: Begun, assembly: str, revision: int) -> list[Fact]:
    """Facts with ids that follow from what they say, so that twice is once.

    Raises:
        FactRefused: a day or a text is none that the record can hold.
    """
    device = f"{OPENING_DEVICE}{assembly or 'shop'}"
    now = write_utc(begun.now)
    facts = []
    for k, one in enumerate(said, start=1):
        name = f"{begun.project}\n{device}\n{k}\n{one.body.name}"
        facts.append(
            Fact(
                id=hashlib.sha256(name.encode()).hexdigest()[:32],
                project=begun.project,
                assembly=assembly,
                person=one.person or begun.person,
                device=device,
                device_seq=k,
                happened=min(f"{one.day.isoformat()}T12:00:00.000Z", now),
                body=one.body,
                revision=revision,
                saw=begun.saw,
            )
        )
    # Read as every reader will: what cannot be read again is never written.
    return [read_fact(as_json(fact)) for fact in facts]


def _work(ids: HoleIds, opening: Opening, last: date) -> Iterator[Dated]:
    """Work on holes as the log says, and what no line of the log speaks of."""
    logged: dict[str, set[int]] = {}
    for one in opening.done:
        holes = _indices(ids, one.holes)
        logged.setdefault(one.operation, set()).update(holes)
        for body in _bodies(ids, one, holes):
            yield Dated(one.day or last, body, one.by[0] if one.by else "")
    drilled = set(_indices(ids, opening.drilled)) - logged.get(DRILLED, set())
    if drilled:
        rest = WorkDone(DRILLED, (), note=BY_THE_DAY)
        for body in _bodies(ids, rest, sorted(drilled)):
            yield Dated(last, body)
    done = set(_indices(ids, opening.set_holes)) - logged.get("set", set())
    if done:
        rest = WorkDone("set", (), note=BY_THE_DAY)
        for body in _bodies(ids, rest, sorted(done)):
            yield Dated(last, body)
    for head in opening.heads:
        ranges = ids.ranges(_indices(ids, (head.hole,)))
        seen = HeadChecked(
            ranges,
            head.width_mm,
            head.height_mm,
            head.looks,
            head.note,
            offset_mm=head.offset_mm,
            proud_mm=head.proud_mm,
        )
        yield Dated(head.day or last, seen)


def _indices(ids: HoleIds, written: tuple[str, ...]) -> list[int]:
    """Holes of ranges as the plan names them."""
    columns = ids.holes
    return [at for text in written for at in columns.indices(parse_hole_range(text))]


def _bodies(ids: HoleIds, one: WorkDone, holes: list[int]) -> Iterator[Kind]:
    """What one line of the log says; rivets by callout, so many holes a fact."""
    by_callout: dict[str, list[int]] = {}
    for at in holes:
        code = one.callout or str(ids.holes.row_of(at).callout)
        by_callout.setdefault(code if one.operation == "set" else "", []).append(at)
    for code, all_of_it in by_callout.items():
        for some in batched(all_of_it):
            ranges = ids.ranges(some)
            if one.operation == "removed":
                yield RivetRemoved(ranges, one.note or "removed")
            elif one.operation == "set":
                yield RivetsSet(ranges, code, one.setup, one.by, note=one.note)
            else:
                yield HoleWorked(ranges, one.operation, one.part, note=one.note)


def batched(holes: list[int]) -> Iterator[list[int]]:
    """Holes in lots that one fact may name."""
    for first in range(0, len(holes), NAMED_MAX):
        yield holes[first : first + NAMED_MAX]


def _words(ids: HoleIds, opening: Opening, last: date) -> Iterator[Dated]:
    """Holds, questions, deliveries, bulletins, steps and hours."""
    for hold in opening.holds:
        ranges = ids.ranges(_indices(ids, hold.holes))
        body = HoldPut(
            hold.id,
            ranges,
            hold.reason,
            hold.kind,
            hold.name,
            _iso(hold.until),
            hold.stack,
            hold.callout,
        )
        yield Dated(last, body)
    for one in opening.questions:
        ranges = ids.ranges(_indices(ids, one.holes))
        yield Dated(one.asked or last, QuestionAsked(one.id, one.text, ranges))
        if one.answer:
            yield Dated(last, QuestionAnswered(one.id, one.answer))
    for part in opening.deliveries:
        delivered = Delivered(PART, part.part, part.state, _iso(part.due), part.note)
        yield Dated(last, delivered)
    for bulletin in opening.bulletins:
        day = _iso(bulletin.day)
        received = BulletinReceived(bulletin.id, bulletin.title, day)
        yield Dated(bulletin.day or last, received)
    for step in opening.steps:
        if step.state == "done":
            yield Dated(last, StepFinished(step.step, note=step.note))
        elif step.state == "under way":
            yield Dated(last, StepBegun(step.step, step.note))
        else:
            yield Dated(last, StepNoted(step.step, step.state, step.note))
    for hours in opening.hours:
        yield _hours(hours)


def _hours(one: HoursEntry) -> Dated:
    """Time at an operation on a day."""
    is_bench = is_bench_time(one.operation)
    body = HoursBooked(
        one.day.isoformat(),
        one.operation,
        one.minutes,
        is_bench,
        one.count,
        one.counted,
        one.note,
    )
    return Dated(one.day, body)


def _iso(day: date | None) -> str:
    return day.isoformat() if day else ""

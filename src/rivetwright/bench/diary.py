"""The record as it is read from day to day: newest facts, odd ones, stock, hours."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from rivetwright.bench.hours import Spent, spent_by, zone_of
from rivetwright.bench.rates import Rate, rates
from rivetwright.bench.workshop import Workshop
from rivetwright.errors import NotFound
from rivetwright.record.chain import Entry, Head
from rivetwright.record.kinds import (
    OPENING_DEVICE,
    HoldLifted,
    Kind,
    OpeningTaken,
    PlanIssued,
    QuestionAnswered,
    Undone,
)
from rivetwright.record.order import counted_at, read_utc
from rivetwright.record.state import PhotoNow, QuestionNow, State, StockNow

NEWEST = 200
DIGITS_MOST = 16


@dataclass(frozen=True)
class Line:
    """One fact: when by the wall clock of the shop, who, what, and what is odd.

    `person` is called by name where the shop file has one. `holes` are ranges by the
    plan's names. `about` is what the fact speaks of by an id alone: the question that
    was answered, the holes of a hold that was lifted, the kind of fact taken back.
    """

    seq: int
    at: str
    day: str
    time: str
    person: str
    assembly: str
    body: Kind
    holes: tuple[str, ...]
    about: str
    flags: tuple[str, ...]
    is_taken_back: bool
    is_from_file: bool


@dataclass(frozen=True)
class OneFact:
    """A fact by itself: its line, its place in the chain, whether it may go back."""

    line: Line
    entry: Entry
    may_go_back: bool


@dataclass(frozen=True)
class Day:
    """What was done on one day, the last of it first."""

    day: str
    lines: tuple[Line, ...]


@dataclass(frozen=True)
class Diary:
    """What the page about the record shows, the newest day first."""

    head: Head
    days: tuple[Day, ...]
    stock: tuple[tuple[str, StockNow], ...]
    spent: tuple[Spent, ...]
    questions: tuple[tuple[str, QuestionNow], ...]
    photos: tuple[PhotoNow, ...]
    rates: tuple[Rate, ...]


@dataclass
class _Reading:
    """What is needed to read some entries."""

    workshop: Workshop
    state: State
    people: dict[str, str]
    odd: dict[str, list[str]]
    back: set[str]


def diary(workshop: Workshop, newest: int = NEWEST) -> Diary:
    """The newest facts, and what they come to.

    Raises:
        NotFound: no record was begun.
    """
    with workshop.lock:
        state = workshop.state()
        after = max(0, state.position - newest)
        entries = list(workshop.entries(after))
        people = _people(workshop)
        reading = _Reading(workshop, state, people, _odd(state), _back(entries))
        assemblies = state.assemblies.items()
        return Diary(
            Head(state.position, state.digest),
            _days(_line(reading, entry) for entry in entries),
            tuple((name, one) for (_, name), one in sorted(state.stock.items())),
            spent_by(state.booked),
            tuple((key, q) for key, one in assemblies for q in one.questions.values()),
            tuple(photo for _, one in assemblies for photo in one.photos),
            rates(state.runs),
        )


def one_fact(workshop: Workshop, written: str) -> OneFact:
    """One fact of the record, whole.

    Args:
        workshop: the folder and its record.
        written: its place in the chain as it was asked for, from 1.

    Raises:
        NotFound: no record was begun, or it has no such place.
    """
    with workshop.lock:
        state = workshop.state()
        is_number = written.isascii() and written.isdigit()
        seq = int(written) if is_number and len(written) < DIGITS_MOST else 0
        entries = list(workshop.entries(seq - 1)) if seq > 0 else []
        if not entries:
            raise NotFound(
                asked=f"show fact {written[:40]} of the record",
                found=f"a record of {state.position} facts",
                allowed=f"1 to {state.position}",
                do="choose it on the page Record",
            )
        back = _back(entries)
        reading = _Reading(workshop, state, _people(workshop), _odd(state), back)
        entry = entries[0]
        is_plan = isinstance(entry.fact.body, PlanIssued | OpeningTaken)
        is_back = entry.fact.id in back
        return OneFact(_line(reading, entry), entry, not is_plan and not is_back)


def _people(workshop: Workshop) -> dict[str, str]:
    shop = workshop.known().project.shop
    return {one.id: one.name for one in shop.people} if shop else {}


def _odd(state: State) -> dict[str, list[str]]:
    odd: dict[str, list[str]] = {}
    for flag in state.flags:
        odd.setdefault(flag.fact, []).append(flag.code)
    return odd


def _back(entries: Sequence[Entry]) -> set[str]:
    """Facts taken back; what was taken back itself takes nothing back."""
    back: set[str] = set()
    for entry in reversed(entries):
        body = entry.fact.body
        if isinstance(body, Undone) and entry.fact.id not in back:
            back.add(body.fact)
    return back


def _days(lines: Iterable[Line]) -> tuple[Day, ...]:
    """Lines by day and time, whenever they arrived."""
    days: dict[str, list[Line]] = {}
    for line in sorted(lines, key=lambda one: (one.at, one.seq), reverse=True):
        days.setdefault(line.day, []).append(line)
    return tuple(Day(day, tuple(some)) for day, some in days.items())


def _line(reading: _Reading, entry: Entry) -> Line:
    """One fact with the plan's names of holes."""
    fact, workshop = entry.fact, reading.workshop
    at = counted_at(entry)
    when = read_utc(at).astimezone(zone_of(workshop.time_zone))
    return Line(
        entry.seq,
        at,
        f"{when:%Y-%m-%d}",
        f"{when:%H:%M}",
        reading.people.get(fact.person, fact.person),
        fact.assembly,
        fact.body,
        _names(workshop, fact.assembly, fact.revision, fact.body),
        _about(reading, fact.assembly, fact.body),
        tuple(reading.odd.get(fact.id, ())),
        fact.id in reading.back,
        fact.device.startswith(OPENING_DEVICE),
    )


def _names(
    workshop: Workshop, assembly: str, revision: int, body: Kind
) -> tuple[str, ...]:
    """Holes of a fact as the plan names them; none where it has them no longer."""
    ranges = tuple(getattr(body, "holes", ()))
    if not ranges or assembly not in workshop.plan_ids:
        return ()
    return workshop.hole_ids(assembly, revision).names(ranges)


def _about(reading: _Reading, assembly: str, body: Kind) -> str:
    """What a fact speaks of that stands in another one."""
    now, workshop = reading.state.assembly(assembly), reading.workshop
    if isinstance(body, QuestionAnswered):
        question = now.questions.get(body.question)
        return question.text if question else ""
    if isinstance(body, HoldLifted):
        hold = now.holds.get(body.hold)
        if hold is None or assembly not in workshop.plan_ids:
            return ""
        return ", ".join(workshop.hole_ids(assembly).names(hold.holes))
    if isinstance(body, Undone):
        at = workshop.position_of(body.fact)
        return next(iter(workshop.entries(at - 1))).fact.kind if at else ""
    return ""

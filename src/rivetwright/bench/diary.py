"""The record as it is read from day to day: newest facts, odd ones, stock, hours."""

from __future__ import annotations

from dataclasses import dataclass

from rivetwright.bench.hours import Spent, spent_by, zone_of
from rivetwright.bench.workshop import Workshop
from rivetwright.record.chain import Entry, Head
from rivetwright.record.export import in_words
from rivetwright.record.order import corrected, read_utc
from rivetwright.record.state import PhotoNow, QuestionNow, StockNow

NEWEST = 200


@dataclass(frozen=True)
class Line:
    """One fact: when by the wall clock of the shop, who, what, and what is odd."""

    seq: int
    day: str
    time: str
    person: str
    assembly: str
    kind: str
    said: str
    flags: tuple[str, ...]
    is_taken_back: bool


@dataclass(frozen=True)
class Diary:
    """What the page about the record shows."""

    head: Head
    lines: tuple[Line, ...]
    stock: tuple[tuple[str, StockNow], ...]
    spent: tuple[Spent, ...]
    questions: tuple[tuple[str, QuestionNow], ...]
    photos: tuple[PhotoNow, ...]


def diary(workshop: Workshop, newest: int = NEWEST) -> Diary:
    """The newest facts, and what they come to.

    Raises:
        NotFound: no record was begun.
    """
    with workshop.lock:
        state = workshop.state()
        after = max(0, state.position - newest)
        entries = list(workshop.entries(after))
        odd: dict[str, list[str]] = {}
        for flag in state.flags:
            odd.setdefault(flag.fact, []).append(flag.code)
        back = {
            getattr(entry.fact.body, "fact", "")
            for entry in entries
            if entry.fact.kind == "undone"
        }
        lines = [_line(workshop, entry, odd, back) for entry in reversed(entries)]
        assemblies = state.assemblies.items()
        return Diary(
            Head(state.position, state.digest),
            tuple(lines),
            tuple((name, one) for (_, name), one in sorted(state.stock.items())),
            spent_by(state.booked),
            tuple((key, q) for key, one in assemblies for q in one.questions.values()),
            tuple(photo for _, one in assemblies for photo in one.photos),
        )


def _line(
    workshop: Workshop, entry: Entry, odd: dict[str, list[str]], back: set[str]
) -> Line:
    """One fact with the plan's names of holes."""
    fact = entry.fact
    when = read_utc(corrected(fact)).astimezone(zone_of(workshop.time_zone))

    def named(assembly: str, ranges: tuple[str, ...]) -> str:
        if assembly not in workshop.plan_ids:
            return ", ".join(ranges)
        return ", ".join(workshop.hole_ids(assembly, fact.revision).names(ranges))

    words = in_words(entry, named).partition(f"{fact.kind} ")[2]
    return Line(
        entry.seq,
        f"{when:%Y-%m-%d}",
        f"{when:%H:%M}",
        fact.person,
        fact.assembly,
        fact.kind,
        words,
        tuple(odd.get(fact.id, ())),
        fact.id in back,
    )

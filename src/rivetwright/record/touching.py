"""What a fact has to do with: which facts may change places without a difference.

A fact that arrives late counts earlier than some that were folded already. Where it
has nothing in common with any of them the state comes out the same if it is folded
now, and nothing needs to be folded anew.
"""

from __future__ import annotations

from collections.abc import Hashable
from dataclasses import dataclass

from rivetwright.record.fact import Fact
from rivetwright.record.kinds import (
    STOCK,
    BulletinMet,
    BulletinReceived,
    Counted,
    Delivered,
    GateTicked,
    HoldLifted,
    HoldPut,
    HoursBegun,
    HoursBooked,
    HoursEnded,
    NoteWritten,
    OpeningTaken,
    Ordered,
    PhotoTaken,
    PlanIssued,
    QuestionAnswered,
    QuestionAsked,
    Received,
    RivetsSet,
    StepBegun,
    StepFinished,
    StepNoted,
    Undone,
)
from rivetwright.record.order import Place
from rivetwright.record.ranges import named

Name = tuple[Hashable, ...]
# Their holes are only spoken of; nothing of a hole changes by them.
SPEAKING = (HoldPut, QuestionAsked, NoteWritten, PhotoTaken, BulletinMet)


@dataclass(frozen=True)
class Touched:
    """What one folded fact looked at or added to, and what it wrote.

    Adding commutes with adding, but not with writing.
    """

    place: Place
    looks: frozenset[Name]
    writes: frozenset[Name]
    assembly: str = ""
    revision: int = 0

    def is_apart(self, other: Touched) -> bool:
        """Whether two facts may change places.

        Of two revisions, the same row may bear two ids.
        """
        if self.assembly == other.assembly and self.revision != other.revision:
            return False
        return self.writes.isdisjoint(other.writes | other.looks) and (
            self.looks.isdisjoint(other.writes)
        )


def touched(fact: Fact, place: Place) -> Touched:
    """What a fact has to do with."""
    body, assembly = fact.body, fact.assembly
    looks: set[Name] = {("revision", assembly), ("undone",)}
    writes = set(_named_things(fact))
    if not isinstance(body, SPEAKING):
        holes = getattr(body, "holes", ())
        writes |= {("hole", assembly, row, number) for row, number in named(holes)}
    if isinstance(body, RivetsSet):
        looks.add(("stock", body.callout))
    elif isinstance(body, Received) and body.what == STOCK:
        looks.add(("stock", body.named))
    elif isinstance(body, Counted):
        writes.add(("stock", body.named))
    return Touched(place, frozenset(looks), frozenset(writes), assembly, fact.revision)


def _named_things(fact: Fact) -> list[Name]:
    """What a fact writes beside holes and stock, by name."""
    body, assembly = fact.body, fact.assembly
    match body:
        case HoldPut() | HoldLifted():
            return [("hold", assembly, body.hold)]
        case QuestionAsked() | QuestionAnswered():
            return [("question", assembly, body.question)]
        case StepBegun() | StepFinished() | StepNoted():
            return [("step", assembly, body.step)]
        case GateTicked():
            return [("gate", assembly, body.gate, body.line)]
        case BulletinReceived() | BulletinMet():
            return [("bulletin", assembly, body.bulletin)]
        case Ordered() | Delivered() | Received():
            return [("delivery", body.what, body.named)]
        case HoursBegun() | HoursEnded() | HoursBooked():
            return [("timer", fact.person)]
        case PlanIssued():
            return [("revision", assembly)]
        case OpeningTaken():
            return [("openings",)]
        case Undone():
            return [("undone",)]
    return []

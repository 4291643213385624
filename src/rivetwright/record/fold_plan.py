"""How a revision of the plan changes the state: rows that are the same keep all."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any

from rivetwright.record.kinds import PlanIssued
from rivetwright.record.ranges import renamed
from rivetwright.record.state import (
    Answered,
    AssemblyNow,
    HoldNow,
    LastFact,
    Met,
    NoteNow,
    PhotoNow,
    QuestionNow,
)
from rivetwright.record.telling import Telling

Speaking = HoldNow | QuestionNow | Answered | Met | NoteNow | PhotoNow | LastFact


def _issued(told: Telling, body: PlanIssued) -> None:
    """A revision counts from here on; rows confirmed as the same keep their holes."""
    assembly = told.assembly
    assembly.revision, assembly.revision_digest = body.revision, body.digest
    names = dict(body.lineage)
    if names:
        assembly.lineage.append((body.revision, names))
        _rename(assembly, names)


def _rename(assembly: AssemblyNow, names: dict[str, str]) -> None:
    """All rows at once, so that two may change their ids with each other."""
    moved = {old: assembly.rows.pop(old, {}) for old in names}
    for old, holes in moved.items():
        assembly.rows.setdefault(names[old], {}).update(holes)
    for spoken in _speaking(assembly):
        spoken.holes = renamed(spoken.holes, lambda row: names.get(row, row))


def _speaking(assembly: AssemblyNow) -> Iterator[Speaking]:
    """What speaks of holes without changing them."""
    yield from assembly.holds.values()
    yield from assembly.questions.values()
    yield from assembly.answers
    yield from assembly.met.values()
    yield from assembly.notes
    yield from assembly.photos
    yield from assembly.last.values()


PLAN_KINDS: dict[type, Callable[[Telling, Any], None]] = {PlanIssued: _issued}

"""What the page of a comparison shows of its changes, in words."""

from __future__ import annotations

from dataclasses import dataclass

from rivetwright.bench.revision import Revision
from rivetwright.engines.revise.outlook import Done
from rivetwright.texts.revision_words import (
    DifferenceWords,
    say_change,
    say_difference,
    say_done,
    say_kind,
    system_of,
)
from rivetwright.web.addresses import assembly_address


@dataclass(frozen=True)
class ChangeLine:
    """Holes that differ alike: which, where to see them, how far they are, in what."""

    address: str
    kind: str
    holes: str
    count: int
    done: str
    differences: tuple[DifferenceWords, ...]


def change_line(revision: Revision, one: Done) -> ChangeLine:
    """One change of a comparison, in words."""
    change, system = one.change, system_of(revision)
    key = revision.offered.key
    return ChangeLine(
        assembly_address(key, row=change.row) if change.new else "",
        say_kind(change.kind),
        say_change(revision, change),
        change.count,
        say_done(one),
        tuple(say_difference(d, system) for d in change.differences),
    )

"""One fact on its way into the state: what every applier needs of it."""

from __future__ import annotations

from bisect import insort
from collections.abc import Iterable, Iterator
from typing import Any

from rivetwright.record.chain import Entry
from rivetwright.record.ranges import renamed, stretches
from rivetwright.record.state import AssemblyNow, Flag, HoleNow, State


class Telling:
    """A fact, when it counts, and the state it is told to."""

    __slots__ = ("at", "entry", "fact", "flags", "state")

    def __init__(self, state: State, entry: Entry, at: str, flags: list[Flag]) -> None:
        self.state = state
        self.entry = entry
        self.fact = entry.fact
        self.at = at
        self.flags = flags

    @property
    def assembly(self) -> AssemblyNow:
        """The assembly the fact is about, made where no fact spoke of it yet."""
        key = self.fact.assembly
        found = self.state.assemblies.get(key)
        if found is None:
            found = self.state.assemblies[key] = AssemblyNow()
        return found

    def holes(self, ranges: Iterable[str]) -> Iterator[HoleNow]:
        """Each hole that ranges name, made where no fact spoke of it yet."""
        assembly = self.assembly
        rows = assembly.rows
        is_older = 0 < self.fact.revision < assembly.revision
        for row, first, last in stretches(ranges):
            now = assembly.row_now(row, self.fact.revision) if is_older else row
            numbers = rows.get(now)
            if numbers is None:
                numbers = rows[now] = {}
            for number in range(first, last + 1):
                hole = numbers.get(number)
                if hole is None:
                    hole = numbers[number] = HoleNow()
                yield hole

    def named_now(self, ranges: tuple[str, ...]) -> tuple[str, ...]:
        """Ranges by the ids that their rows bear now."""
        assembly, revision = self.assembly, self.fact.revision
        if not 0 < revision < assembly.revision:
            return ranges
        return renamed(ranges, lambda row: assembly.row_now(row, revision))

    def flag(self, code: str, text: str) -> None:
        """Say that something is odd."""
        self.flags.append(Flag(code, self.fact.id, self.fact.assembly, text))

    def note_down(self, kept: list[Any], one: Any) -> None:
        """Put something into a list in the order of time, in whatever order it came."""
        insort(kept, one, key=lambda other: (other.at, other.fact))

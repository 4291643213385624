"""One fact on its way into the state: what every applier needs of it."""

from __future__ import annotations

from bisect import insort
from collections.abc import Iterable, Iterator
from typing import Any

from rivetwright.record.chain import Entry
from rivetwright.record.ranges import named
from rivetwright.record.state import AssemblyNow, Flag, HoleNow, State


class Telling:
    """A fact, when it counts, and the state it is told to."""

    __slots__ = ("at", "entry", "fact", "state")

    def __init__(self, state: State, entry: Entry, at: str) -> None:
        self.state = state
        self.entry = entry
        self.fact = entry.fact
        self.at = at

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
        rows = self.assembly.rows
        for row, number in named(ranges):
            numbers = rows.get(row)
            if numbers is None:
                numbers = rows[row] = {}
            hole = numbers.get(number)
            if hole is None:
                hole = numbers[number] = HoleNow()
            yield hole

    def flag(self, code: str, text: str) -> None:
        """Say that something is odd."""
        flag = Flag(code, self.fact.id, self.fact.assembly, text)
        insort(self.state.flags, flag, key=lambda one: (one.fact, one.code))

    def note_down(self, kept: list[Any], one: Any) -> None:
        """Put something into a list in the order of time, in whatever order it came."""
        insort(kept, one, key=lambda other: (other.at, other.fact))

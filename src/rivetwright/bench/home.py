"""The first page: what to do next, what is waited for, what was left open, how far."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from rivetwright.bench.tonight import Asked, Tonight, tonight
from rivetwright.bench.work import WorkLeft
from rivetwright.bench.workshop import Workshop
from rivetwright.engines.work.now import together
from rivetwright.engines.work.pieces import REPLACE, SET, Minutes, Piece, step_key
from rivetwright.engines.work.stand import UNDER_WAY, Stand
from rivetwright.engines.work.waits import QUIET, SECOND, Wait


@dataclass(frozen=True)
class Awaited:
    """One thing that is waited for, and the minutes of all the work behind it."""

    wait: Wait
    behind_minutes: float


@dataclass(frozen=True)
class LeftOpen:
    """Holes of steps that were begun which wait for one thing."""

    assembly: str
    wait: Wait
    names: tuple[str, ...]


@dataclass(frozen=True)
class HowFar:
    """One assembly: rivets set, those that can be set as things are, and all."""

    assembly: str
    name: str
    set_count: int
    free_count: int
    hole_count: int
    minutes: Minutes | None


@dataclass(frozen=True)
class Home:
    """What the first page shows of the work."""

    tonight: Tonight
    awaited: tuple[Awaited, ...]
    left_open: tuple[LeftOpen, ...]
    far: tuple[HowFar, ...]
    booked_minutes: float

    @property
    def minutes(self) -> Minutes | None:
        """All that is left; None where nothing is."""
        return together([one.minutes for one in self.far if one.minutes is not None])

    @property
    def set_count(self) -> int:
        """Rivets set in all."""
        return sum(one.set_count for one in self.far)

    @property
    def hole_count(self) -> int:
        """Holes in all."""
        return sum(one.hole_count for one in self.far)


def home(workshop: Workshop, asked: Asked | None = None) -> Home:
    """What the first page shows.

    Raises:
        Refusal: a file cannot be read.
    """
    told = tonight(workshop, asked)
    work = told.work
    return Home(
        told,
        tuple(awaited(told)),
        tuple(left_open(work)),
        tuple(_far(work, stand) for stand in work.stands),
        work.booked_minutes,
    )


def awaited(told: Tonight) -> Iterator[Awaited]:
    """Everything that has to come, what has a day first, then what most waits for."""
    found = [
        one
        for one in told.unlocks
        if one.way == "comes" and one.wait.kind not in (SECOND, QUIET)
    ]
    found.sort(key=lambda one: (str(one.wait.until or "9999"), -one.behind_minutes))
    return (Awaited(one.wait, one.behind_minutes) for one in found)


def left_open(work: WorkLeft) -> Iterator[LeftOpen]:
    """Holes that wait in steps that were begun, by assembly and what they wait for."""
    begun = {key for stand in work.stands for key in _begun(stand)}
    groups: dict[tuple[str, tuple[str, str]], list[Piece]] = {}
    for piece in work.pieces:
        if piece.operation in (SET, REPLACE) and piece.waits and piece.in_step in begun:
            key = piece.assembly, piece.waits[0].key
            groups.setdefault(key, []).append(piece)
    for (assembly, _), some in groups.items():
        names = tuple(name for piece in some for name in piece.names)
        yield LeftOpen(assembly, some[0].waits[0], names)


def _begun(stand: Stand) -> Iterable[str]:
    """Keys of the steps of an assembly that were begun."""
    columns = stand.holes
    touched = set(columns.step[stand.is_set | stand.comes_out].tolist())
    return (
        step_key(stand.key, step.name)
        for k, step in enumerate(columns.plan.steps)
        if k in touched or stand.step_state(step.name) == UNDER_WAY
    )


def _far(work: WorkLeft, stand: Stand) -> HowFar:
    own = [piece for piece in work.pieces if piece.assembly == stand.key]
    reached = {
        work.pieces[k].key
        for k in work.gates.reached.pieces
        if work.pieces[k].assembly == stand.key
    }
    free = sum(p.count for p in own if p.operation == SET and p.key in reached)
    return HowFar(
        stand.key,
        work.names[stand.key],
        int(stand.is_set.sum()),
        free,
        len(stand.holes),
        together([piece.minutes for piece in own]),
    )

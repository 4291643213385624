"""Good places to stop: after which steps an assembly can be put away safely.

A seam is loose where two sheets are joined somewhere, but by no rivet of that face, and
its rivets belong to a later step: it gapes, sticks out and wants holders.  Where no
seam is loose the work can be put away.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import combinations, pairwise

import numpy as np

from rivetwright.engines.work.pieces import Piece
from rivetwright.engines.work.stand import Stand
from rivetwright.engines.work.waits import Wait


@dataclass(frozen=True)
class LooseRow:
    """A row whose seam gapes: how many holes are open, and holders to keep it shut."""

    row: str
    holes: int
    holders: int


@dataclass(frozen=True)
class Place:
    """How an assembly lies after a step; `step` is empty for now.

    `open_holes` are what was left open in it by then: waiting, or left by the drawing.
    `steps` are those done since the place before.
    """

    assembly: str
    step: str
    loose: tuple[LooseRow, ...]
    open_holes: tuple[str, ...]

    @property
    def is_good(self) -> bool:
        """Whether it can be put away like that."""
        return not self.loose

    @property
    def holders(self) -> int:
        """Sheet holders that stay in it."""
        return sum(one.holders for one in self.loose)


@dataclass(frozen=True)
class Stretch:
    """Steps that are best begun only when they can be ended: no good place between.

    `minutes` are likely ones of all; `waits` what keeps them from being ended.
    """

    assembly: str
    steps: tuple[str, ...]
    minutes: float
    holders: int
    waits: tuple[Wait, ...]


@dataclass(frozen=True)
class Places:
    """The places to stop of one assembly, the present one first."""

    assembly: str
    now: Place
    after: tuple[Place, ...]
    stretches: tuple[Stretch, ...]


def places_to_stop(stand: Stand, pieces: Iterable[Piece]) -> Places:
    """How an assembly lies now and after each step that is left.

    Args:
        stand: how it stands.
        pieces: what is left of it; those of other assemblies are passed over.

    Source: own rule, JUDGEMENT; a holder in every second hole, common practice.
    """
    own = [piece for piece in pieces if piece.assembly == stand.key]
    by_step: dict[str, list[Piece]] = {}
    for piece in own:
        by_step.setdefault(piece.step, []).append(piece)
    joining = _Joining(stand)
    plan = stand.worked_plan.worked.plan
    for step in plan.steps:
        if step.name not in by_step:
            joining.done.add(step.name)
    now = joining.place("")
    after = []
    for step in plan.steps:
        if step.name in by_step:
            joining.do(step.name)
            after.append(joining.place(step.name))
    return Places(stand.key, now, tuple(after), _stretches(stand.key, after, by_step))


def _stretches(
    key: str, after: list[Place], by_step: dict[str, list[Piece]]
) -> tuple[Stretch, ...]:
    """Runs of steps after which no good place comes before the last of them."""
    found = []
    run: list[Place] = []
    for place in after:
        run.append(place)
        if place.is_good:
            if len(run) > 1:
                found.append(_stretch(key, run, by_step))
            run = []
    if len(run) > 1:
        found.append(_stretch(key, run, by_step))
    return tuple(found)


def _stretch(key: str, run: list[Place], by_step: dict[str, list[Piece]]) -> Stretch:
    pieces = [piece for place in run for piece in by_step[place.step]]
    counted = [piece for piece in pieces if not piece.is_left_open]
    waits = {wait.key: wait for piece in counted for wait in piece.waits}
    return Stretch(
        key,
        tuple(place.step for place in run),
        sum(piece.minutes.likely for piece in counted),
        max(place.holders for place in run),
        tuple(waits.values()),
    )


class _Joined:
    """Parts that hang together by rivets."""

    def __init__(self) -> None:
        self._top: dict[str, str] = {}

    def root(self, part: str) -> str:
        """One part for all those that hang together."""
        while self._top.get(part, part) != part:
            part = self._top[part]
        return part

    def join(self, parts: tuple[str, ...]) -> None:
        """Parts riveted to one another."""
        for one, other in pairwise(parts):
            self._top[self.root(one)] = self.root(other)


class _Joining:
    """Which parts hang together by rivets, as steps are done one after the other."""

    def __init__(self, stand: Stand) -> None:
        self.stand, self.holes = stand, stand.holes
        self.stacks = stand.worked_plan.worked.stacks
        self.plan = stand.worked_plan.worked.plan
        self.done: set[str] = set()
        self.whole = _Joined()
        self.by_face: dict[str, _Joined] = {}
        starts = self.holes.row_start.tolist()
        self.spans = list(pairwise(starts))
        self.sheets = [self._sheets(first) for first, _ in self.spans]
        # A row of which some holes are set is joined; the rest is no gaping seam.
        self.is_begun = [bool(stand.is_set[a:b].any()) for a, b in self.spans]
        for k, is_begun in enumerate(self.is_begun):
            if is_begun:
                self._join(k)

    def _sheets(self, at: int) -> tuple[str, ...]:
        row = self.holes.row_of(at)
        stack = row.stack or self.stacks.classes[int(self.stacks.class_of[at])].sheets
        return tuple(sheet.part for sheet in stack)

    def _join(self, k: int) -> None:
        self.whole.join(self.sheets[k])
        face = self.plan.rows[k].face
        self.by_face.setdefault(face, _Joined()).join(self.sheets[k])

    def do(self, step: str) -> None:
        """Count a step as done: what its rows hold together is joined."""
        self.done.add(step)
        for k, row in enumerate(self.plan.rows):
            if row.step == step:
                self._join(k)

    def place(self, step: str) -> Place:
        """How it lies now."""
        loose = []
        for k, row in enumerate(self.plan.rows):
            if row.step not in self.done and not self.is_begun[k] and self._gapes(k):
                first, last = self.spans[k]
                count = last - first
                loose.append(LooseRow(row.name, count, count // 2 + 1))
        return Place(self.stand.key, step, tuple(loose), self._open())

    def _gapes(self, k: int) -> bool:
        """Whether sheets of a row hang together, but not by this face."""
        face = self.plan.rows[k].face
        if not face:
            return False
        here = self.by_face.get(face, _Joined())
        seams = combinations(self.sheets[k], 2)
        return any(
            self.whole.root(one) == self.whole.root(other)
            and here.root(one) != here.root(other)
            for one, other in seams
        )

    def _open(self) -> tuple[str, ...]:
        """Holes of steps that are done and that are open all the same, by name."""
        steps = [step.name in self.done for step in self.plan.steps]
        is_done = np.array([*steps, False], dtype=bool)[self.holes.step]
        is_left = (self.holes.open_holes >= 0) | (self.holes.hold >= 0)
        here = np.flatnonzero(is_done & is_left & ~self.stand.is_set).tolist()
        return tuple(self.holes.name(at) for at in here)

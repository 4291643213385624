"""Classes of holes, and the blocks in which they are set.

Holes that admit the same setups, lie on the same face and wait for the same things
are one class: no order gains by telling them apart, but for rules B and C. A block
is a visit: one setup on one face, with the classes that are set in it. Changes of
setup and turns cost minutes and walking costs seconds, so the order of the blocks
decides nearly everything.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from rivetwright.engines.order.stage import Tables
from rivetwright.model.stage import BARE, Token


class Batch(NamedTuple):
    """Holes that wait for the same: their group, and what brings their row."""

    group: int
    after: int


@dataclass(frozen=True)
class HoleClass:
    """Holes that no block order needs to tell apart."""

    options: tuple[int, ...]
    face: int
    batch: int
    holes: tuple[int, ...]


class Visit(NamedTuple):
    """A setup on a face, for the holes of one batch."""

    setup: int
    face: int
    batch: int


@dataclass(frozen=True)
class Block:
    """One stretch of the plan: a visit with its classes, or one milestone.

    A milestone's block has no setup and no classes.
    """

    setup: int
    face: int
    classes: tuple[int, ...]
    milestone: int = BARE


@dataclass(frozen=True, eq=False)
class Classes:
    """The classes of a stage, the visits that can serve them, and what waits."""

    tables: Tables

    @cached_property
    def batches(self) -> tuple[Batch, ...]:
        """Every batch that still has a hole to set."""
        return tuple(sorted({self._batch_of(h) for h in self._wanted}))

    @cached_property
    def classes(self) -> tuple[HoleClass, ...]:
        """Every class, in the order of its first hole."""
        stage = self.tables.stage
        number = {batch: k for k, batch in enumerate(self.batches)}
        found: dict[tuple[tuple[int, ...], int, int], list[int]] = {}
        for hole in self._wanted:
            options = tuple(sorted(stage.options[hole]))
            batch = number[self._batch_of(hole)]
            found.setdefault((options, int(stage.face[hole]), batch), []).append(hole)
        return tuple(HoleClass(*key, tuple(holes)) for key, holes in found.items())

    @cached_property
    def class_of(self) -> NDArray[np.int32]:
        """Class of each hole, shape (holes,); BARE: nothing to set there."""
        of = np.full(len(self.tables.stage), BARE, dtype=np.int32)
        for number, one in enumerate(self.classes):
            of[list(one.holes)] = number
        return of

    @cached_property
    def visits(self) -> tuple[Visit, ...]:
        """Every visit at which some class could be set."""
        return tuple(
            sorted(
                {
                    Visit(setup, one.face, one.batch)
                    for one in self.classes
                    for setup in one.options
                }
            )
        )

    @cached_property
    def is_before(self) -> NDArray[np.bool_]:
        """Whether batch a has to be finished before batch b begins, (a, b)."""
        count = len(self.batches)
        return self._closure[:count, :count]

    @cached_property
    def milestones_before(self) -> tuple[tuple[int, ...], ...]:
        """Milestones that have to be done before each batch."""
        return tuple(
            tuple(m for m in self.open_milestones if self._closure[self._at(m), batch])
            for batch in range(len(self.batches))
        )

    @cached_property
    def open_milestones(self) -> tuple[int, ...]:
        """Milestones that are still to be done."""
        return tuple(k for k, done in enumerate(self.tables.stage.done) if not done)

    def needs_of(self, milestone: int) -> tuple[tuple[int, ...], tuple[int, ...]]:
        """Batches and milestones that have to be done before a milestone."""
        column = self._closure[:, self._at(milestone)]
        batches = tuple(k for k in range(len(self.batches)) if column[k])
        others = tuple(m for m in self.open_milestones if column[self._at(m)])
        return batches, others

    @property
    def _wanted(self) -> list[int]:
        return [int(h) for h in np.flatnonzero(self.tables.wanted)]

    def _batch_of(self, hole: int) -> Batch:
        stage = self.tables.stage
        row = stage.row[hole]
        after = BARE if self.tables.is_there[row] else int(stage.row_after[row])
        return Batch(int(stage.group[hole]), after)

    def _at(self, milestone: int) -> int:
        """Place of a milestone in the table of what comes first."""
        return len(self.batches) + milestone

    def _places(self, token: Token) -> list[int]:
        if token.is_milestone:
            is_open = token.number in self.open_milestones
            return [self._at(token.number)] if is_open else []
        return [k for k, one in enumerate(self.batches) if one.group == token.number]

    @cached_property
    def _closure(self) -> NDArray[np.bool_]:
        """What comes before what, over batches and then milestones, closed."""
        count = len(self.batches) + len(self.tables.stage.milestones)
        table = np.zeros((count, count), dtype=np.bool_)
        for first, then in self.tables.stage.precedence:
            table[np.ix_(self._places(first), self._places(then))] = True
        for number, batch in enumerate(self.batches):
            if batch.after != BARE:
                table[self._at(batch.after), number] = True
        for middle in range(count):
            table |= np.outer(table[:, middle], table[middle])
        return table


def with_milestones(
    classes: Classes, visited: Iterable[tuple[Visit, Sequence[int]]]
) -> tuple[Block, ...]:
    """Blocks of a sequence of visits, each milestone as late as it may be.

    Visits of the same setup and face that follow on one another become one block.

    Args:
        classes: the classes of the stage.
        visited: visits in their order, each with its classes.

    Returns:
        Every visit and every open milestone, in an order that keeps what is first.
    """
    blocks: list[Block] = []
    done: set[int] = set()

    def do(milestone: int) -> None:
        if milestone not in done:
            for first in classes.needs_of(milestone)[1]:
                do(first)
            done.add(milestone)
            blocks.append(Block(BARE, BARE, (), milestone))

    for visit, chosen in visited:
        for milestone in classes.milestones_before[visit.batch]:
            do(milestone)
        last = blocks[-1] if blocks else None
        if last and (last.setup, last.face) == (visit.setup, visit.face):
            joined = (*last.classes, *chosen)
            blocks[-1] = Block(visit.setup, visit.face, joined)
        else:
            blocks.append(Block(visit.setup, visit.face, tuple(chosen)))
    for milestone in classes.open_milestones:
        do(milestone)
    return tuple(blocks)


def block_time_s(tables: Tables, classes: Classes, blocks: Iterable[Block]) -> float:
    """Rivets, changes, turns and milestones of an order of blocks.

    Args:
        tables: the stage.
        classes: its classes.
        blocks: the blocks in their order.

    Returns:
        Their time without walking, holders and swaps [s].
    """
    stage = tables.stage
    rigged, face, time_s = stage.rigged, stage.start_face, 0.0
    for block in blocks:
        if block.milestone != BARE:
            time_s += stage.milestones[block.milestone].time_s
            continue
        if block.setup != rigged:
            time_s += float(tables.change_s[rigged, block.setup])
        time_s += float(stage.turn_s[face, block.face])
        rigged, face = block.setup, block.face
        holes = sum(len(classes.classes[c].holes) for c in block.classes)
        time_s += holes * stage.setups[rigged].rivet_s
    return time_s


# How much the number of holes counts against the cost of getting to them.
_GREEDS = (0.0, 0.5, 1.0)


def greedy_visits(
    tables: Tables, classes: Classes
) -> tuple[tuple[Visit, tuple[int, ...]], ...]:
    """A good order of visits without any solver: the cheapest next, three ways.

    Args:
        tables: the stage.
        classes: its classes.

    Returns:
        Visits with the classes set in each.
    """
    tried = [_greedy(tables, classes, greed) for greed in _GREEDS]
    return min(
        tried,
        key=lambda visited: block_time_s(
            tables, classes, with_milestones(classes, visited)
        ),
    )


def _greedy(
    tables: Tables, classes: Classes, greed: float
) -> tuple[tuple[Visit, tuple[int, ...]], ...]:
    stage = tables.stage
    left = set(range(len(classes.classes)))
    rigged, face = stage.rigged, stage.start_face
    visited: list[tuple[Visit, tuple[int, ...]]] = []
    while left:
        waiting = {classes.classes[c].batch for c in left}
        ready = [
            batch
            for batch in sorted(waiting)
            if not any(classes.is_before[first, batch] for first in waiting)
        ]
        best: tuple[float, Visit, tuple[int, ...]] | None = None
        for visit in classes.visits:
            if visit.batch not in ready:
                continue
            chosen = served(classes, visit, left)
            if not chosen:
                continue
            weight_s = float(stage.turn_s[face, visit.face])
            if visit.setup != rigged:
                weight_s += float(tables.change_s[rigged, visit.setup])
            holes = sum(len(classes.classes[c].holes) for c in chosen)
            slower_s = sum(
                len(classes.classes[c].holes) * _slower_s(tables, classes, c, visit)
                for c in chosen
            )
            key = (weight_s + slower_s) / holes**greed
            if best is None or key < best[0]:
                best = key, visit, chosen
        assert best is not None, "what comes first has no ring"
        _, visit, chosen = best
        visited.append((visit, chosen))
        left -= set(chosen)
        rigged, face = visit.setup, visit.face
    return tuple(visited)


def served(classes: Classes, visit: Visit, left: Iterable[int]) -> tuple[int, ...]:
    """Classes among those left that a visit can set."""
    return tuple(
        c
        for c in sorted(left)
        if classes.classes[c].batch == visit.batch
        and classes.classes[c].face == visit.face
        and visit.setup in classes.classes[c].options
    )


def _slower_s(tables: Tables, classes: Classes, number: int, visit: Visit) -> float:
    """How much longer a rivet of a class takes here than at its quickest."""
    setups = tables.stage.setups
    quickest = min(setups[z].rivet_s for z in classes.classes[number].options)
    return setups[visit.setup].rivet_s - quickest

"""Pieces of work put together to what the forecast reckons with.

Pieces of one step that wait for the same things are one task: it is worked through in
one go. What waits for something nobody has ordered has no date; it is left out, with
all that comes after it, and told beside the date.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from math import ceil

from rivetwright.engines.forecast.rates import Lot
from rivetwright.engines.network.precedence import Precedence
from rivetwright.engines.work.pieces import SET, Piece
from rivetwright.engines.work.rates import PLAN, default_rates
from rivetwright.engines.work.waits import (
    ANSWER,
    BULLETIN,
    DRYING,
    FINDING,
    HOLD,
    INSPECTOR,
    SECOND,
    STEP,
    Wait,
)

# Kinds that come by themselves, though nobody knows when.
WORDS = (ANSWER, FINDING, HOLD, BULLETIN)
# Kinds that are no waiting for a day.
NO_DAY = (SECOND, INSPECTOR, STEP, DRYING)
# Work for two is parted into so much of the table's minutes (JUDGEMENT: an hour).
PORTION_MIN = 60.0
DEBURR = "deburr"
MAKING_READY = ("match-drill", "deburr", "dimple", "countersink", "prime")
# How a delivery stands that comes without further doing.
COMING = ("on order", "back order")


@dataclass(frozen=True)
class Task:
    """Work of one step that can be done in one go.

    `lots` is by operation, in the table's or the plan's minutes; `needs` are keys of
    tasks before it; `waits` what must come first; `rivets` how many it sets.
    """

    key: str
    assembly: str
    step: str
    lots: tuple[Lot, ...]
    rivets: int
    needs: tuple[str, ...]
    waits: tuple[Wait, ...]
    takes_two: bool
    is_visit: bool

    @property
    def usual_minutes(self) -> float:
        """Minutes by table or plan [min]."""
        return sum(lot.minutes for lot in self.lots)


@dataclass(frozen=True)
class LeftOut:
    """A step of which something has no date, and what that waits for.

    `after` is the step before it that has none, where it waits for nothing itself.
    """

    assembly: str
    step: str
    waits: tuple[Wait, ...]
    after: str = ""


@dataclass(frozen=True)
class WorkAhead:
    """Tasks with a date, and what has none; open holes of the drawings count not."""

    tasks: tuple[Task, ...]
    left_out: tuple[LeftOut, ...]

    @property
    def precedence(self) -> Precedence:
        """What comes before what."""
        return Precedence({task.key: task.needs for task in self.tasks})

    def in_portions(self) -> WorkAhead:
        """The same with work for two in portions that one meeting can end.

        So that what is left of it when the second person goes home waits until he
        comes again, while the builder does other things.
        """
        found: list[Task] = []
        last: dict[str, str] = {}
        for task in self.tasks:
            count = max(ceil(task.usual_minutes / PORTION_MIN), 1)
            if not task.takes_two or count == 1:
                found.append(task)
                continue
            found += _portions(task, count)
            last[task.key] = found[-1].key
        tasks = tuple(
            replace(task, needs=tuple(last.get(one, one) for one in task.needs))
            for task in found
        )
        return replace(self, tasks=tasks)


def _portions(task: Task, count: int) -> list[Task]:
    """A task in so many equal portions, one after the other."""
    lots = tuple(
        Lot(lot.operation, 0, lot.count / count, lot.minutes / count)
        for lot in task.lots
    )
    rivets = [task.rivets // count + (k < task.rivets % count) for k in range(count)]
    keys = [f"{task.key}|{k + 1}" for k in range(count)]
    needs = [task.needs, *((key,) for key in keys[:-1])]
    return [
        replace(task, key=key, lots=lots, rivets=some, needs=before)
        for key, some, before in zip(keys, rivets, needs, strict=True)
    ]


def work_ahead(pieces: Iterable[Piece]) -> WorkAhead:
    """Tasks of all that is left.

    Args:
        pieces: pieces of work, in the order of the plans' steps [min].
    """
    groups: dict[str, list[Piece]] = {}
    for piece in pieces:
        if not piece.is_left_open:
            groups.setdefault(_group(piece), []).append(piece)
    grouped = _Groups(groups)
    return _parted([grouped.task(key) for key in groups])


def _group(piece: Piece) -> str:
    """Name of the task of a piece: its step, what it waits for, and for how many."""
    waits = "+".join(f"{wait.kind} {wait.name}" for wait in piece.waits)
    pair = "pair" if piece.people > 1 else ""
    return "|".join(filter(None, (piece.in_step, waits, pair)))


class _Groups:
    """Pieces by the task they belong to, and what of it comes before what."""

    def __init__(self, groups: Mapping[str, Sequence[Piece]]) -> None:
        self.groups = groups
        self.of_piece = {one.key: key for key, some in groups.items() for one in some}
        self.place = {key: k for k, key in enumerate(groups)}
        self.of_step: dict[str, list[str]] = {}
        for key, some in groups.items():
            self.of_step.setdefault(some[0].in_step, []).append(key)

    def task(self, key: str) -> Task:
        """One task."""
        some = self.groups[key]
        first, kinds = some[0], {wait.kind for one in some for wait in one.waits}
        return Task(
            key,
            first.assembly,
            first.step,
            _lots(some),
            sum(piece.count for piece in some if piece.operation == SET),
            tuple(self._needs(key)),
            tuple(wait for wait in first.waits if wait.kind not in NO_DAY),
            any(piece.people > 1 for piece in some) or SECOND in kinds,
            INSPECTOR in kinds or any(one.needs.has_inspector for one in some),
        )

    def _needs(self, key: str) -> Iterable[str]:
        """Keys of the tasks that come before one."""
        some = self.groups[key]
        before: dict[str, None] = {}
        for piece in some:
            for one in piece.after:
                here = self.of_step.get(one, ())
                before.update({k: None for k in here if not self._is_apart(k, some)})
                if one in self.of_piece:
                    before[self.of_piece[one]] = None
        # Holes in a part that comes later are made ready before they are set.
        before.update({k: None for k in self.place if self._is_ready_made(k, some)})
        same = self.of_step[some[0].in_step]
        # Tasks of one step stand in one order: none waits for another in a ring.
        return [
            one
            for one in before
            if one != key and (one not in same or self.place[one] < self.place[key])
        ]

    def _is_apart(self, key: str, some: Sequence[Piece]) -> bool:
        """Whether a task makes ready only what waits, and other work need not wait."""
        waits = self.groups[key][0].waits
        return bool(waits) and waits != some[0].waits and self._is_making(key)

    def _is_ready_made(self, key: str, some: Sequence[Piece]) -> bool:
        """Whether a task makes ready what waits for the same as a later one."""
        one, first = self.groups[key][0], some[0]
        return (
            bool(first.waits)
            and one.waits == first.waits
            and one.assembly == first.assembly
            and self.place[key] < self.place[self.of_piece[first.key]]
            and self._is_making(key)
        )

    def _is_making(self, key: str) -> bool:
        """Whether a task is drilling, deburring, dimpling and priming alone."""
        return all(one.operation in MAKING_READY for one in self.groups[key])


def _lots(some: Sequence[Piece]) -> tuple[Lot, ...]:
    """What is to be done, by operation, in the table's minutes or the plan's."""
    counts: dict[str, float] = {}
    told: dict[str, float] = {}
    deburred: set[int] = set()
    for piece in some:
        name = piece.rate_name
        count = float(piece.count)
        if name == DEBURR:
            # A log counts holes and not each of their sheets.
            count = float(len(set(piece.holes) - deburred))
            deburred |= set(piece.holes)
        counts[name] = counts.get(name, 0.0) + count
        if piece.minutes.basis == PLAN:
            told[name] = told.get(name, 0.0) + piece.minutes.likely
    return tuple(
        Lot(name, 0, count, told.get(name, default_rates()[name].minutes * count))
        for name, count in counts.items()
        if count
    )


def _has_no_date(wait: Wait) -> bool:
    """Whether nobody can say that it comes at all."""
    return (
        wait.until is None
        and wait.kind not in (*WORDS, *NO_DAY)
        and wait.state not in COMING
    )


def _parted(tasks: Sequence[Task]) -> WorkAhead:
    """Tasks with a date, and the steps of the others."""
    by_key = {task.key: task for task in tasks}
    without: dict[str, LeftOut] = {}
    for k in Precedence({task.key: task.needs for task in tasks}).order:
        task = tasks[k]
        waits = tuple(filter(_has_no_date, task.waits))
        after = next((one for one in task.needs if one in without), "")
        if waits or after:
            step = by_key[after].step if after and not waits else ""
            without[task.key] = LeftOut(task.assembly, task.step, waits, step)
    kept = tuple(task for task in tasks if task.key not in without)
    by_step = {(one.assembly, one.step, one.waits): one for one in without.values()}
    return WorkAhead(kept, tuple(by_step.values()))

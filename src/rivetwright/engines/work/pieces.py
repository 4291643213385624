"""What is left to do, in pieces that a person takes in hand one at a time.

A piece is one operation on one row, or on one part, in one step. What must wait is a
piece of its own, so that the rest of the row can be done in full.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime

import numpy as np

from rivetwright.engines.work.prepare import Prepared, prepared_work
from rivetwright.engines.work.rates import PLAN, WorkRate, rate_of
from rivetwright.engines.work.stand import STEP_DONE, Stand
from rivetwright.engines.work.step_waits import step_waits
from rivetwright.engines.work.waits import (
    ANSWER,
    FINDING,
    FREE,
    HoleWaits,
    Wait,
    hole_waits,
)
from rivetwright.engines.work.ways import HoleWays, SetWay, hole_ways
from rivetwright.model.plan import HoleRange
from rivetwright.model.shop import Shop
from rivetwright.model.step import Step
from rivetwright.standards.source import Status
from rivetwright.standards.work import usual_rate

SET, CHECK, REPLACE, INSPECTION, OTHER = (
    "set",
    "check heads",
    "drill out and replace",
    "inspection",
    "step",
)
# How far a manual's own minutes may be off (as the builder's own rates are).
_PLAN_LOW, _PLAN_HIGH = 0.8, 1.6


@dataclass(frozen=True)
class Minutes:
    """How long a piece takes: low, likely and high, and what that rests on.

    `basis` is own, default or plan; `entries` lines of the log with `count` in all.
    """

    low: float
    likely: float
    high: float
    basis: str
    entries: int
    count: int
    status: Status


@dataclass(frozen=True)
class Needs:
    """What a piece asks for, whether it is there or not.

    `tools`: any one of these; `stock`: code and how many; `answers`: questions and
    findings; `inspections`: steps to be signed first; `marks`: holes to be marked as
    staying open first, as names; `dry_at`: when the primer of its holes is dry.
    """

    tools: tuple[str, ...] = ()
    parts: tuple[str, ...] = ()
    stock: tuple[tuple[str, int], ...] = ()
    answers: tuple[str, ...] = ()
    inspections: tuple[str, ...] = ()
    has_inspector: bool = False
    marks: tuple[str, ...] = ()
    dry_at: datetime | None = None


@dataclass(frozen=True)
class Piece:
    """One piece of work.

    `key` names it for good while the plan stays; `after` are keys of pieces and of
    steps (`step_key`) that must be done before. `rows` and `part` say what is in
    hand, `holes` are indices into the plan's holes. `operation` is a name of the
    table of rates, or set with its `way`. `waits` is what its holes wait for by plan
    and record; what the evening lacks is another matter. `faces` are those of its
    rows, `closes` those that its step shuts. `names` say what is in hand: rows that
    are whole by their name, of others the holes (`B8:2-5`); empty for a part.
    """

    key: str
    assembly: str
    step: str
    operation: str
    rows: tuple[str, ...]
    part: str
    holes: tuple[int, ...]
    count: int
    counted: str
    minutes: Minutes
    is_noisy: bool
    people: int
    way: str
    quiet_way: str
    needs: Needs
    after: tuple[str, ...]
    waits: tuple[Wait, ...] = ()
    callout: str = ""
    faces: tuple[str, ...] = ()
    closes: tuple[str, ...] = ()
    names: tuple[str, ...] = ()

    @property
    def in_step(self) -> str:
        """The key of its step."""
        return step_key(self.assembly, self.step)

    @property
    def is_left_open(self) -> bool:
        """Whether the drawing leaves its holes open: the step is whole without it."""
        return any(wait.is_open for wait in self.waits)

    @property
    def rate_name(self) -> str:
        """Its name in the table of rates."""
        return self.way if self.operation == SET else self.operation


def step_key(assembly: str, step: str) -> str:
    """The key of a step, as `Piece.after` names it."""
    return f"{assembly}/{step}"


def pieces_of(
    stands: Iterable[Stand], shop: Shop | None, rates: Mapping[str, WorkRate]
) -> tuple[Piece, ...]:
    """Every piece of work that is left, assembly by assembly, step by step.

    Args:
        stands: how each assembly stands.
        shop: what is owned; None: nothing is said about tools.
        rates: minutes by operation; what they lack comes from the table [min].

    Source: the plans, the record; work_rates.csv and own rates for the minutes.
    """
    return tuple(
        piece for stand in stands for piece in _Pieces(stand, shop, rates).found()
    )


def minutes_for(rate: WorkRate, count: float) -> Minutes:
    """Minutes for so many of what a rate counts.

    Args:
        rate: minutes for one [min].
        count: how many [-].

    Source: the rate's own.
    """
    likely = rate.minutes * count
    return Minutes(
        likely * rate.low_ratio,
        likely,
        likely * rate.high_ratio,
        rate.basis,
        rate.entries,
        rate.count,
        rate.status,
    )


class _Pieces:
    """The pieces of one assembly, gathered step by step."""

    def __init__(
        self, stand: Stand, shop: Shop | None, rates: Mapping[str, WorkRate]
    ) -> None:
        self.stand, self.rates = stand, rates
        self.holes = stand.holes
        self.plan = stand.worked_plan.worked.plan
        self.waits: HoleWaits = hole_waits(stand, shop)
        self.ways: HoleWays = hole_ways(stand, shop)
        self.prepared = prepared_work(stand, self.waits)
        self.of_step = step_waits(stand, shop, self.waits, self.ways)
        self.by_step: dict[int, list[Piece]] = {}
        self.before = [self._needed(step) for step in self.plan.steps]
        self.inspections = {one.name for one in self.plan.steps if one.is_inspection}
        self.unsigned = [self._unsigned(step) for step in self.plan.steps] + [()]

    def found(self) -> list[Piece]:
        """Every piece, in the order of the plan's steps."""
        self._prepare()
        self._set_rivets()
        for k, step in enumerate(self.plan.steps):
            if self._is_done(step):
                self.by_step.pop(k, None)
            elif step.is_inspection or k not in self.by_step:
                self._whole_step(k, step)
        return [piece for k in sorted(self.by_step) for piece in self.by_step[k]]

    def _is_done(self, step: Step) -> bool:
        is_signed = step.is_inspection and self.stand.signed.get(step.name, False)
        is_done = self.stand.step_state(step.name) == STEP_DONE
        return is_signed or is_done or step.name in self.stand.emptied

    def _step_name(self, k: int) -> str:
        return self.plan.steps[k].name if k >= 0 else ""

    def _needed(self, step: Step) -> tuple[str, ...]:
        """Keys of the steps that a step needs."""
        return tuple(
            step_key(self.stand.key, need.name)
            for need in step.needs
            if need.kind == "step"
        )

    def _before(self, k: int) -> tuple[str, ...]:
        return self.before[k] if k >= 0 else ()

    def _key(self, k: int, *words: str) -> str:
        return "/".join((self.stand.key, self._step_name(k), *words))

    # --- preparing -----------------------------------------------------------------

    def _prepare(self) -> None:
        """Drill, deburr, dimple, countersink, prime: what is left of each."""
        for one in self.prepared:
            k = one.step
            mine = self.by_step.setdefault(k, [])
            at_rows = self._rows_of(one.holes)
            rows, wait = self._row_names(at_rows), self._waits(one.wait, k)
            earlier = tuple(
                piece.key
                for piece in mine
                if piece.operation != one.operation
                and piece.part in ("", one.part)
                and not set(rows).isdisjoint(piece.rows)
                and piece.waits in ((), wait)
            )
            after = (*self._before(k), *earlier)
            mine.append(self._prepared_piece(one, at_rows, wait, after))

    def _prepared_piece(
        self,
        one: Prepared,
        at_rows: list[int],
        wait: tuple[Wait, ...],
        after: tuple[str, ...],
    ) -> Piece:
        rate, rows = rate_of(self.rates, one.operation), self._row_names(at_rows)
        subject = one.part or ",".join(rows)
        return Piece(
            self._key(one.step, one.operation, subject, *(w.name for w in wait[:1])),
            self.stand.key,
            self._step_name(one.step),
            one.operation,
            rows,
            one.part,
            one.holes,
            one.count,
            rate.counted,
            minutes_for(rate, one.shares),
            usual_rate(one.operation).value.is_noisy,
            1,
            "",
            "",
            Needs(parts=one.parts),
            after,
            wait,
            faces=self._faces(at_rows),
            closes=self.plan.steps[one.step].closes,
            names=() if one.part else self._names(at_rows[0], one.holes),
        )

    # --- rivets --------------------------------------------------------------------

    def _set_rivets(self) -> None:
        """Rows that are not set, parted by what they wait for and how they are set."""
        left = np.flatnonzero(~self.stand.is_set)
        if not left.size:
            return
        keys = np.column_stack(
            (
                self.holes.step[left],
                self.holes.row[left],
                self.waits.of_hole[left],
                self.ways.of_hole[left],
                self.holes.open_holes[left],
            )
        )
        groups, which = np.unique(keys, axis=0, return_inverse=True)
        order = np.argsort(which.reshape(-1), kind="stable")
        ends = np.cumsum(np.bincount(which.reshape(-1), minlength=len(groups)))
        for (k, _, wait, way, _), here in zip(
            groups.tolist(), np.split(left[order], ends[:-1]), strict=True
        ):
            waits = self._waits(wait, k)
            self._rivets(k, here.tolist(), waits, self.ways.ways[way])

    def _rivets(
        self, k: int, here: list[int], wait: tuple[Wait, ...], way: SetWay
    ) -> None:
        """Set some holes of a row, old rivets drilled out; look at the heads."""
        mine = self.by_step.setdefault(k, [])
        row = self.holes.row_of(here[0]).name
        tail = tuple(w.name for w in wait[:1])
        first = str(self.holes.number[here[0]])
        before = (*self._before(k), *self._own_preparing(mine, row))
        old = [at for at in here if self.stand.comes_out[at]]
        new = [at for at in here if not self.stand.comes_out[at]]
        done = []
        for operation, some in ((REPLACE, old), (SET, new)):
            if some:
                done.append(self._key(k, operation, row, first, *tail))
                piece = self._rivet_piece(done[-1], operation, some, wait, way, before)
                mine.append(piece)
        look = self._key(k, CHECK, row, first, *tail)
        mine.append(self._rivet_piece(look, CHECK, here, wait, way, tuple(done)))

    def _own_preparing(self, mine: Sequence[Piece], row: str) -> Iterable[str]:
        return (
            piece.key
            for piece in mine
            if row in piece.rows and piece.operation not in (SET, CHECK, REPLACE)
        )

    def _rivet_piece(
        self,
        key: str,
        operation: str,
        here: list[int],
        wait: tuple[Wait, ...],
        way: SetWay,
        after: tuple[str, ...],
    ) -> Piece:
        is_set = operation != CHECK
        name = (way.way or "squeezer") if operation == SET else operation
        rate = rate_of(self.rates, name)
        callout = str(self.holes.callout(here[0]))
        k, row = int(self.holes.step[here[0]]), self.holes.row_of(here[0])
        return Piece(
            key,
            self.stand.key,
            self._step_name(k),
            operation,
            (row.name,),
            "",
            tuple(here),
            len(here),
            rate.counted,
            minutes_for(rate, len(here)),
            way.is_noisy if is_set else False,
            way.people if is_set else 1,
            name if operation == SET else "",
            way.quiet_way if operation == SET else "",
            self._rivet_needs(here, way, callout, wait) if is_set else Needs(),
            after,
            wait,
            callout,
            (row.face,),
            self.plan.steps[k].closes if k >= 0 else (),
            self._names(int(self.holes.row[here[0]]), here),
        )

    def _rivet_needs(
        self, here: list[int], way: SetWay, callout: str, waits: tuple[Wait, ...]
    ) -> Needs:
        """Tools, parts, rivets, answers, marks and dry primer of some holes."""
        stacks = self.stand.worked_plan.worked.stacks
        classes = dict.fromkeys(stacks.class_of[here].tolist())
        parts = dict.fromkeys(s.part for c in classes for s in stacks.classes[c].sheets)
        return Needs(
            tools=way.tools,
            parts=tuple(parts),
            stock=((callout, len(here)),),
            answers=tuple(w.name for w in waits if w.kind in (ANSWER, FINDING)),
            inspections=self.unsigned[int(self.holes.step[here[0]])],
            marks=self._left_open(here),
            dry_at=self._dry_at(here),
        )

    def _left_open(self, here: list[int]) -> tuple[str, ...]:
        """Holes of the same row that stay open while these are set."""
        row = int(self.holes.row[here[0]])
        span = slice(int(self.holes.row_start[row]), int(self.holes.row_start[row + 1]))
        is_kept = self.waits.of_hole[span] != FREE
        if not is_kept.any() and not (self.holes.open_holes[span] >= 0).any():
            return ()
        is_kept |= self.holes.step[span] != self.holes.step[here[0]]
        is_kept &= ~(self.stand.is_set[span] | self.stand.comes_out[span])
        some = sorted({*(np.flatnonzero(is_kept) + span.start).tolist()} - {*here})
        return tuple(self._ranges(self.plan.rows[row].name, some)) if some else ()

    def _unsigned(self, step: Step) -> tuple[str, ...]:
        """Inspections that a step needs and that are not signed."""
        return tuple(
            need.name
            for need in step.needs
            if need.kind == "step"
            and need.name in self.inspections
            and not self.stand.signed.get(need.name, False)
        )

    def _dry_at(self, here: list[int]) -> datetime | None:
        """When the last primer of some holes is dry; None where none is known."""
        if self.stand.dry_at is None:
            return None
        last = np.fmax.reduce(self.stand.dry_at[here])
        return None if np.isnat(last) else last.astype(datetime)

    # --- steps known by their title alone, and inspections --------------------------

    def _whole_step(self, k: int, step: Step) -> None:
        """An inspection, or a step of which only the manual's minutes are known."""
        operation = INSPECTION if step.is_inspection else OTHER
        rate = rate_of(self.rates, operation)
        minutes = minutes_for(rate, 1)
        if step.kit_minutes is not None:
            likely = step.kit_minutes
            low, high = likely * _PLAN_LOW, likely * _PLAN_HIGH
            minutes = Minutes(low, likely, high, PLAN, 0, 0, Status.JUDGEMENT)
        mine = self.by_step.setdefault(k, [])
        after = (*self._before(k), *(piece.key for piece in mine))
        waits = self.of_step.get(k, ())
        mine.append(
            Piece(
                self._key(k, operation),
                self.stand.key,
                step.name,
                operation,
                (),
                "",
                (),
                1,
                rate.counted,
                minutes,
                False,
                1,
                "",
                "",
                Needs(has_inspector=step.is_inspection),
                after,
                waits,
                closes=step.closes,
            )
        )

    # --- small ---------------------------------------------------------------------

    def _waits(self, k: int, step: int) -> tuple[Wait, ...]:
        """What holes wait for, then what their whole step does."""
        own = () if k == FREE else (self.waits.waits[k],)
        return (*own, *self.of_step.get(step, ()))

    def _faces(self, rows: Iterable[int]) -> tuple[str, ...]:
        return tuple(dict.fromkeys(self.plan.rows[row].face for row in rows))

    def _rows_of(self, here: Sequence[int]) -> list[int]:
        """Indices of the rows of some holes."""
        rows: list[int] = np.unique(self.holes.row[np.asarray(here)]).tolist()
        return rows

    def _row_names(self, rows: Iterable[int]) -> tuple[str, ...]:
        return tuple(self.plan.rows[row].name for row in rows)

    def _names(self, row: int, some: Sequence[int]) -> tuple[str, ...]:
        """A row by its name where it is whole, else its holes."""
        name = self.plan.rows[row].name
        if len(some) == self.holes.row_start[row + 1] - self.holes.row_start[row]:
            return (name,)
        return tuple(self._ranges(name, some))

    def _ranges(self, name: str, some: Sequence[int]) -> Iterable[str]:
        """Holes of a row as ranges of neighbours in number."""
        numbers = self.holes.number[np.asarray(some)].tolist()
        first = last = numbers[0]
        for number in numbers[1:]:
            if number != last + 1:
                yield str(HoleRange(name, first, last))
                first = number
            last = number
        yield str(HoleRange(name, first, last))

"""The work that is left on the whole aircraft, from plans, shop and record."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import timedelta
from functools import cached_property

import numpy as np

from rivetwright.bench.hours import zone_of
from rivetwright.bench.now import HoleIds
from rivetwright.bench.open import Assembly, Project
from rivetwright.bench.workshop import Workshop
from rivetwright.engines.work.gates import Gates
from rivetwright.engines.work.pieces import Piece, pieces_of, step_key
from rivetwright.engines.work.rates import Logged, WorkRate, own_rates
from rivetwright.engines.work.stand import Mask, Stand, stand_as_written
from rivetwright.model.shop import Shop
from rivetwright.record.kinds import PRIMED, STOCK
from rivetwright.record.order import read_utc
from rivetwright.record.state import HoleNow, State
from rivetwright.standards.work import work_constant


@dataclass(frozen=True)
class WorkLeft:
    """Every piece of work that is left, and what it was made from.

    `assemblies` are those that count: the plan after a bulletin that came in stands for
    the plan before it. `bench_keys` tell for the key of each step under which
    assembly it is worked at the bench; a bulletin's own steps are not in it.
    """

    assemblies: tuple[Assembly, ...]
    stands: tuple[Stand, ...]
    pieces: tuple[Piece, ...]
    rates: Mapping[str, WorkRate]
    shop: Shop | None
    stock: Mapping[str, int]
    on_bench: str
    bench_keys: Mapping[str, str]
    booked_minutes: float = 0.0

    @cached_property
    def gates(self) -> Gates:
        """The pieces and what each has to wait for, whatever an evening has."""
        return Gates(self.pieces)

    @cached_property
    def titles(self) -> Mapping[str, str]:
        """What each step is called, by its key."""
        return {
            step_key(one.key, step.name): step.title
            for one in self.assemblies
            for step in one.worked_plan.worked.plan.steps
        }

    @cached_property
    def names(self) -> Mapping[str, str]:
        """What each assembly is called, by its key."""
        return {one.key: one.worked_plan.worked.plan.name for one in self.assemblies}

    def stand(self, key: str) -> Stand:
        """How one assembly stands."""
        return next(one for one in self.stands if one.key == key)


def work_now(workshop: Workshop) -> WorkLeft:
    """The work that is left in a workshop, from its files and its record.

    Raises:
        Refusal: the folder, or a file in it, cannot be read.
    """
    with workshop.lock:
        return work_left(workshop.now().project, workshop.state(), workshop.time_zone)


def work_left(project: Project, state: State, zone: str = "UTC") -> WorkLeft:
    """The work that is left of a project.

    Args:
        project: the plans with what the record says in them, and the shop.
        state: what the record says; empty where there is none.
        zone: the shop's time zone.
    """
    assemblies = tuple(counting(project.assemblies))
    before = {one.worked_plan.worked.plan.id: one for one in project.assemblies[::-1]}
    stands = tuple(_stand(one, before, state, zone) for one in assemblies)
    log = tuple(_log(assemblies, project.shop, state))
    rates = own_rates(log)
    return WorkLeft(
        assemblies,
        stands,
        pieces_of(stands, project.shop, rates),
        rates,
        project.shop,
        _stock(project.shop, state),
        _on_bench(assemblies, state),
        _bench_keys(assemblies, project.assemblies),
        sum(line.minutes for line in log),
    )


def _bench_keys(some: Iterable[Assembly], every: Iterable[Assembly]) -> dict[str, str]:
    """The assembly under which each step is worked at the bench, by the step's key."""
    base = {
        one.worked_plan.worked.plan.id: {
            step.name for step in one.worked_plan.worked.plan.steps
        }
        for one in every
        if one.bulletin is None
    }
    return {
        step_key(one.key, step): plan_id
        for one in some
        for plan_id in (one.worked_plan.worked.plan.id,)
        for step in base.get(plan_id, ())
    }


def counting(assemblies: Iterable[Assembly]) -> Iterator[Assembly]:
    """Assemblies that count: after a bulletin that came in, else as they are."""
    every = tuple(assemblies)
    after = {
        one.worked_plan.worked.plan.id: one
        for one in every
        if one.bulletin is not None and _is_in(one)
    }
    for one in every:
        if one.bulletin is None:
            yield after.get(one.worked_plan.worked.plan.id, one)


def _is_in(one: Assembly) -> bool:
    """Whether the bulletin of a revised plan came in."""
    assert one.bulletin is not None
    opening = one.worked_plan.worked.plan.opening
    return one.bulletin.id in {told.id for told in opening.bulletins}


def _stand(
    one: Assembly, before: Mapping[str, Assembly], state: State, zone: str
) -> Stand:
    """How an assembly stands; steps whose rows a bulletin took over are empty."""
    plan = one.worked_plan.worked.plan
    if plan.id in state.openings:
        stand = stand_by_record(one, state, zone)
    else:
        stand = stand_as_written(one.worked_plan, one.key)
    if one.bulletin is None or plan.id not in before:
        return stand
    base = before[plan.id].worked_plan.worked.plan
    now = {row.step for row in plan.rows}
    emptied = frozenset(row.step for row in base.rows if row.step not in now)
    return replace(stand, emptied=emptied)


def stand_by_record(one: Assembly, state: State, zone: str = "UTC") -> Stand:
    """How an assembly stands by the record.

    Args:
        one: the assembly, with what the record says in its plan.
        state: what the record says.
        zone: the shop's time zone.
    """
    columns = one.worked_plan.worked.holes
    ids, assembly = HoleIds(columns), state.assembly(columns.plan.id)
    reading = _Reading(len(columns), zone)
    for row_id, numbers in assembly.rows.items():
        k = ids.rows.get(row_id)
        if k is None:
            continue
        first, last = int(columns.row_start[k]), int(columns.row_start[k + 1])
        said = columns.number[first:last].tolist()
        at_number = {number: first + j for j, number in enumerate(said)}
        callouts = {at: str(columns.callout(at)) for at in range(first, last)}
        for number, hole in numbers.items():
            at = at_number.get(number)
            if at is not None:
                reading.read(at, hole, callouts[at])
    return Stand(
        one.key,
        one.worked_plan,
        reading.is_set,
        reading.comes_out,
        reading.has_holder,
        reading.worked,
        {signed.step: signed.is_passed for signed in assembly.signatures},
        reading.dry_at,
    )


class _Reading:
    """The holes of an assembly read out of the record one by one."""

    def __init__(self, count: int, zone: str) -> None:
        self.zone = zone_of(zone)
        self.dries = timedelta(hours=work_constant("primer dries").value)
        self.is_set = np.zeros(count, dtype=bool)
        self.comes_out = np.zeros(count, dtype=bool)
        self.has_holder = np.zeros(count, dtype=bool)
        self.worked: dict[str, dict[str, Mask]] = {}
        self.dry_at = np.full(count, "NaT", dtype="datetime64[m]")
        self._there: dict[str, np.datetime64] = {}
        self._count = count

    def read(self, at: int, hole: HoleNow, callout: str) -> None:
        """Note what was done to a hole."""
        if hole.rivet is not None:
            is_meant = bool(hole.rivet.reason) or hole.rivet.callout == callout
            (self.is_set if is_meant else self.comes_out)[at] = True
        self.has_holder[at] = bool(hole.holder)
        for operation, parts in hole.worked.items():
            by_part = self.worked.setdefault(operation, {})
            for part, done in parts.items():
                if part not in by_part:
                    by_part[part] = np.zeros(self._count, dtype=bool)
                by_part[part][at] = True
                if operation == PRIMED:
                    self.dry_at[at] = np.fmax(self.dry_at[at], self._dry(done.at))

    def _dry(self, at: str) -> np.datetime64:
        """When primer laid on at a moment is dry, by the clock of the shop."""
        if at not in self._there:
            there = read_utc(at).astimezone(self.zone).replace(tzinfo=None)
            self._there[at] = np.datetime64(there + self.dries, "m")
        return self._there[at]


def _log(
    assemblies: Iterable[Assembly], shop: Shop | None, state: State
) -> Iterator[Logged]:
    """Every line of the log: the record's, else the files'."""
    if state.booked:
        for one in state.booked:
            minutes = one.seconds / 60
            yield Logged(one.operation, minutes, one.count, one.counted)
        return
    of_plans = (
        line for one in assemblies for line in one.worked_plan.worked.plan.opening.hours
    )
    for line in (*of_plans, *(shop.hours if shop else ())):
        yield Logged(line.operation, line.minutes, line.count, line.counted)


def _stock(shop: Shop | None, state: State) -> dict[str, int]:
    """Rivets on hand by code: the record's count, else the shop file's."""
    told = {name: one for (what, name), one in state.stock.items() if what == STOCK}
    if told:
        return {k: one.on_hand for k, one in told.items() if one.on_hand is not None}
    return {one.code: one.count for one in (shop.stock if shop else ())}


def _on_bench(assemblies: Iterable[Assembly], state: State) -> str:
    """The assembly that was worked at last, by the log; empty for none."""
    last_day, last = "", ""
    keys = {one.worked_plan.worked.plan.id: one.key for one in assemblies}
    for one in state.booked:
        day = one.day or one.began[:10]
        if one.assembly in keys and day >= last_day:
            last_day, last = day, keys[one.assembly]
    return last

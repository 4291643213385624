"""Sheet holders of the whole shop: in which assemblies they are, and where they go.

Holders are shared: what is in another assembly by the record is not in the box.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from rivetwright.bench.now import HoleIds
from rivetwright.bench.workshop import Workshop
from rivetwright.engines.order.holders import (
    HolderPlan,
    holder_plan,
    holes_together,
    size_of,
)
from rivetwright.engines.plan import WorkedPlan
from rivetwright.model.shop import Shop
from rivetwright.model.step import Step
from rivetwright.record.state import State


@dataclass(frozen=True)
class HolderUse:
    """Sheet holders of one size that are in one assembly."""

    assembly: str
    diameter_32nds: int
    count: int


def holders_in_use(
    plans: Iterable[WorkedPlan], state: State, but: str = ""
) -> tuple[HolderUse, ...]:
    """Holders in each of some assemblies by the record, by size.

    Args:
        plans: the assemblies; one that stands there twice counts once.
        state: what the record says.
        but: id of a plan that is left out.
    """
    by_id = {one.worked.plan.id: one for one in plans}
    found = []
    for plan_id, one in by_id.items():
        if plan_id != but:
            sizes = Counter(size_of(one.worked, at) for at in holes_held(one, state))
            name = one.worked.plan.name
            found += [HolderUse(name, size, n) for size, n in sorted(sizes.items())]
    return tuple(found)


def holders_beside(
    workshop: Workshop, worked_plan: WorkedPlan
) -> tuple[HolderUse, ...]:
    """Holders in the other assemblies of an aircraft, by its record."""
    if not workshop.has_record:
        return ()
    read = workshop.known().project.assemblies
    others = (one.worked_plan for one in read if one.bulletin is None)
    return holders_in_use(others, workshop.state(), worked_plan.worked.plan.id)


def holes_held(worked_plan: WorkedPlan, state: State) -> list[int]:
    """Holes of a plan that have a sheet holder in them by the record."""
    held = list(_held(state, worked_plan.worked.plan.id))
    if not held:
        return []
    ids = HoleIds(worked_plan.worked.holes)
    there = (ids.index(row, number) for row, number in held)
    return [at for at in there if at is not None]


def _held(state: State, plan_id: str) -> Iterator[tuple[str, int]]:
    for row_id, numbers in state.assembly(plan_id).rows.items():
        for number, hole in numbers.items():
            if hole.holder:
                yield row_id, number


def holders_by_size(uses: Iterable[HolderUse]) -> dict[int, int]:
    """How many holders of each size some assemblies have [1/32 in: count]."""
    found: Counter[int] = Counter()
    for one in uses:
        found[one.diameter_32nds] += one.count
    return dict(found)


def held_beside(
    worked_plan: WorkedPlan, state: State, rows: Collection[int]
) -> dict[int, int]:
    """Holders in rows of a plan other than these [1/32 in: count]."""
    worked = worked_plan.worked
    held = holes_held(worked_plan, state)
    beside = [at for at in held if int(worked.holes.row[at]) not in rows]
    return dict(Counter(size_of(worked, at) for at in beside))


def together(*counts: Mapping[int, int]) -> dict[int, int]:
    """Counts by size added up [1/32 in: count]."""
    found: Counter[int] = Counter()
    for one in counts:
        found.update(one)
    return dict(found)


def steps_with_holes(worked_plan: WorkedPlan) -> tuple[Step, ...]:
    """The steps in which some hole is set, in the plan's order."""
    plan, columns = worked_plan.worked.plan, worked_plan.worked.holes
    used = set(columns.step.tolist())
    return tuple(step for k, step in enumerate(plan.steps) if k in used)


def holder_plans(
    worked_plan: WorkedPlan,
    shop: Shop | None,
    state: State,
    uses: Sequence[HolderUse] = (),
) -> dict[str, HolderPlan]:
    """Where holders go for match-drilling, then from each step on; by step."""
    steps = ["", *(one.name for one in steps_with_holes(worked_plan))]
    return {step: holders_for(worked_plan, shop, state, step, uses) for step in steps}


def holders_for(
    worked_plan: WorkedPlan,
    shop: Shop | None,
    state: State,
    step: str = "",
    uses: Iterable[HolderUse] = (),
) -> HolderPlan:
    """Where holders go and whether there are enough, from what the record says now.

    Args:
        worked_plan: the worked-out plan.
        shop: how many are owned; None: not known.
        state: what the record says.
        step: for the final assembly from this step on; empty: for match-drilling.
        uses: holders in other assemblies.
    """
    worked = worked_plan.worked
    rows = {int(worked.holes.row[at]) for at in holes_together(worked, step)}
    beside = held_beside(worked_plan, state, rows)
    elsewhere = together(holders_by_size(uses), beside)
    return holder_plan(worked, shop, step, elsewhere)

"""Every step of an assembly with the kit's minutes and, where asked for, the planned.

The planned minutes are those of the first usable order, which is there at once.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from rivetwright.bench.holders import HolderUse, steps_with_holes
from rivetwright.bench.order_bench import OrderBench
from rivetwright.bench.order_wanted import Wanted
from rivetwright.engines.plan import WorkedPlan
from rivetwright.errors import Refusal
from rivetwright.model.shop import Shop
from rivetwright.record.state import State


@dataclass(frozen=True)
class StepTimes:
    """A step: how far it is, what the kit says it takes, what is planned from here.

    `planned_s` is None where it was not asked for, or nothing can be set.
    """

    name: str
    title: str
    hole_count: int
    done_count: int
    kit_minutes: float | None
    planned_s: float | None


def step_times(
    worked_plan: WorkedPlan,
    shop: Shop | None,
    state: State,
    wanted: Wanted,
    uses: Sequence[HolderUse] = (),
    *,
    is_planned: bool = False,
) -> list[StepTimes]:
    """Every step with something to set, in the plan's order."""
    asked = replace(wanted, work=0.0)
    found = []
    for step in steps_with_holes(worked_plan):
        bench = OrderBench(worked_plan, shop, state, (step.name,), asked, uses)
        found.append(
            StepTimes(
                step.name,
                step.title,
                len(bench.own),
                int(bench.is_set[bench.own].sum()),
                step.kit_minutes,
                _planned_s(bench) if is_planned else None,
            )
        )
    return found


def _planned_s(bench: OrderBench) -> float | None:
    try:
        plan = bench.plan()
    except Refusal:
        return None
    return plan[0].time_s if plan else None

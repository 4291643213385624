"""Sheet holders by size: the most that is wanted at once, owned, in holes by now."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from rivetwright.engines.order.holders import holder_plan
from rivetwright.engines.worked import Worked
from rivetwright.model.shop import Shop

DONE = "done"


@dataclass(frozen=True)
class HolderNeed:
    """Holders of one size: where most are wanted at once, and how many there are.

    `plan` and `steps` say for what; `owned` is None where the shop does not say;
    `inside` are in holes of other assemblies then.
    """

    diameter_32nds: int
    wanted: int
    plan: int
    steps: tuple[str, ...]
    owned: int | None
    inside: int

    @property
    def short(self) -> int:
        """How many are missing."""
        if self.owned is None:
            return 0
        return max(0, self.wanted - max(0, self.owned - self.inside))


def holder_needs(
    plans: Sequence[Worked],
    shop: Shop | None,
    inside: Mapping[int, Mapping[int, int]],
) -> tuple[HolderNeed, ...]:
    """Holders for what is left to rivet, from a step to the next inspection.

    Args:
        plans: the plans.
        shop: how many are owned; None: not known.
        inside: how many are in each plan's holes now [plan: {1/32 in: count}].

    Source: common practice, every second hole; see engines.order.holders.
    """
    most: dict[int, HolderNeed] = {}
    for k, worked in enumerate(plans):
        elsewhere: dict[int, int] = {}
        for plan, sizes in inside.items():
            for size, count in sizes.items() if plan != k else ():
                elsewhere[size] = elsewhere.get(size, 0) + count
        for step in _steps_left(worked):
            held = holder_plan(worked, shop, step, elsewhere)
            for one in held.counts:
                need = HolderNeed(
                    one.diameter_32nds,
                    one.wanted,
                    k,
                    held.steps,
                    one.owned,
                    one.elsewhere,
                )
                there = most.get(one.diameter_32nds)
                if there is None or there.wanted < need.wanted:
                    most[one.diameter_32nds] = need
    return tuple(most[size] for size in sorted(most))


def _steps_left(worked: Worked) -> list[str]:
    """Steps in which a hole is still to be set, in the order of the plan."""
    holes, plan = worked.holes, worked.plan
    states = {one.step: one.state for one in plan.opening.steps}
    left = {int(k) for k in holes.step[~holes.is_set]}
    return [
        one.name
        for k, one in enumerate(plan.steps)
        if k in left and states.get(one.name) != DONE
    ]

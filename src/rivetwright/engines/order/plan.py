"""The order of a stage: blocks, construction, search, polish, and then the checker.

An order comes out at any moment it is asked for; more work makes it better. Nothing is
handed back that the checker, which shares no code with the search, does not allow.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import NamedTuple

from rivetwright.engines.order.blocks import Classes, greedy_visits, with_milestones
from rivetwright.engines.order.bound import BoundedOrder, bounded_order
from rivetwright.engines.order.checker import START, Breach, check_plan
from rivetwright.engines.order.construct import Way, construct
from rivetwright.engines.order.rows import RowRules
from rivetwright.engines.order.stage import Tables
from rivetwright.engines.order.steps import Cost, Steps, cost_of
from rivetwright.model.stage import Stage


class Progress(NamedTuple):
    """How far the work has come.

    Args:
        part: "first", "blocks", "search" or "polish".
        share: of this part's work that is done.
        cost_s: the best order so far.
    """

    part: str
    share: float
    cost_s: float


@dataclass(frozen=True)
class Ordered:
    """An order of a stage, checked.

    Args:
        steps: the plan.
        cost: seconds of each part, and the holes set against rule C.
        bound_s: no plan that keeps the rules costs less; nought: none was asked for.
        breaches: what lay loose before the first step; rules A and B are kept from
            there on.
        stopped_at: "done", or the part in which the work was interrupted.
    """

    steps: Steps
    cost: Cost
    bound_s: float
    breaches: tuple[Breach, ...]
    stopped_at: str

    @property
    def ratio(self) -> float:
        """Cost over bound; 1.0 where there is nothing to do."""
        return self.cost.objective_s / self.bound_s if self.bound_s > 0.0 else 1.0


def order(
    stage: Stage,
    *,
    work: float = 1.0,
    progress: Callable[[Progress], None] | None = None,
    stop: Callable[[], bool] | None = None,
    bound: BoundedOrder | None = None,
    way: Way | None = None,
) -> Ordered:
    """The best order of a stage that the work allows.

    The same stage and the same work give the same order, when not interrupted.

    Args:
        stage: the stage, and the state it begins from.
        work: how much to do beyond the first order; 0.0: the first order alone.
        progress: called now and then.
        stop: asked now and then; True: hand over the best so far.
        bound: the order of blocks and the bound, where they are at hand.
        way: how the person likes to work.

    Returns:
        The order, allowed by the checker.

    Raises:
        HoldersShort: the parts cannot be kept together with the holders there are.
    """
    tables = Tables(stage)
    classes = Classes(tables)
    way = way or Way()
    rules = RowRules(tables, are_ends_free=not way.from_middle)
    blocks = with_milestones(classes, greedy_visits(tables, classes))
    steps = Steps.of(construct(classes, blocks, rules=rules, way=way))
    if bound is None and work > 0.0:
        bound = bounded_order(tables, work_most=work)
    return _checked(tables, steps, bound, "done")


def _checked(
    tables: Tables, steps: Steps, bound: BoundedOrder | None, stopped_at: str
) -> Ordered:
    verdict = check_plan(tables.stage, steps)
    assert all(one.step == START for one in verdict.stopped), verdict.stopped[:3]
    bound_s = bound.bound_s if bound else 0.0
    return Ordered(steps, cost_of(tables, steps), bound_s, verdict.stopped, stopped_at)

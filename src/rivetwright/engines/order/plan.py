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
from rivetwright.engines.order.construct import (
    Builder,
    Built,
    HoldersShort,
    Stop,
    Way,
)
from rivetwright.engines.order.polish import Polish
from rivetwright.engines.order.runs import ranks_of
from rivetwright.engines.order.search import Search, Visits, tidy
from rivetwright.engines.order.stage import BARE, Tables
from rivetwright.engines.order.steps import Cost, Steps, cost_of
from rivetwright.model.stage import Kind, Stage

WORK = 2.0
# What one unit of work is, in rows gone along and in moves tried; it takes about
# 5 ms a hole on a small machine.
_TICKS_PER_HOLE = 120
_TICKS = 2000
_TRIES_PER_STEP = 150
_STEPS = 20
_BRIEF = 6  # the first polish of each order is shorter by this
_POLISHED_MOST = 4


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
        stopped_at: "done", or the part in which the work ended.
    """

    steps: Steps
    cost: Cost
    bound_s: float
    breaches: tuple[Breach, ...]
    stopped_at: str

    @property
    def ratio(self) -> float:
        """Cost over bound [1]; 1.0 where there is nothing to do."""
        return self.cost.objective_s / self.bound_s if self.bound_s > 0.0 else 1.0


def order(
    stage: Stage,
    *,
    work: float = WORK,
    progress: Callable[[Progress], None] | None = None,
    stop: Callable[[], bool] | None = None,
    bound: BoundedOrder | None = None,
    way: Way | None = None,
) -> Ordered:
    """The best order of a stage that the work allows.

    The same stage and the same work give the same order, when not interrupted.

    Args:
        stage: the stage, and the state it begins from.
        work: how much to do beyond the first order [1]; 0.0: the first order alone.
        progress: called now and then.
        stop: asked now and then; True: hand over the best so far.
        bound: the order of blocks and the bound, where they are at hand.
        way: how the person likes to work.

    Returns:
        The order, allowed by the checker.

    Raises:
        HoldersShort: the parts cannot be kept together with the holders there are.
    """
    return _Ordering(stage, work, progress, stop, way or Way()).order(bound)


class _Ordering:
    """One stage on its way through first order, search and polish."""

    def __init__(
        self,
        stage: Stage,
        work: float,
        progress: Callable[[Progress], None] | None,
        stop: Callable[[], bool] | None,
        way: Way,
    ) -> None:
        self.tables = Tables(stage)
        self.classes = Classes(self.tables)
        self.builder = Builder(self.classes, way=way)
        self.work = work
        self.progress, self.stop = progress, stop
        self.part = "first"

    def order(self, bound: BoundedOrder | None) -> Ordered:
        """The order, with as much work as was asked for."""
        greedy = with_milestones(self.classes, greedy_visits(self.tables, self.classes))
        starts = [self.builder.stops(greedy)]
        first = self._first(starts[0])
        self._tell(0.0, first.cost_s)
        if self.work <= 0.0 or self._is_stopped():
            return self._checked(first.steps, bound)
        self.part = "blocks"
        if bound is None:
            bound = bounded_order(self.tables, work_most=self.work)
        starts.append(self.builder.stops(bound.blocks))
        if self._is_stopped():
            return self._checked(first.steps, bound)
        best = self._searched(starts, first)
        if not self._is_stopped():
            best = self._polished(best)
        if not self._is_stopped():
            self.part = "done"
        return self._checked(best[0].steps, bound)

    def _first(self, greedy: list[Stop]) -> Built:
        """The first order; visits in any turn that the holders allow."""
        try:
            return self.builder.build(greedy)
        except HoldersShort:
            return self.builder.build(self._as_holders_allow(greedy))

    def _as_holders_allow(self, greedy: list[Stop]) -> list[Stop]:
        """Unit after unit: of those that may come next, one that can be set."""
        visits = Visits(self.builder)
        left = [
            stop if unit == BARE else stop._replace(units=1 << unit)
            for stop in greedy
            for unit in (ranks_of(stop.units) if stop.units else [BARE])
        ]
        taken: list[Stop] = []
        while left:
            for one in left:
                tried = [*taken, one]
                if visits.is_kept(tried) and self._can_build(tried):
                    break
            else:
                return [*taken, *left]
            left.remove(one)
            taken = tried
        return tidy(taken)

    def _can_build(self, stops: list[Stop]) -> bool:
        try:
            self.builder.build(stops)
        except HoldersShort:
            return False
        return True

    def _searched(self, starts: list[list[Stop]], first: Built) -> list[Built]:
        """The best orders of visits, built, the cheapest first."""
        self.part = "search"
        search = Search(self.builder)
        ticks = int(self.work * _TICKS_PER_HOLE * len(self.tables.stage)) + _TICKS
        found = search.run(starts, ticks, told=self._tell, stop=self.stop)
        if found.cost_s >= first.cost_s:
            return [first]
        return [self.builder.build(one) for one in [found.stops, *found.others]]

    def _polished(self, built: list[Built]) -> list[Built]:
        """All of them polished a little, the best one of them much."""
        self.part = "polish"
        tries = int(self.work * _TRIES_PER_STEP * (len(built[0].steps) + _STEPS))
        ranked = sorted(
            (self._polish(one, tries // _BRIEF) for one in built[:_POLISHED_MOST]),
            key=lambda one: one.cost_s,
        )
        return [self._polish(ranked[0], tries)]

    def _polish(self, built: Built, tries: int) -> Built:
        polish = Polish(self.classes, self.builder.rules, built.steps)
        cost_s = built.cost_s
        steps = polish.run(
            tries,
            told=lambda share, saved_s: self._tell(share, cost_s - saved_s),
            stop=self.stop,
        )
        return Built(cost_s - polish.best_s, steps)

    def _tell(self, share: float, cost_s: float) -> None:
        if self.progress:
            self.progress(Progress(self.part, share, cost_s))

    def _is_stopped(self) -> bool:
        return bool(self.stop and self.stop())

    def _was_loose(self, breach: Breach, plan: Steps) -> bool:
        """Whether a row lay loose as it was handed in, or as it was fitted."""
        is_loose = breach.rule in ("held", "end held")
        return is_loose and (
            breach.step == START or plan.kind[breach.step] == Kind.MILESTONE
        )

    def _checked(
        self, steps: list[tuple[int, int]], bound: BoundedOrder | None
    ) -> Ordered:
        plan = Steps.of(steps)
        verdict = check_plan(self.tables.stage, plan)
        assert all(self._was_loose(one, plan) for one in verdict.stopped), verdict
        bound_s = bound.bound_s if bound else 0.0
        cost = cost_of(self.tables, plan)
        return Ordered(plan, cost, bound_s, verdict.stopped, self.part)

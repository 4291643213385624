"""The steps of every assembly: what comes before what, hours, days, and the chain."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

import numpy as np

from rivetwright.bench.forecast import Outlook
from rivetwright.engines.forecast.course import middle_tasks
from rivetwright.engines.forecast.tasks import LeftOut, Task
from rivetwright.engines.forecast.trials import Range
from rivetwright.engines.network.precedence import Precedence
from rivetwright.engines.work.stand import STEP_DONE, Stand
from rivetwright.engines.work.waits import Wait
from rivetwright.model.step import Step

STEP = "step"
NOT_STARTED = "not started"
WEEK_DAYS = 7
# Spare days under this are none: there is one sitting in a few days.
NO_SPARE_DAYS = 1.0


@dataclass(frozen=True)
class StepView:
    """One step as the network shows it.

    `hours` and `ends` are None for what is done or has no date; `ends` are the low,
    likely and high day. `spare_days` is by how much it may be late, by its needs
    alone, before its assembly is. `no_date` says what has none.
    """

    name: str
    title: str
    state: str
    needs: tuple[str, ...]
    is_inspection: bool
    closes: tuple[str, ...]
    is_chain: bool
    hours: Range | None
    ends: tuple[date | None, date | None, date | None] | None
    waits: tuple[Wait, ...]
    spare_days: float | None
    no_date: LeftOut | None

    @property
    def is_done(self) -> bool:
        """Whether nothing is left in it."""
        return self.state == STEP_DONE


@dataclass(frozen=True)
class AssemblySteps:
    """The steps of one assembly, and how deep each lies behind the others."""

    key: str
    name: str
    steps: tuple[StepView, ...]
    depth: Mapping[str, int]

    @property
    def done_count(self) -> int:
        """Steps that are done."""
        return sum(step.is_done for step in self.steps)

    @property
    def chain(self) -> tuple[str, ...]:
        """Steps of its longest chain of needs that are not done."""
        return tuple(s.name for s in self.steps if s.is_chain and not s.is_done)


def step_network(found: Outlook) -> tuple[AssemblySteps, ...]:
    """The steps of every assembly.

    Args:
        found: what is told of hours and dates.
    """
    return tuple(_assembly(found, stand) for stand in found.work.stands)


def _assembly(found: Outlook, stand: Stand) -> AssemblySteps:
    plan = stand.worked_plan.worked.plan
    steps = plan.steps
    names = {step.name for step in steps}
    needs = {
        step.name: tuple(
            n.name for n in step.needs if n.kind == STEP and n.name in names
        )
        for step in steps
    }
    precedence = Precedence(needs)
    depth = dict(zip(precedence.names, precedence.depth.tolist(), strict=True))
    chain, spare = _chain(found, stand.key)
    lines = _Lines(found, stand, chain, spare)
    shown = tuple(lines.view(step, needs[step.name]) for step in steps)
    return AssemblySteps(stand.key, plan.name, shown, depth)


class _Lines:
    """What is known of each step of one assembly."""

    def __init__(
        self,
        found: Outlook,
        stand: Stand,
        chain: frozenset[str],
        spare: Mapping[str, float],
    ) -> None:
        self.found, self.stand = found, stand
        self.chain, self.spare = chain, spare
        ahead = found.told.ahead
        self.tasks: dict[str, list[Task]] = {}
        for task in ahead.tasks:
            if task.assembly == stand.key:
                self.tasks.setdefault(task.step, []).append(task)
        self.left_out = {
            one.step: one for one in ahead.left_out if one.assembly == stand.key
        }

    def view(self, step: Step, needs: tuple[str, ...]) -> StepView:
        """One step."""
        name, told = step.name, self.found.told
        mine = self.tasks.get(name, [])
        ends = None
        if mine:
            last = told.end_of(self.stand.key, name)
            ends = (told.day(last.low), told.day(last.likely), told.day(last.high))
        waits = {wait.key: wait for task in mine for wait in task.waits}
        return StepView(
            name,
            step.title,
            self._state(step, bool(mine)),
            needs,
            step.is_inspection,
            step.closes,
            name in self.chain,
            told.hours_of(self.stand.key, name) if mine else None,
            ends,
            tuple(waits.values()),
            self.spare.get(name),
            self.left_out.get(name),
        )

    def _state(self, step: Step, has_work: bool) -> str:
        """Its state; done where a bulletin took all its rows to another step."""
        if step.name in self.stand.emptied and not has_work:
            return STEP_DONE
        return self.stand.step_state(step.name) or NOT_STARTED


def _chain(found: Outlook, assembly: str) -> tuple[frozenset[str], dict[str, float]]:
    """Steps of the longest chain of needs of an assembly, and spare days of each."""
    tasks = found.told.ahead.tasks
    here = [k for k, task in enumerate(tasks) if task.assembly == assembly]
    if not here:
        return frozenset(), {}
    names = {tasks[k].key for k in here}
    needs: dict[str, Sequence[str]] = {}
    days: list[float] = []
    for name, before, long in _activities(found, here, names):
        needs[name] = before
        days.append(long)
    precedence = Precedence(needs)
    step_of = {tasks[k].key: tasks[k].step for k in here}
    chain = {step_of[one] for one in precedence.critical(days) if one in step_of}
    slack = precedence.passes(days).slack
    spare: dict[str, float] = {}
    for k, name in enumerate(precedence.names):
        if name in step_of:
            step = step_of[name]
            spare[step] = min(spare.get(step, np.inf), float(slack[k]))
    return frozenset(chain), spare


def _activities(
    found: Outlook, here: Sequence[int], names: set[str]
) -> Iterator[tuple[str, tuple[str, ...], float]]:
    """Tasks, visits and days to be waited for, each with its needs and its days."""
    told = found.told
    middle = middle_tasks(told)
    a_day = max(told.known.pace.week_minutes / WEEK_DAYS, 1e-9)
    for k in here:
        task = told.ahead.tasks[k]
        before = tuple(one for one in task.needs if one in names)
        from_day, lag = float(middle.from_day[0, k]), float(middle.lag_days[0, k])
        if lag:
            yield f"{task.key} visit", before, lag
            before = (f"{task.key} visit",)
        if from_day:
            yield f"{task.key} waits", (), from_day
            before = (*before, f"{task.key} waits")
        yield task.key, before, float(middle.minutes[0, k]) / a_day

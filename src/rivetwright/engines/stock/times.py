"""When a hole can be set at the earliest, as far as due dates are known.

No estimate of working time: only what has a date, or has none, stands in the way.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

import numpy as np

from rivetwright.engines.worked import Worked
from rivetwright.model.columns import preceding_steps
from rivetwright.model.step import Need

PART, TOOL, DELIVERY = "part", "tool", "delivery"
HERE = ("on hand", "owned")
DONE = "done"


@dataclass(frozen=True, order=True)
class When:
    """When holes can be set: in the order of this, earliest first.

    `is_far`: something that nobody has a date for must come first. `day` is the
    earliest day. `depth` is how many steps are to be done before. `waits_for` names
    what the day hangs on; empty where nothing does.
    """

    is_far: bool
    day: date
    depth: int
    waits_for: str = ""


@dataclass(frozen=True)
class _Due:
    """Where something that is not here stands: a day, or none known."""

    name: str
    day: date | None


def later(one: When, other: When) -> When:
    """Whichever of two hangs on the later day.

    Args:
        one: when by one reason.
        other: when by another.

    Source: both must be met.
    """
    return max(one, other, key=lambda when: (when.is_far, when.day))


class Times:
    """When the holes of one plan can be set, by its steps, parts, tools and holds."""

    def __init__(self, worked: Worked, today: date) -> None:
        self.worked = worked
        self.begins = today
        plan = worked.plan
        self._deliveries = {one.part: one for one in plan.opening.deliveries}
        shop = worked.shop
        self._tools = {tool.id: tool for tool in shop.tools} if shop else {}
        states = {one.step: one.state for one in plan.opening.steps}
        self._done = [states.get(step.name) == DONE for step in plan.steps]
        self._before = preceding_steps(plan)
        self._own = [self._needs(step.needs) for step in plan.steps]
        self.of_step = [self._step(k) for k in range(len(plan.steps))]

    def step_of(self, hole: int) -> str:
        """Name of the step in which a hole is set; empty where it has none."""
        at = int(self.worked.holes.step[hole])
        return self.worked.plan.steps[at].name if at >= 0 else ""

    def when(self, hole: int) -> When:
        """When a hole can be set at the earliest."""
        holes, plan = self.worked.holes, self.worked.plan
        step = int(holes.step[hole])
        found = self.of_step[step] if step >= 0 else self._now(0)
        opened, held = int(holes.open_holes[hole]), int(holes.hold[hole])
        if opened >= 0 and plan.open_holes[opened].part:
            found = self._after(found, self._part(plan.open_holes[opened].part))
        if held >= 0:
            hold = plan.opening.holds[held]
            if hold.until is not None:
                found = self._after(found, _Due(hold.name or hold.id, hold.until))
            elif hold.kind in (PART, TOOL):
                found = self._after(found, _Due(hold.name or hold.id, None))
        return found

    def _step(self, k: int) -> When:
        """When a step can begin: all that it and the steps before it need is there."""
        before = np.flatnonzero(self._before[k]).tolist()
        left = [b for b in before if not self._done[b]]
        found = self._now(len([b for b in left if b != k]))
        for b in left:
            for due in self._own[b]:
                found = self._after(found, due)
        return found

    def _now(self, depth: int) -> When:
        return When(False, self.begins, depth)

    def _after(self, when: When, due: _Due | None) -> When:
        """The later of a time and the arrival of something."""
        if due is None:
            return when
        day = max(due.day, self.begins) if due.day else self.begins
        return later(when, When(due.day is None, day, when.depth, due.name))

    def _needs(self, needs: tuple[Need, ...]) -> list[_Due]:
        """What a step needs that is not here."""
        found = []
        for need in needs:
            if need.kind in (PART, DELIVERY):
                found.append(self._part(need.name))
            elif need.kind == TOOL:
                found.append(self._tool(need.name))
        return [due for due in found if due is not None]

    def _part(self, name: str) -> _Due | None:
        """A part or delivery that is not here; None where it is."""
        told = self._deliveries.get(name)
        if told is None:
            return _Due(name, None)
        return None if told.state in HERE else _Due(name, told.due)

    def _tool(self, name: str) -> _Due | None:
        """A tool that is not here; None where it is, or no shop is known."""
        tool = self._tools.get(name)
        if tool is None or tool.state in HERE:
            return None
        return _Due(name, tool.due)

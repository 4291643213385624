"""How an assembly stands, as the work engine reads it: by the record or as written."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from rivetwright.engines.plan import WorkedPlan
from rivetwright.model.columns import Holes, parse_hole_range

Mask = NDArray[np.bool_]

DRILLED, DEBURRED, DIMPLED, COUNTERSUNK, PRIMED = (
    "drilled",
    "deburred",
    "dimpled",
    "countersunk",
    "primed",
)
STEP_DONE, UNDER_WAY = "done", "under way"


@dataclass(frozen=True)
class Stand:
    """One assembly: what is set, what was done to each sheet, what was signed.

    Holds, questions, deliveries and the states of steps are those of the plan's
    opening, which the bench keeps as the record has it.

    Args:
        key: the assembly's key.
        worked_plan: the worked-out plan.
        is_set: whether the rivet that is meant sits in a hole, shape (holes,).
        comes_out: whether another rivet sits there, shape (holes,).
        has_holder: whether a sheet holder does, shape (holes,).
        worked: by operation, then by part (empty: every sheet), shape (holes,).
        signed: whether the last word on an inspection was a pass, by step.
        dry_at: when the primer of a hole is dry, by the shop's clock, shape (holes,);
            NaT where none was laid on. None: nothing is known of it.
        emptied: steps whose rows a bulletin took over; nothing is left in them.
    """

    key: str
    worked_plan: WorkedPlan
    is_set: Mask
    comes_out: Mask
    has_holder: Mask
    worked: Mapping[str, Mapping[str, Mask]]
    signed: Mapping[str, bool] = field(default_factory=dict)
    dry_at: NDArray[np.datetime64] | None = None
    emptied: frozenset[str] = frozenset()

    @property
    def holes(self) -> Holes:
        """The plan's holes."""
        return self.worked_plan.worked.holes

    def step_state(self, step: str) -> str:
        """How far a step is, in a word; empty where nothing is said."""
        for one in self.worked_plan.worked.plan.opening.steps:
            if one.step == step:
                return one.state
        return ""

    def is_worked(self, operation: str, part: str) -> Mask:
        """Whether an operation was done to a part, shape (holes,)."""
        said = self.worked.get(operation, {})
        nothing = np.zeros(len(self.holes), dtype=bool)
        return said.get("", nothing) | said.get(part, nothing)


def stand_as_written(worked_plan: WorkedPlan, key: str = "") -> Stand:
    """How an assembly stands where there is no record: as its file says.

    Args:
        worked_plan: the worked-out plan [-].
        key: the assembly's key; empty: the plan's id [-].

    Source: the plan's opening.
    """
    holes = worked_plan.worked.holes
    opening = worked_plan.worked.plan.opening
    worked: dict[str, dict[str, Mask]] = {}
    for done in opening.done:
        if done.operation not in ("set", "removed"):
            _mark(worked, holes, done.operation, done.part, done.holes)
    _mark(worked, holes, DRILLED, "", opening.drilled)
    changed = np.array([bool(row.changed_by) for row in holes.plan.rows], dtype=bool)
    is_old = holes.is_set & changed[holes.row] if len(changed) else holes.is_set
    return Stand(
        key or worked_plan.worked.plan.id,
        worked_plan,
        holes.is_set & ~is_old,
        is_old,
        np.zeros(len(holes), dtype=bool),
        worked,
    )


def _mark(
    worked: dict[str, dict[str, Mask]],
    holes: Holes,
    operation: str,
    part: str,
    ranges: tuple[str, ...],
) -> None:
    """Note an operation on the holes of some ranges."""
    by_part = worked.setdefault(operation, {})
    mask = by_part.setdefault(part, np.zeros(len(holes), dtype=bool))
    for text in ranges:
        found = holes.indices(parse_hole_range(text))
        mask[found.start : found.stop] = True

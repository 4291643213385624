"""What is left of drilling, deburring, dimpling, countersinking and priming.

Drilling goes row by row, the rest part by part: that is what one takes in hand.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rivetwright.engines.work.rates import operations_named
from rivetwright.engines.work.stand import (
    COUNTERSUNK,
    DEBURRED,
    DIMPLED,
    DRILLED,
    PRIMED,
    STEP_DONE,
    Mask,
    Stand,
)
from rivetwright.engines.work.waits import ANSWER, FINDING, FREE, PART, HoleWaits
from rivetwright.model.columns import preceding_steps
from rivetwright.model.plan import COUNTERSINK, DIMPLE, Sheet

DRILL, DEBURR, DIMPLE_IT, COUNTERSINK_IT, PRIME = (
    "match-drill",
    "deburr",
    "dimple",
    "countersink",
    "prime",
)
_FACT_OF = {
    DEBURR: DEBURRED,
    DIMPLE_IT: DIMPLED,
    COUNTERSINK_IT: COUNTERSUNK,
    PRIME: PRIMED,
}
# A hole that was asked about is left as it is; what stops a hole stops its cutting.
_KEPT_BY = {DIMPLE_IT: (ANSWER,), COUNTERSINK_IT: (ANSWER, FINDING)}
_ASKED_FOR = {DIMPLE_IT: DIMPLE, COUNTERSINK_IT: COUNTERSINK}


# Holes by step, part and what they wait for.
OfParts = dict[tuple[int, str, int], list[NDArray[np.int64]]]


@dataclass(frozen=True)
class Prepared:
    """One operation left on one row or one part, in one step of the plan.

    `step` and `wait` are indices; `count` is in what the operation counts, `shares`
    in what its rate counts: a hole is deburred once in every sheet of its stack, and
    logs count the hole.
    """

    step: int
    operation: str
    part: str
    parts: tuple[str, ...]
    holes: tuple[int, ...]
    count: int
    wait: int
    shares: float


def prepared_work(stand: Stand, waits: HoleWaits) -> tuple[Prepared, ...]:
    """What is left of every preparing operation, in the order it is done.

    It falls to the nearest step before that sets no rivets and names the operation,
    and is not done; else to the step that sets the rivets.

    Args:
        stand: how the assembly stands.
        waits: what its holes wait for.

    Source: the plan, the record; work_rates.csv for the words.
    """
    left = _Left(stand, waits)
    return (*left.drilling(), *left.on_parts())


class _Left:
    """The holes that are not set, by class of stack."""

    def __init__(self, stand: Stand, waits: HoleWaits) -> None:
        self.stand, self.waits, self.holes = stand, waits, stand.holes
        self.stacks = stand.worked_plan.worked.stacks
        self.unset = ~stand.is_set & ~stand.comes_out & (self.holes.step >= 0)
        self.at_step = _step_for(stand)
        self.classes = self._classes()
        self.of_sheet = np.ones(len(self.holes))
        for sheets, here in self.classes:
            self.of_sheet[here] = 1.0 / max(len(sheets), 1)
        self.undrilled = self._undrilled()

    def _undrilled(self) -> Mask:
        drilled = np.zeros(len(self.holes), dtype=bool)
        for sheets, here in self.classes:
            each = [self.stand.is_worked(DRILLED, s.part)[here] for s in sheets]
            drilled[here] = np.logical_and.reduce(each) if each else True
        return np.asarray(self.unset & ~drilled)

    def _classes(self) -> list[tuple[tuple[Sheet, ...], NDArray[np.int64]]]:
        """Sheets and unset holes: of open ones those of the row, without the later."""
        rows = self.holes.plan.rows
        has_row_stack = np.array([bool(row.stack) for row in rows], dtype=bool)
        is_later = (self.holes.open_holes >= 0) & has_row_stack[self.holes.row]
        keys = np.where(is_later, -1 - self.holes.row, self.stacks.class_of)
        here = np.flatnonzero(self.unset)
        if not here.size:
            return []
        groups, which = np.unique(keys[here], return_inverse=True)
        order = np.argsort(which, kind="stable")
        ends = np.cumsum(np.bincount(which, minlength=len(groups)))[:-1]
        return [
            (
                rows[-1 - key].stack if key < 0 else self.stacks.classes[key].sheets,
                some,
            )
            for key, some in zip(
                groups.tolist(), np.split(here[order], ends), strict=True
            )
        ]

    def drilling(self) -> Iterator[Prepared]:
        """Rows with holes that are not drilled, parted by what they wait for."""
        left = np.flatnonzero(self.undrilled)
        wait = self._kept_by(PART, ANSWER)
        step = self.at_step[DRILL][self.holes.step]
        keys = np.column_stack((step, self.holes.row, wait))[left]
        groups, which = np.unique(keys, axis=0, return_inverse=True)
        for k, (at, _, why) in enumerate(groups.tolist()):
            here = left[which.reshape(-1) == k]
            parts = self._parts(here)
            holes = tuple(here.tolist())
            count = len(holes)
            yield Prepared(at, DRILL, "", parts, holes, count, why, float(count))

    def _kept_by(self, *kinds: str) -> NDArray[np.int32]:
        """What a hole waits for, where it is of these kinds, shape (holes,)."""
        keeps = np.array([w.kind in kinds for w in self.waits.waits] + [False])
        return np.where(keeps[self.waits.of_hole], self.waits.of_hole, FREE)

    def _parts(self, here: NDArray[np.int64]) -> tuple[str, ...]:
        classes = dict.fromkeys(self.stacks.class_of[here].tolist())
        sheets = (s for k in classes for s in self.stacks.classes[k].sheets)
        return tuple(dict.fromkeys(sheet.part for sheet in sheets))

    def on_parts(self) -> Iterator[Prepared]:
        """Parts with holes that are not deburred, dimpled, countersunk or primed."""
        for operation, fact in _FACT_OF.items():
            of_parts = self._of_parts(operation, fact)
            if operation == PRIME:
                of_parts = _in_one_go(of_parts)
            for (at, part, wait), some in of_parts.items():
                holes = tuple(np.sort(np.concatenate(some)).tolist())
                count = 1 if operation == PRIME else len(holes)
                shares = float(count)
                if operation == DEBURR:
                    shares = float(self.of_sheet[list(holes)].sum())
                yield Prepared(at, operation, part, (part,), holes, count, wait, shares)

    def _of_parts(self, operation: str, fact: str) -> OfParts:
        """Holes without an operation by step, part and what they wait for."""
        kept = self._kept_by(*_KEPT_BY.get(operation, ()))
        # What cannot be drilled yet cannot be deburred yet.
        kept = np.where(self.undrilled, self._kept_by(PART, ANSWER), kept)
        found: OfParts = {}
        for sheets, here in self.classes:
            for sheet in sheets:
                if _ASKED_FOR.get(operation, sheet.preparation) != sheet.preparation:
                    continue
                some = here[~self.stand.is_worked(fact, sheet.part)[here]]
                steps = self.at_step[operation][self.holes.step[some]]
                own = self._part_wait(sheet.part)
                waits = kept[some] if own == FREE else np.full(len(some), own)
                for at, wait in sorted(
                    set(zip(steps.tolist(), waits.tolist(), strict=True))
                ):
                    these = some[(steps == at) & (waits == wait)]
                    found.setdefault((at, sheet.part, wait), []).append(these)
        return found

    def _part_wait(self, part: str) -> int:
        """What a part itself waits for: that it comes."""
        for k, wait in enumerate(self.waits.waits):
            if wait.kind == PART and wait.name == part:
                return k
        return FREE


def _in_one_go(of_parts: OfParts) -> OfParts:
    """A part is primed once: when some of its holes can be, whatever waits."""
    found: OfParts = {}
    waits: dict[tuple[int, str], int] = {}
    for at, part, wait in of_parts:
        known = waits.get((at, part), wait)
        waits[at, part] = FREE if FREE in (known, wait) else known
    for (at, part, _), some in of_parts.items():
        found.setdefault((at, part, waits[at, part]), []).extend(some)
    return found


def _step_for(stand: Stand) -> dict[str, NDArray[np.int32]]:
    """For each operation the step it falls to, by the step that sets the rivets."""
    plan = stand.worked_plan.worked.plan
    count = len(plan.steps)
    own = np.arange(count, dtype=np.int32)
    used = np.zeros(count, dtype=bool)
    used[np.unique(stand.holes.step[stand.holes.step >= 0])] = True
    named = {
        k: operations_named(f"{step.title} {step.text}")
        for k, step in enumerate(plan.steps)
        if not used[k] and not step.is_inspection
    }
    before = preceding_steps(plan) if named else np.zeros((count, count), dtype=bool)
    is_done = [stand.step_state(step.name) == STEP_DONE for step in plan.steps]
    found = {}
    for operation in (DRILL, *_FACT_OF):
        at = own.copy()
        for k in (k for k, names in named.items() if operation in names):
            if not is_done[k]:
                at[before[:, k]] = k
        found[operation] = at
    return found

"""A step as it lies on the bench by the record, and the order from here.

The order is worked out from the step's beginning and followed as long as what was
done keeps its rules; where a person did something else, from what is there now. So
the same plan and the same record give the same order.
"""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Sequence
from dataclasses import dataclass, replace
from threading import RLock

import numpy as np

from rivetwright.bench.holders import (
    HolderUse,
    held_beside,
    holders_by_size,
    together,
)
from rivetwright.bench.now import HoleIds, squeezers_away
from rivetwright.bench.open_now import FINDING, HOLD, Waits
from rivetwright.bench.order_wanted import Wanted
from rivetwright.bench.own_times import own_times
from rivetwright.bench.runs import holes_of_step
from rivetwright.engines.order.bound import bounded_order
from rivetwright.engines.order.construct import HoldersShort
from rivetwright.engines.order.figures import figures_of
from rivetwright.engines.order.following import followed
from rivetwright.engines.order.from_plan import AtBench, Choices, Staged, stage_of
from rivetwright.engines.order.setting import Limits
from rivetwright.engines.order.stage import BARE, Tables
from rivetwright.engines.order.step_plan import StepPlan, plan_steps
from rivetwright.engines.plan import WorkedPlan
from rivetwright.errors import Refusal
from rivetwright.model.columns import parse_hole_range, preceding_steps
from rivetwright.model.shop import Shop
from rivetwright.model.step import Step
from rivetwright.record.state import State

KEPT = 64
# A fresh order has to save so much before the one that was begun is left.
WORSE_RATIO, WORSE_S = 1.03, 60.0


@dataclass(frozen=True)
class _Known:
    """An order found before, and what it was found for, kept so that it stays one."""

    drawn: tuple[object, ...]
    plan: StepPlan


# Orders from the beginning of a step, and from here: the same ones are asked for again.
_KNOWN: OrderedDict[tuple[object, ...], _Known] = OrderedDict()
# One order is worked out at a time; marks go into the record meanwhile.
_WORKING = RLock()


class OrderBench:
    """How the holes of some steps stand by the record, and their order from here.

    The record is read once, when it is made; what follows takes no look at it.

    Args:
        worked_plan: the worked-out plan.
        shop: what is owned; None: as the plan names tools.
        state: what the record says.
        names: the steps.
        wanted: how the person wants it.
        uses: sheet holders in other assemblies.
    """

    def __init__(
        self,
        worked_plan: WorkedPlan,
        shop: Shop | None,
        state: State,
        names: Sequence[str],
        wanted: Wanted,
        uses: Sequence[HolderUse] = (),
    ) -> None:
        self.worked = worked_plan.worked
        self.worked_plan, self.shop, self.names = worked_plan, shop, tuple(names)
        self.wanted, self.state = wanted, state
        ids = HoleIds(self.worked.holes)
        waits = [Waits(worked_plan, ids, state, name) for name in names]
        count = len(self.worked.holes)
        self.is_set = np.zeros(count, dtype=bool)
        self.must_wait = np.ones(count, dtype=bool)
        self.has_holder = np.zeros(count, dtype=bool)
        self.own: list[int] = []
        self._read_holes(ids)
        for one in waits:
            self._read_waits(one)
        self._hold_asked()
        self._assume_earlier()
        self.left_out = (*wanted.left_out, *squeezers_away(shop, state))
        rows = {int(self.worked.holes.row[at]) for at in self.own}
        beside = held_beside(worked_plan, state, rows)
        self.elsewhere = together(holders_by_size(uses), beside)
        self.figures = figures_of(
            shop, own_times(state, shop), worked_plan.worked.plan.rule_sets.held_mm
        )

    def _read_holes(self, ids: HoleIds) -> None:
        if self.worked.plan.id not in self.state.openings:
            # Without a record, what had happened is what the file says.
            self.is_set |= self.worked.holes.is_set
        assembly = self.state.assembly(self.worked.plan.id)
        self.last_hole, last_at = BARE, ""
        self.last_setup: tuple[str, str] | None = None
        for row_id, numbers in assembly.rows.items():
            for number, hole in numbers.items():
                at = ids.index(row_id, number)
                if at is None:
                    continue
                self.is_set[at] = hole.rivet is not None
                self.has_holder[at] = bool(hole.holder)
                if hole.rivet is not None and hole.rivet.at >= last_at:
                    self.last_hole, last_at = at, hole.rivet.at
                    tools = hole.rivet.setup.rpartition("|")[2]
                    self.last_setup = hole.rivet.callout, tools

    def _read_waits(self, waits: Waits) -> None:
        own = holes_of_step(waits)
        self.own += own
        for at in own:
            why = waits.of(at)
            if why and (why.id, at) in self.worked_plan.answered:
                why = None
            is_held = self._is_held_by_file(at) or bool(why and why.kind == HOLD)
            may_be_answered = is_held or bool(why and why.kind == FINDING)
            is_free = why is None and not is_held
            if is_free or (self.wanted.as_if and may_be_answered):
                self.must_wait[at] = False

    def _is_held_by_file(self, at: int) -> bool:
        """Whether the plan's file holds a hole and there is no record."""
        has_record = self.worked.plan.id in self.state.openings
        return not has_record and bool(self.worked.holes.hold[at] >= 0)

    def _assume_earlier(self) -> None:
        """Holes of steps that have to be done before count as set."""
        plan, columns = self.worked.plan, self.worked.holes
        index = {one.name: k for k, one in enumerate(plan.steps)}
        own = [index[name] for name in self.names]
        before = np.asarray(preceding_steps(plan)[own].any(axis=0))
        for name in self.names:
            before[index[name]] = False
        is_earlier = (columns.step >= 0) & before[columns.step]
        self.is_set[is_earlier & (columns.open_holes < 0)] = True

    def _hold_asked(self) -> None:
        """Holes that the person says must wait tonight."""
        columns = self.worked.holes
        for written in self.wanted.held:
            self.must_wait[list(columns.indices(parse_hole_range(written)))] = True

    @property
    def waiting(self) -> tuple[int, ...]:
        """Holes of the steps that must wait."""
        return tuple(
            at for at in self.own if self.must_wait[at] and not self.is_set[at]
        )

    @property
    def steps(self) -> tuple[Step, ...]:
        """The steps as the plan has them."""
        by_name = {one.name: one for one in self.worked.plan.steps}
        return tuple(by_name[name] for name in self.names)

    # --- the order ------------------------------------------------------------------

    def plan(self) -> tuple[StepPlan, bool] | None:
        """The order from here, and whether it was worked out anew.

        Raises:
            Refusal: the sheets cannot be kept together with the holders there are.
        """
        with _WORKING:
            return self._plan()

    def _plan(self) -> tuple[StepPlan, bool] | None:
        now = self._staged(from_beginning=False)
        if not now.wanted_count:
            return None
        begun = self._begun()
        rest = followed(begun, now) if begun else None
        try:
            if rest is not None and not self._is_worse(rest, now):
                return self._bounded(rest), False
            return self._known(now), True
        except HoldersShort as short:
            row = self.worked.plan.rows[now.rows[short.row]].name
            raise Refusal(
                asked=f"keep row {row} together while it is riveted",
                found=f"{now.stage.holders_spare} sheet holders to spare",
                allowed="an open hole within "
                f"{now.stage.clamp.reach_mm:.0f} mm of a rivet or holder on both sides",
                do="borrow holders, or take some off another assembly",
            ) from short

    def _is_worse(self, rest: StepPlan, now: Staged) -> bool:
        """Whether a fresh order from here saves much of what is left."""
        if not now.stage.is_set.any():
            return False
        fresh = self._known(now, work=0.0).ordered.cost.objective_s
        return rest.ordered.cost.objective_s > fresh * WORSE_RATIO + WORSE_S

    def _begun(self) -> StepPlan | None:
        """The order as the step began; None where there were too few holders."""
        try:
            return self._known(self._staged(from_beginning=True))
        except HoldersShort:
            return None

    def _bounded(self, plan: StepPlan) -> StepPlan:
        """With the bound of what is left, where one is wanted and not known."""
        if plan.ordered.bound_s > 0.0 or self.wanted.work <= 0.0:
            return plan
        stage = plan.staged.stage
        key = ("bound", *self._key(plan.staged))
        if key not in _KNOWN:
            found = bounded_order(Tables(stage), work_most=self.wanted.work)
            ordered = replace(plan.ordered, bound_s=found.bound_s)
            self._keep(key, replace(plan, ordered=ordered))
        bound_s = _KNOWN[key].plan.ordered.bound_s
        return replace(plan, ordered=replace(plan.ordered, bound_s=bound_s))

    def _staged(self, *, from_beginning: bool) -> Staged:
        """The stage as the step began, with nothing of it set, or as it is now."""
        is_set, holder = self.is_set.copy(), self.has_holder.copy()
        if from_beginning:
            is_set[self.own] = is_set[self.own] & self.must_wait[self.own]
            holder[:] = False
        at_bench = AtBench(
            is_set=is_set,
            must_wait=self.must_wait,
            has_holder=holder,
            holders_elsewhere=self.elsewhere,
            last_hole=BARE if from_beginning else self.last_hole,
            last_setup=None if from_beginning else self.last_setup,
        )
        limits = Limits(self.wanted.alone, self.wanted.quiet, frozenset(self.left_out))
        taught = self.worked_plan.told.taught
        choices = Choices(self.wanted.begin, limits, self.wanted.reminders, taught)
        return stage_of(
            self.worked, self.shop, at_bench, self.names, self.figures, choices
        )

    def _known(self, staged: Staged, work: float | None = None) -> StepPlan:
        """The order of a stage, worked out once."""
        asked = self.wanted.work if work is None else work
        key = (asked, *self._key(staged))
        if key in _KNOWN:
            _KNOWN.move_to_end(key)
            return _KNOWN[key].plan
        return self._keep(key, plan_steps(staged, work=asked))

    def _keep(self, key: tuple[object, ...], plan: StepPlan) -> StepPlan:
        _KNOWN[key] = _Known(self._drawn, plan)
        while len(_KNOWN) > KEPT:
            _KNOWN.popitem(last=False)
        return plan

    @property
    def _drawn(self) -> tuple[object, ...]:
        plan = self.worked.plan
        return plan.parts, plan.faces, plan.rows, plan.steps

    def _key(self, staged: Staged) -> tuple[object, ...]:
        """Everything that decides an order."""
        stage = staged.stage
        columns = stage.is_set, stage.is_deferred, stage.holder, stage.done
        return (
            *(id(one) for one in self._drawn),
            self.names,
            self.wanted,
            self.left_out,
            self.shop,
            # Heads that were measured may change what is put in.
            staged.ways,
            tuple(sorted(self.figures.values.items())),
            stage.rigged,
            stage.start_face,
            stage.holders_spare,
            *(column.tobytes() for column in columns),
        )

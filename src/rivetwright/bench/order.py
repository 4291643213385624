"""The order of a step from the present record: cards, runs, holders, minutes, bound.

It is worked out from the step's beginning and followed as long as what was done keeps
its rules; where a person did something else, from what is there now. So the same plan
and the same record give the same order.
"""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from rivetwright.bench.now import HoleIds
from rivetwright.bench.open_now import FINDING, HOLD, Waits
from rivetwright.bench.own_times import own_times
from rivetwright.bench.runs import holes_of_step, named_end
from rivetwright.engines.order.bound import bounded_order
from rivetwright.engines.order.checker import START, check_plan
from rivetwright.engines.order.construct import HoldersShort
from rivetwright.engines.order.figures import Figures, figures_of
from rivetwright.engines.order.from_plan import AtBench, Choices, Staged, stage_of
from rivetwright.engines.order.holders import HolderPlan, holder_plan, size_of
from rivetwright.engines.order.said import Card, Press, cards_of
from rivetwright.engines.order.setting import Limits, SetBy
from rivetwright.engines.order.stage import BARE, Tables
from rivetwright.engines.order.step_plan import StepPlan, plan_steps
from rivetwright.engines.order.steps import Steps, cost_of
from rivetwright.engines.plan import WorkedPlan
from rivetwright.errors import NotFound, Refusal, nearest_hint
from rivetwright.model.columns import preceding_steps
from rivetwright.model.shop import Shop
from rivetwright.model.stage import Kind
from rivetwright.model.step import Step
from rivetwright.record.state import State

KEPT = 64
# A fresh order has to save so much before the one that was begun is left.
WORSE_RATIO, WORSE_S = 1.03, 60.0


@dataclass(frozen=True)
class Wanted:
    """How the person wants the order.

    Args:
        begin: middle, ends or skip; empty: as the stacks ask.
        alone: nothing that takes two people.
        quiet: nothing noisy.
        left_out: tools that are broken or lent, by id or title.
        reminders: holders stay where a row changes to another rivet.
        as_if: as if every finding were answered and every hold lifted.
        work: how much to do beyond the first order.
    """

    begin: str = ""
    alone: bool = False
    quiet: bool = False
    left_out: tuple[str, ...] = ()
    reminders: bool = False
    as_if: bool = False
    work: float = 0.5


@dataclass(frozen=True)
class StepOrder:
    """A step's order as far as it goes from here.

    `names` are its steps; `done_count` rivets set already; `waiting` plan holes that
    must wait. `plan` is None where nothing can be set.
    """

    worked_plan: WorkedPlan
    step: str
    title: str
    names: tuple[str, ...]
    kit_minutes: float | None
    wanted: Wanted
    plan: StepPlan | None
    holders: HolderPlan
    hole_count: int
    done_count: int
    waiting: tuple[int, ...]
    figures: Figures
    is_replanned: bool = False

    @property
    def cards(self) -> tuple[Card, ...]:
        """The setup cards in order."""
        return self.plan.cards if self.plan else ()

    @property
    def presses(self) -> tuple[Press, ...]:
        """Every press in order."""
        return tuple(press for card in self.cards for press in card.presses)

    @property
    def without(self) -> tuple[int, ...]:
        """Plan holes that no tool sets tonight."""
        return self.plan.staged.without if self.plan else ()

    def set_by(self, card: Card) -> SetBy | None:
        """How a card's setup is rigged; None for one without."""
        if self.plan is None or card.setup == BARE:
            return None
        return self.plan.staged.ways[card.setup]

    def face_name(self, card: Card) -> str:
        """The face a card works on; empty where none is drawn."""
        if self.plan is None:
            return ""
        face = self.plan.staged.faces[card.face]
        return self.worked_plan.worked.plan.faces[face].name if face >= 0 else ""

    def row_end(self, row: int) -> str:
        """The end from which a row's holes are counted."""
        holes = self.worked_plan.worked.holes
        every = range(int(holes.row_start[row]), int(holes.row_start[row + 1]))
        return named_end(holes, holes.plan.rows[row], every)


def order_of_step(
    worked_plan: WorkedPlan,
    shop: Shop | None,
    state: State,
    step: str,
    wanted: Wanted | None = None,
) -> StepOrder:
    """The order of a step from what the record says now.

    Args:
        worked_plan: the worked-out plan.
        shop: what is owned; None: as the plan names tools.
        state: what the record says.
        step: name of the step, or several parted by a comma.
        wanted: how the person wants it.

    Raises:
        NotFound: the plan has no such step.
        Refusal: the sheets cannot be kept together with the holders there are.
    """
    asked = wanted or Wanted()
    names = _names(worked_plan, step)
    bench = _Bench(worked_plan, shop, state, names, asked)
    plan = bench.plan()
    steps = {one.name: one for one in worked_plan.worked.plan.steps}
    minutes = [steps[name].kit_minutes for name in names]
    known = [one for one in minutes if one is not None]
    return StepOrder(
        worked_plan,
        ", ".join(names),
        steps[names[0]].title if len(names) == 1 else "",
        names,
        sum(known) if known else None,
        asked,
        plan[0] if plan else None,
        holder_plan(worked_plan.worked, shop, names[0], bench.elsewhere),
        len(bench.own),
        int(bench.is_set[bench.own].sum()),
        tuple(at for at in bench.own if bench.must_wait[at] and not bench.is_set[at]),
        bench.figures,
        bool(plan and plan[1]),
    )


def steps_with_holes(worked_plan: WorkedPlan) -> tuple[Step, ...]:
    """The steps in which some hole is set, in the plan's order."""
    plan, columns = worked_plan.worked.plan, worked_plan.worked.holes
    used = set(columns.step.tolist())
    return tuple(step for k, step in enumerate(plan.steps) if k in used)


def _names(worked_plan: WorkedPlan, step: str) -> tuple[str, ...]:
    known = [one.name for one in worked_plan.worked.plan.steps]
    names = tuple(part.strip() for part in step.split(",") if part.strip())
    for name in names or (step,):
        if name not in known:
            raise NotFound(
                asked=f"work out the order of the step {name or 'without a name'}",
                found="no such step in this plan",
                allowed=f"one of {', '.join(known)}" + nearest_hint(name, known),
                do="choose a step from the list",
            )
    return names


@dataclass(frozen=True)
class _Known:
    """An order found before, and what it was found for, kept so that it stays one."""

    drawn: tuple[object, ...]
    plan: StepPlan


# Orders from the beginning of a step, and from here: the same ones are asked for again.
_KNOWN: OrderedDict[tuple[object, ...], _Known] = OrderedDict()


class _Bench:
    """How the holes of a plan stand for some steps, by the record."""

    def __init__(
        self,
        worked_plan: WorkedPlan,
        shop: Shop | None,
        state: State,
        names: Sequence[str],
        wanted: Wanted,
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
        self._assume_earlier()
        self.elsewhere = self._holders_elsewhere()
        self.figures = figures_of(shop, own_times(state, shop))

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

    def _holders_elsewhere(self) -> dict[int, int]:
        """Holders in other holes of this plan, by size."""
        found: dict[int, int] = {}
        for at in np.flatnonzero(self.has_holder).tolist():
            if at not in self.own:
                size = size_of(self.worked, at)
                found[size] = found.get(size, 0) + 1
        return found

    # --- the order ------------------------------------------------------------------

    def plan(self) -> tuple[StepPlan, bool] | None:
        """The order from here, and whether it was worked out anew.

        Raises:
            Refusal: the sheets cannot be kept together with the holders there are.
        """
        now = self._staged(from_beginning=False)
        if not now.wanted_count:
            return None
        begun = self._begun()
        followed = _followed(begun, now) if begun else None
        try:
            if followed is not None and not self._is_worse(followed, now):
                return self._bounded(followed), False
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

    def _is_worse(self, followed: StepPlan, now: Staged) -> bool:
        """Whether a fresh order from here saves much of what is left."""
        if not now.stage.is_set.any():
            return False
        fresh = self._known(now, work=0.0).ordered.cost.objective_s
        return followed.ordered.cost.objective_s > fresh * WORSE_RATIO + WORSE_S

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
        limits = Limits(
            self.wanted.alone, self.wanted.quiet, frozenset(self.wanted.left_out)
        )
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
            self.shop,
            # Heads that were measured may change what is put in.
            staged.ways,
            tuple(sorted(self.figures.values.items())),
            stage.rigged,
            stage.start_face,
            stage.holders_spare,
            *(column.tobytes() for column in columns),
        )


def _followed(begun: StepPlan, now: Staged) -> StepPlan | None:
    """What is left of an order that was begun; None where it cannot be gone on with."""
    if begun.staged.ways != now.ways or begun.staged.holes != now.holes:
        return None
    there = _with_holders(begun, now)
    stage = there.stage
    held = stage.holder.copy()
    left: list[tuple[int, int]] = []
    for kind, index in begun.ordered.steps:
        if kind in (Kind.RIG, Kind.FACE):
            left.append((kind, index))
            continue
        if kind == Kind.MILESTONE:
            if not stage.done[index]:
                left.append((kind, index))
            continue
        is_done = bool(stage.is_set[index])
        if kind == Kind.SET and not is_done:
            left.append((kind, index))
        elif kind == Kind.OUT and held[index]:
            held[index] = False
            left.append((kind, index))
        elif kind == Kind.IN and not held[index] and not is_done:
            held[index] = True
            left.append((kind, index))
    steps = Steps.of(_without_idle(left, stage.rigged, stage.start_face))
    verdict = check_plan(stage, steps)
    if any(one.step != START for one in verdict.stopped):
        return None
    ordered = replace(begun.ordered, steps=steps, cost=cost_of(stage, steps))
    if len(steps) < len(begun.ordered.steps):
        # The bound was that of the whole.
        ordered = replace(ordered, bound_s=0.0)
    return StepPlan(there, ordered, cards_of(there, ordered))


def _with_holders(begun: StepPlan, now: Staged) -> Staged:
    """Now, with the holders that the order put in where the record says nothing."""
    stage = now.stage
    put_in = {now.holes.index(hole) for hole in now.to_put_in}
    recorded = stage.holder.copy()
    recorded[list(put_in)] = False
    holder = recorded.copy()
    rows = stage.row
    known = set(rows[recorded].tolist())
    for hole in np.flatnonzero(begun.staged.stage.holder).tolist():
        if int(rows[hole]) not in known:
            holder[hole] = not stage.is_set[hole]
    added = np.flatnonzero(holder & ~recorded).tolist()
    spare = stage.holders_spare + len(put_in) - len(added)
    return replace(
        now,
        stage=replace(stage, holder=holder, holders_spare=max(0, spare)),
        to_put_in=tuple(now.holes[k] for k in added),
    )


def _without_idle(
    steps: Sequence[tuple[int, int]], rigged: int, face: int
) -> list[tuple[int, int]]:
    """Steps without set-ups and turns after which nothing is done."""
    kept: list[tuple[int, int]] = []
    rig: tuple[int, int] | None = None
    turn: tuple[int, int] | None = None
    for one in steps:
        if one[0] == Kind.RIG:
            rig = one
        elif one[0] == Kind.FACE:
            turn = one
        else:
            if turn and turn[1] != face:
                kept.append(turn)
                face = turn[1]
            if rig and one[0] == Kind.SET and rig[1] != rigged:
                kept.append(rig)
                rigged = rig[1]
            turn = None
            kept.append(one)
    return kept

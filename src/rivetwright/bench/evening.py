"""What the bench screen shows: where I am, what waits, what to set next.

Everything follows from plan and record alone, so that any interruption ends where it
began. Values only; the sentences are in `texts.bench_words`.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from rivetwright.bench.gate import (
    BadHead,
    GateLine,
    LastChance,
    bad_heads,
    last_chance,
    ready_lines,
)
from rivetwright.bench.heads_due import DueHead, due_heads
from rivetwright.bench.holders import HolderUse, holders_beside
from rivetwright.bench.needs import (
    DONE,
    NOT_STARTED,
    UNDER_WAY,
    Lacking,
    StepChoice,
    lacking,
    last_worked,
)
from rivetwright.bench.now import HoleIds, hole_states, shop_now
from rivetwright.bench.open_now import OpenHole, Waits, open_now
from rivetwright.bench.operations import SheetWork, next_work, operations_of
from rivetwright.bench.order import StepOrder, Wanted
from rivetwright.bench.order_runs import ordered_setups
from rivetwright.bench.runs import Run, Setup, holes_of_step, setups_of
from rivetwright.bench.second_person import Card, cards_of
from rivetwright.bench.workshop import Workshop
from rivetwright.engines.plan import WorkedPlan
from rivetwright.errors import NotFound, nearest_hint
from rivetwright.model.shop import Shop
from rivetwright.model.step import Step
from rivetwright.record.kinds import OPERATIONS
from rivetwright.record.state import State, Timer


@dataclass(frozen=True)
class LastAction:
    """What can be taken back with one tap."""

    fact: str
    kind: str
    names: tuple[str, ...]
    at: str


@dataclass(frozen=True)
class Ordering:
    """How an order is wanted, and which sheet holders other assemblies have."""

    wanted: Wanted | None = None
    uses: tuple[HolderUse, ...] = ()


@dataclass(frozen=True)
class Evening:
    """One assembly at one step, as far as it is.

    `worked_at` is when something was last done in it, where no step was asked for.
    """

    key: str
    assembly: str
    revision: int
    position: int
    step: str
    title: str
    state: str
    text: str
    drawing_note: str
    steps: tuple[StepChoice, ...]
    setups: tuple[Setup, ...]
    open_holes: tuple[OpenHole, ...]
    lacking: tuple[Lacking, ...]
    gate: tuple[GateLine, ...]
    last_chance: tuple[LastChance, ...]
    bad_heads: tuple[BadHead, ...]
    heads_due: tuple[DueHead, ...]
    operations: tuple[SheetWork, ...]
    cards: tuple[Card, ...]
    states: dict[str, str]
    timer: Timer | None
    last_action: LastAction | None
    worked_at: str = ""
    order: StepOrder | None = None

    @property
    def has_begun(self) -> bool:
        """Whether the step is under way."""
        return self.state == UNDER_WAY

    @property
    def needs_two(self) -> bool:
        """Whether nobody does the step alone."""
        return any(card.is_needed for card in self.cards)

    @property
    def runs(self) -> tuple[Run, ...]:
        """What is left to set, in order."""
        return tuple(run for setup in self.setups for run in setup.runs)

    @property
    def next_works(self) -> tuple[SheetWork, ...]:
        """The next row or sheet for each operation that is not through."""
        found = (next_work(self.operations, one) for one in OPERATIONS)
        return tuple(work for work in found if work is not None)

    @property
    def is_marked(self) -> bool:
        """Whether every hole that stays open is marked at the work."""
        return all(one.is_marked for one in self.open_holes)

    @property
    def is_ready(self) -> bool:
        """Whether the list before the first rivet is ticked through."""
        return all(line.is_ticked for line in self.gate)


def evening(
    workshop: Workshop,
    key: str,
    step: str = "",
    person: str = "",
    *,
    is_ordered: bool = False,
    wanted: Wanted | None = None,
) -> Evening:
    """What the bench screen shows for an assembly; ordered: runs as worked out.

    Raises:
        NotFound: no such assembly, or no such step in it.
    """
    with workshop.lock:
        project = workshop.now()
        worked_plan = project.assembly(key).worked_plan
        uses = holders_beside(workshop, worked_plan) if is_ordered else ()
        return evening_of(
            worked_plan,
            workshop.state(),
            project.project.shop,
            key=key,
            step=step,
            person=person,
            ordering=Ordering(wanted, uses) if is_ordered else None,
        )


def evening_of(
    worked_plan: WorkedPlan,
    state: State,
    shop: Shop | None = None,
    *,
    key: str = "",
    step: str = "",
    person: str = "",
    ordering: Ordering | None = None,
) -> Evening:
    """The same, from a worked-out plan and what the record says.

    Raises:
        NotFound: the plan has no such step.
    """
    ids, plan = HoleIds(worked_plan.worked.holes), worked_plan.worked.plan
    choices = tuple(_choice(worked_plan, ids, state, one) for one in plan.steps)
    worked = {} if step else _worked(worked_plan, ids, state, choices)
    name = step or usual_step(worked_plan, choices, worked)
    at = _step(plan.steps, name)
    waits = Waits(worked_plan, ids, state, name)
    holes = holes_of_step(waits)
    choice = next((one for one in choices if one.name == name), None)
    setups, order = _setups(worked_plan, waits, shop, ordering)
    return Evening(
        key=key or plan.id,
        assembly=plan.id,
        revision=plan.revision,
        position=state.position,
        step=name,
        title=at.title if at else "",
        state=choice.state if choice else NOT_STARTED,
        text=at.text if at else "",
        drawing_note=at.drawing_note if at else "",
        steps=choices,
        setups=setups,
        open_holes=open_now(waits, holes),
        lacking=lacking(waits, at, choices, shop),
        gate=ready_lines(waits, holes, setups) if holes else (),
        last_chance=last_chance(worked_plan, waits),
        bad_heads=bad_heads(waits, holes),
        heads_due=due_heads(waits.heads, holes),
        operations=operations_of(worked_plan, waits, holes),
        cards=cards_of(at, setups, shop),
        states=hole_states(ids, state, holes),
        timer=state.timers.get(person),
        last_action=_last_action(ids, state, plan.id, person),
        worked_at=max(worked.values(), default=""),
        order=order,
    )


def _setups(
    worked_plan: WorkedPlan,
    waits: Waits,
    shop: Shop | None,
    ordering: Ordering | None,
) -> tuple[tuple[Setup, ...], StepOrder | None]:
    """The set-ups of the step, in the worked-out order where that is wanted."""
    if ordering is None:
        return setups_of(worked_plan, waits), None
    owned = shop_now(shop, waits.state)
    return ordered_setups(worked_plan, waits, owned, ordering.wanted, ordering.uses)


def _step(steps: tuple[Step, ...], name: str) -> Step | None:
    if not name:
        return None
    for one in steps:
        if one.name == name:
            return one
    names = [one.name for one in steps]
    raise NotFound(
        asked=f"open the step {name}",
        found="no such step in this plan",
        allowed=f"one of {', '.join(names)}" + nearest_hint(name, names),
        do="choose a step from the list",
    )


def _choice(
    worked_plan: WorkedPlan, ids: HoleIds, state: State, step: Step
) -> StepChoice:
    waits = Waits(worked_plan, ids, state, step.name)
    holes = holes_of_step(waits)
    states = hole_states(ids, state, holes)
    set_count = sum(word == "set" for word in states.values())
    names = {ids.holes.name(at): at for at in holes}
    left = sum(
        states[name] != "set" and waits.of(at) is None for name, at in names.items()
    )
    said = state.assembly(ids.holes.plan.id).steps.get(step.name)
    return StepChoice(
        step.name,
        step.title,
        said.state if said else NOT_STARTED,
        set_count,
        len(holes),
        left,
        step.is_inspection,
    )


def _worked(
    worked_plan: WorkedPlan,
    ids: HoleIds,
    state: State,
    choices: tuple[StepChoice, ...],
) -> dict[str, str]:
    """When each step was last worked in, by the record."""
    found = {}
    for one in choices:
        waits = Waits(worked_plan, ids, state, one.name)
        found[one.name] = last_worked(waits, one, holes_of_step(waits))
    return found


def usual_step(
    worked_plan: WorkedPlan,
    choices: tuple[StepChoice, ...],
    worked: Mapping[str, str] | None = None,
) -> str:
    """The step one most likely means: the one last worked in while it is not done.

    Else one under way with something to set; else the first whose needed steps are
    done and that has something to set; else any of these.
    """
    plan = worked_plan.worked.plan
    by_name = {one.name: one for one in choices}
    needs = {
        step.name: [need.name for need in step.needs if need.kind == "step"]
        for step in plan.steps
    }

    def is_free(one: StepChoice) -> bool:
        before = [by_name[name] for name in needs[one.name] if name in by_name]
        return all(other.state == DONE for other in before)

    at = worked or {}
    last = max(at.values(), default="")

    def chosen(one: StepChoice) -> tuple[bool, ...]:
        has_left = one.state != DONE and one.left_count > 0
        is_under_way = one.state == UNDER_WAY
        return (
            has_left and bool(last) and at.get(one.name) == last,
            is_under_way and one.left_count > 0,
            has_left and is_free(one),
            has_left,
            is_under_way,
            one.hole_count > 0,
        )

    # The first of the steps that meet the strongest wish met by any.
    best = max(choices, key=chosen, default=None)
    return best.name if best else ""


def _last_action(
    ids: HoleIds, state: State, assembly: str, person: str
) -> LastAction | None:
    """What this person recorded last of this assembly."""
    last = state.assembly(assembly).last.get(person)
    if last is None:
        return None
    return LastAction(last.fact, last.kind, ids.names(last.holes), last.at)

"""What a step needs that is not there yet, and the step last worked in."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from rivetwright.bench.gate import gate_line
from rivetwright.bench.now import hole_now
from rivetwright.bench.open_now import ON_HAND, Waits
from rivetwright.model.shop import Shop
from rivetwright.model.step import Need, Step
from rivetwright.record.kinds import PART, TOOL
from rivetwright.record.state import AssemblyNow, HoleNow, State

BEGIN = "begin"
DONE, UNDER_WAY, NOT_STARTED = "done", "under way", "not started"
STEP, DELIVERY, OWNED = "step", "delivery", "owned"
SUPPLY = {PART: PART, DELIVERY: PART, TOOL: TOOL}


@dataclass(frozen=True)
class StepChoice:
    """A step as one chooses it: its state, and how many of its holes are set."""

    name: str
    title: str
    state: str
    set_count: int
    hole_count: int
    left_count: int
    is_inspection: bool


@dataclass(frozen=True)
class Lacking:
    """Something a step needs that is not there: `kind` is step, part, tool, delivery.

    `state` is where it stands, empty where nothing was recorded; `is_ticked`: seen,
    and begun all the same.
    """

    kind: str
    name: str
    state: str
    set_count: int
    hole_count: int
    gate: str
    line: str
    is_ticked: bool


def lacking(
    waits: Waits, step: Step | None, choices: Iterable[StepChoice], shop: Shop | None
) -> tuple[Lacking, ...]:
    """What a step needs that is not done, not here or not owned."""
    by_name = {one.name: one for one in choices}
    found = []
    for need in step.needs if step else ():
        choice = by_name.get(need.name) if need.kind == STEP else None
        state = choice.state if choice else _stands(need, waits.state, shop)
        if state in (DONE, ON_HAND, OWNED) or need.kind not in (STEP, *SUPPLY):
            continue
        line = gate_line(waits, f"{BEGIN}:{waits.step}", f"{need.kind} {need.name}")
        found.append(
            Lacking(
                need.kind,
                need.name,
                state,
                choice.set_count if choice else 0,
                choice.hole_count if choice else 0,
                line.gate,
                line.line,
                line.is_ticked,
            )
        )
    return tuple(found)


def _stands(need: Need, state: State, shop: Shop | None) -> str:
    """Where a part or tool stands: as recorded, else as the shop file says."""
    told = state.deliveries.get((SUPPLY.get(need.kind, need.kind), need.name))
    if told is not None:
        return told.state
    tools = shop.tools if shop and need.kind == TOOL else ()
    return next((one.state for one in tools if one.id == need.name), "")


def last_worked(waits: Waits, choice: StepChoice, holes: Sequence[int]) -> str:
    """When a step was last worked in, by the record; empty for never."""
    said = waits.assembly.steps.get(choice.name)
    moments = [said.begun_at if said else "", _last_tick(waits.assembly, choice.name)]
    moments += (_last_touch(hole_now(waits.ids, waits.state, at)) for at in holes)
    return max(moments)


def _last_tick(assembly: AssemblyNow, step: str) -> str:
    """When a line of a step's lists was last ticked."""
    return max(
        (
            tick.at
            for gate, lines in assembly.gates.items()
            if gate.partition(":")[2] == step
            for tick in lines.values()
        ),
        default="",
    )


def _last_touch(hole: HoleNow) -> str:
    """When something was last done to a hole."""
    worked = (one.at for parts in hole.worked.values() for one in parts.values())
    looked = (one.at for one in hole.heads)
    return max([hole.rivet.at if hole.rivet else "", *worked, *looked])

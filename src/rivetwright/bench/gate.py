"""Lists to tick before going on: ready to rivet, and what is shut in by closing."""

from __future__ import annotations

from dataclasses import dataclass

from rivetwright.bench.now import hole_now
from rivetwright.bench.open_now import Waits
from rivetwright.engines.plan import WorkedPlan
from rivetwright.model.plan import DIMPLE
from rivetwright.model.severity import Severity

READY, CLOSE = "ready", "close"
ALWAYS_FIRST = ("drilled", "deburred")
ALWAYS_LAST = (
    *("film_off", "primer_dry", "chips_out", "sheets_shut"),
    *("head_side", "proof_head"),
)


@dataclass(frozen=True)
class GateLine:
    """One line of a list, ticked or not."""

    gate: str
    line: str
    is_ticked: bool
    by: str = ""
    at: str = ""


@dataclass(frozen=True)
class LastChance:
    """What would be shut in: unset, unchecked, unsigned, unphotographed, unanswered.

    `names` are ranges of holes, or steps; `is_ticked`: seen and meant so.
    """

    line: str
    names: tuple[str, ...]
    count: int
    is_ticked: bool


def ready_lines(waits: Waits, holes: list[int]) -> tuple[GateLine, ...]:
    """What must be so before the first rivet of a step."""
    columns = waits.ids.holes
    prepared = {
        word
        for at in holes
        for row in (columns.row_of(at),)
        for word in (
            *(sheet.preparation for sheet in row.stack),
            *(word for _, word in row.preparation),
        )
    }
    lines = (*ALWAYS_FIRST, *(("dimpled",) if DIMPLE in prepared else ()), *ALWAYS_LAST)
    return tuple(gate_line(waits, f"{READY}:{waits.step}", line) for line in lines)


def gate_line(waits: Waits, gate: str, line: str) -> GateLine:
    """One line as the record has it."""
    tick = waits.assembly.gates.get(gate, {}).get(line)
    if tick is None or not tick.is_ticked:
        return GateLine(gate, line, False)
    return GateLine(gate, line, True, tick.person, tick.at)


def last_chance(worked_plan: WorkedPlan, waits: Waits) -> tuple[LastChance, ...]:
    """What a step that closes something would shut in; empty where it closes nothing.

    Holes are those of the faces that are closed, whatever step sets them, except
    those that this step itself or a later one sets.
    """
    plan = waits.ids.holes.plan
    step = next((one for one in plan.steps if one.name == waits.step), None)
    if step is None or not step.closes:
        return ()
    holes = _shut_in(waits, step.closes)
    seen = {at: hole_now(waits.ids, waits.state, at) for at in holes}
    unset = [at for at in holes if seen[at].rivet is None]
    checked_rows = {int(waits.ids.holes.row[at]) for at in holes if seen[at].heads}
    unchecked = [
        at
        for at in holes
        if seen[at].rivet is not None
        and int(waits.ids.holes.row[at]) not in checked_rows
    ]
    found = [
        ("unset", _names(waits, unset), len(unset)),
        ("unchecked", _names(waits, unchecked), len(unchecked)),
    ]
    unsigned = _unsigned(waits)
    found.append(("unsigned", unsigned, len(unsigned)))
    has_photo = any(photo.step == waits.step for photo in waits.assembly.photos)
    if not has_photo:
        found.append(("unphotographed", step.closes, len(step.closes)))
    unanswered = _unanswered(worked_plan, waits, holes)
    found.append(("unanswered", _names(waits, unanswered), len(unanswered)))
    gate = f"{CLOSE}:{waits.step}"
    return tuple(
        LastChance(line, names, count, gate_line(waits, gate, line).is_ticked)
        for line, names, count in found
        if count
    )


def _shut_in(waits: Waits, faces: tuple[str, ...]) -> list[int]:
    """Holes of closed faces that were to be set before this step."""
    columns = waits.ids.holes
    plan = columns.plan
    order = {step.name: k for k, step in enumerate(plan.steps)}
    here = order.get(waits.step, len(order))
    return [
        at
        for at in range(len(columns))
        if columns.row_of(at).face in faces
        and order.get(columns.row_of(at).step, here) < here
        and not (columns.open_holes[at] >= 0 and columns.step[at] > here)
    ]


def _names(waits: Waits, holes: list[int]) -> tuple[str, ...]:
    return waits.ids.names(waits.ids.ranges(holes))


def _unsigned(waits: Waits) -> tuple[str, ...]:
    """Inspections that this step needs and nobody has signed."""
    plan = waits.ids.holes.plan
    steps = {step.name: step for step in plan.steps}
    needed = [need.name for need in steps[waits.step].needs if need.kind == "step"]
    signed = {one.step for one in waits.assembly.signatures if one.is_passed}
    return tuple(
        name
        for name in needed
        if name in steps and steps[name].is_inspection and name not in signed
    )


def _unanswered(worked_plan: WorkedPlan, waits: Waits, holes: list[int]) -> list[int]:
    """Holes of a finding that stops or asks and that nobody answered."""
    answered = {
        (one.code, at)
        for one in waits.assembly.answers
        for at in waits.ids.indices(one.holes)
    }
    shut = set(holes)
    found = {
        at
        for finding in worked_plan.findings
        if finding.severity in (Severity.STOP, Severity.CHECK)
        for at in finding.holes
        if at in shut and (finding.code, at) not in answered
    }
    return sorted(found)

"""Lists to tick before going on: ready to rivet, and what is shut in by closing."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from rivetwright.bench.now import hole_now
from rivetwright.bench.open_now import Waits
from rivetwright.bench.runs import Setup
from rivetwright.engines.plan import WorkedPlan
from rivetwright.model.columns import preceding_steps
from rivetwright.model.plan import DIMPLE
from rivetwright.model.severity import Severity
from rivetwright.model.step import Step

READY, CLOSE = "ready", "close"
ALWAYS_FIRST = ("drilled", "deburred")
ALWAYS_LAST = ("film_off", "primer_dry", "chips_out", "sheets_shut", "head_side")
PROOF_HEAD = "proof_head"


@dataclass(frozen=True)
class GateLine:
    """One line of a list, ticked or not; a proof head is that of one set-up."""

    gate: str
    line: str
    is_ticked: bool
    by: str = ""
    at: str = ""
    setup: Setup | None = None

    @property
    def word(self) -> str:
        """What the line asks, without for what."""
        return self.line.partition(" ")[0]


@dataclass(frozen=True)
class BadHead:
    """Holes whose rivets' heads were last found wanting in the same way."""

    names: tuple[str, ...]
    hole_ids: tuple[str, ...]
    looks: tuple[str, ...]

    @property
    def first(self) -> str:
        """The first of the holes by its name."""
        row, _, numbers = self.names[0].partition(":")
        return f"{row}:{numbers.partition('-')[0]}"


@dataclass(frozen=True)
class LastChance:
    """What would be shut in: unset, unchecked, found wanting, unsigned, ...

    `names` are ranges of holes, or steps; `is_ticked`: seen and meant so.
    """

    line: str
    names: tuple[str, ...]
    count: int
    is_ticked: bool


def ready_lines(
    waits: Waits, holes: list[int], setups: Iterable[Setup]
) -> tuple[GateLine, ...]:
    """What must be so before the first rivet of a step.

    A proof head is asked for each set-up with something left: another rivet, stack
    or tool makes another head.
    """
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
    is_wet = any(columns.row_of(at).sealant is not None for at in holes)
    lines = (
        *ALWAYS_FIRST,
        *(("dimpled",) if DIMPLE in prepared else ()),
        *ALWAYS_LAST,
        *(("wet_ready",) if is_wet else ()),
    )
    gate = f"{READY}:{waits.step}"
    proofs = (
        replace(gate_line(waits, gate, f"{PROOF_HEAD} {one.key}"), setup=one)
        for one in {one.key: one for one in setups if one.runs}.values()
    )
    return (*(gate_line(waits, gate, line) for line in lines), *proofs)


def gate_line(waits: Waits, gate: str, line: str) -> GateLine:
    """One line as the record has it."""
    tick = waits.assembly.gates.get(gate, {}).get(line)
    if tick is None or not tick.is_ticked:
        return GateLine(gate, line, False)
    return GateLine(gate, line, True, tick.person, tick.at)


def last_chance(worked_plan: WorkedPlan, waits: Waits) -> tuple[LastChance, ...]:
    """What a step that closes something would shut in; empty where it closes nothing.

    Holes are those of the faces that are closed, except those that this step can set
    now or that a later one sets.
    """
    plan = waits.ids.holes.plan
    step = next((one for one in plan.steps if one.name == waits.step), None)
    if step is None or not step.closes:
        return ()
    holes = _shut_in(waits, step.closes)
    seen = {at: hole_now(waits.ids, waits.state, at) for at in holes}
    unset = [at for at in holes if seen[at].rivet is None]
    row_of = waits.ids.holes.row
    wanting = [at for at in holes if waits.heads.wanting(at)]
    bad = set(wanting)
    checked_rows = {int(row_of[at]) for at in holes if waits.heads.is_right(at)}
    unchecked = [
        at
        for at in holes
        if seen[at].rivet is not None
        and int(row_of[at]) not in checked_rows
        and at not in bad
    ]
    found = [
        ("unset", _names(waits, unset), len(unset)),
        ("wanting", _names(waits, wanting), len(wanting)),
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


def bad_heads(waits: Waits, holes: Iterable[int]) -> tuple[BadHead, ...]:
    """Heads among these that were found wanting and not yet put right."""
    alike: dict[tuple[str, ...], list[int]] = {}
    for at in holes:
        looks = waits.heads.wanting(at)
        if looks:
            alike.setdefault(looks, []).append(at)
    ranges = [(waits.ids.ranges(some), looks) for looks, some in alike.items()]
    return tuple(BadHead(waits.ids.names(one), one, looks) for one, looks in ranges)


def _shut_in(waits: Waits, faces: tuple[str, ...]) -> list[int]:
    """Holes of closed faces that no later step sets: earlier ones, and own that wait.

    What this step itself sets now is no last chance: it lies before the builder.
    """
    columns = waits.ids.holes
    order = {step.name: k for k, step in enumerate(columns.plan.steps)}
    here = order[waits.step]
    found = []
    for at in range(len(columns)):
        row = columns.row_of(at)
        is_later = max(order.get(row.step, here), int(columns.step[at])) > here
        if row.face not in faces or is_later:
            continue
        is_own = order.get(row.step, here) == here or int(columns.step[at]) == here
        if not is_own or (waits.of(at) is not None and not waits.is_done(at)):
            found.append(at)
    return found


def _names(waits: Waits, holes: list[int]) -> tuple[str, ...]:
    return waits.ids.names(waits.ids.ranges(holes))


def _unsigned(waits: Waits) -> tuple[str, ...]:
    """Inspections before this step, or its own, whose last word is not a pass."""
    plan = waits.ids.holes.plan
    names = [step.name for step in plan.steps]
    before = preceding_steps(plan)[names.index(waits.step)]
    said = {one.step: one.is_passed for one in waits.assembly.signatures}
    asked = [
        step
        for step, is_before in zip(plan.steps, before.tolist(), strict=True)
        if is_before and (step.is_inspection or _is_own_inspection(step, waits.step))
    ]
    return tuple(step.name for step in asked if not said.get(step.name, False))


def _is_own_inspection(step: Step, here: str) -> bool:
    """Whether a step that closes something calls the inspector itself."""
    return step.name == here and any(need.kind == "inspector" for need in step.needs)


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

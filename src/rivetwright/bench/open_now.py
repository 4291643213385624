"""Which holes of a step must wait, and for what: shown first, before any tool."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from rivetwright.bench.heads import Heads
from rivetwright.bench.now import HoleIds, hole_now, standing
from rivetwright.engines.plan import WorkedPlan
from rivetwright.model.plan import OpenHoles
from rivetwright.model.severity import Severity
from rivetwright.record.kinds import PART
from rivetwright.record.state import AssemblyNow, RivetIn, State

OPEN, HOLD, FINDING, REMOVE = "open", "hold", "finding", "remove"
OTHER_STEP = "step"
ON_HAND = "on hand"


@dataclass(frozen=True)
class Waiting:
    """Why a hole cannot be set now: `kind` is open, hold, finding, remove or step."""

    kind: str
    id: str
    reason: str
    waits_for: str = ""
    until: str = ""


@dataclass(frozen=True)
class OpenHole:
    """Holes that wait for one and the same thing.

    `names` and `hole_ids` are ranges; `is_marked`: all are marked at the work.
    """

    id: str
    kind: str
    names: tuple[str, ...]
    hole_ids: tuple[str, ...]
    count: int
    reason: str
    waits_for: str
    until: str
    is_marked: bool
    set_count: int


class Waits:
    """For each hole of a plan, why it must wait at a step."""

    def __init__(
        self, worked_plan: WorkedPlan, ids: HoleIds, state: State, step: str
    ) -> None:
        self.ids = ids
        self.state = state
        self.heads = Heads(worked_plan, state, ids=ids)
        self.assembly = state.assembly(ids.holes.plan.id)
        self.step = step
        self._held = {
            at: hold
            for hold in standing(self.assembly)
            for at in ids.indices(hold.holes)
        }
        self._stopped = stopped_holes(worked_plan, ids, self.assembly)
        self._titles = {one.name: one.title for one in ids.holes.plan.steps}

    def of(self, at: int) -> Waiting | None:
        """Why a hole must wait; None where it is free."""
        hold = self._held.get(at)
        if hold is not None:
            named = hold.cause_name or hold.cause
            return Waiting(HOLD, hold.id, hold.reason, named, hold.until)
        plan = self.ids.holes.plan
        opened = int(self.ids.holes.open_holes[at])
        if opened >= 0 and must_stay_open(
            plan.open_holes[opened], self.state, self.step
        ):
            one = plan.open_holes[opened]
            return Waiting(OPEN, one.id, one.reason, one.step or one.part)
        step = self.ids.holes.row_of(at).step
        if opened < 0 and step != self.step:
            return Waiting(OTHER_STEP, step, self._titles.get(step, step), step)
        code = self._stopped.get(at)
        if code:
            return Waiting(FINDING, code, code)
        rivet = hole_now(self.ids, self.state, at).rivet
        if rivet is not None and not self._is_meant(at, rivet):
            planned = str(self.ids.holes.callout(at))
            return Waiting(REMOVE, rivet.callout, rivet.callout, planned)
        return None

    def is_done(self, at: int) -> bool:
        """Whether the rivet that the plan asks for sits in a hole."""
        rivet = hole_now(self.ids, self.state, at).rivet
        return rivet is not None and self._is_meant(at, rivet)

    def _is_meant(self, at: int, rivet: RivetIn) -> bool:
        """Whether a rivet is the plan's, or another one for a reason."""
        return bool(rivet.reason) or rivet.callout == str(self.ids.holes.callout(at))


def must_stay_open(one: OpenHoles, state: State, step: str) -> bool:
    """Whether open holes wait at a step: for a later step, or for a part to come."""
    if one.step:
        return one.step != step
    there = state.deliveries.get((PART, one.part))
    return there is None or there.state != ON_HAND


def stopped_holes(
    worked_plan: WorkedPlan, ids: HoleIds, assembly: AssemblyNow
) -> dict[int, str]:
    """Holes that a finding stops which nobody has answered, with its code."""
    answered = {
        (one.code, at) for one in assembly.answers for at in ids.indices(one.holes)
    }
    return {
        at: finding.code
        for finding in worked_plan.findings
        if finding.severity is Severity.STOP
        for at in finding.holes
        if (finding.code, at) not in answered
    }


def open_now(waits: Waits, holes: Iterable[int]) -> tuple[OpenHole, ...]:
    """What must stay open among some holes, by what it waits for."""
    groups: dict[tuple[str, str], list[int]] = {}
    reasons: dict[tuple[str, str], Waiting] = {}
    for at in holes:
        why = waits.of(at)
        if why is not None:
            groups.setdefault((why.kind, why.id), []).append(at)
            reasons[why.kind, why.id] = why
    return tuple(_open_hole(waits, some, reasons[key]) for key, some in groups.items())


def _open_hole(waits: Waits, holes: list[int], why: Waiting) -> OpenHole:
    ids = waits.ids
    ranges = ids.ranges(holes)
    seen = [hole_now(ids, waits.state, at) for at in holes]
    return OpenHole(
        id=why.id,
        kind=why.kind,
        names=ids.names(ranges),
        hole_ids=ranges,
        count=len(holes),
        reason=why.reason,
        waits_for=why.waits_for,
        until=why.until,
        is_marked=all(hole.is_marked_open for hole in seen),
        set_count=sum(hole.rivet is not None for hole in seen),
    )

"""The one thing that each hole waits for, if any, before its rivet can go in."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date

import numpy as np
from numpy.typing import NDArray

from rivetwright.engines.work.stand import Mask, Stand
from rivetwright.model.columns import parse_hole_range
from rivetwright.model.opening import Delivery
from rivetwright.model.severity import Severity
from rivetwright.model.shop import Shop, Tool

ANSWER, FINDING, PART, TOOL, STOCK, STEP, DELIVERY = (
    "answer",
    "finding",
    "part",
    "tool",
    "stock",
    "step",
    "delivery",
)
SECOND, INSPECTOR, DRYING, QUIET, BULLETIN, HOLD = (
    "helper",
    "inspector",
    "drying",
    "quiet",
    "bulletin",
    "hold",
)
ON_HAND, OWNED, HERE = "on hand", "owned", "here"
_OF_HOLD = {"question": ANSWER, "part": PART, "tool": TOOL, "bulletin": BULLETIN}
FREE = -1


@dataclass(frozen=True)
class Wait:
    """What work waits for: `kind` and name, why, and the day it is expected.

    `hold` is the id of the hold that says so; `state` of one is here where what it
    waited for has come. `is_open`: the drawing leaves these holes open, so the step
    is whole without them.
    """

    kind: str
    name: str
    reason: str = ""
    until: date | None = None
    state: str = ""
    hold: str = ""
    is_open: bool = False

    @property
    def key(self) -> tuple[str, str]:
        """What would have to come, whatever it is wanted for."""
        return self.kind, self.name


# A wait and the holes it is noted at, as a mask or by index.
Told = tuple[Wait, Mask | list[int]]


@dataclass(frozen=True)
class HoleWaits:
    """For each hole an index into `waits`, FREE for none, shape (holes,)."""

    waits: tuple[Wait, ...]
    of_hole: NDArray[np.int32]


class _Marking:
    """Waits noted hole by hole; what was noted first stays."""

    def __init__(self, count: int) -> None:
        self.waits: list[Wait] = []
        self.of_hole = np.full(count, FREE, dtype=np.int32)
        self._known: dict[Wait, int] = {}

    def note(self, wait: Wait, here: Mask | list[int]) -> None:
        """Note what some holes wait for, where nothing is noted yet."""
        k = self._known.setdefault(wait, len(self.waits))
        if k == len(self.waits):
            self.waits.append(wait)
        at = np.flatnonzero(here) if isinstance(here, np.ndarray) else np.array(here)
        if len(at):
            free = at[self.of_hole[at] == FREE]
            self.of_hole[free] = k


def hole_waits(stand: Stand, shop: Shop | None) -> HoleWaits:
    """What each hole of an assembly waits for: the first of these that is so.

    A hold, a part for which the drawing leaves it open, an open question, a finding
    that stops, a part of its stack that is not here, a tool.

    Args:
        stand: how the assembly stands.
        shop: what is owned; None: nothing is said about tools.

    Source: the plan, the record; own order of telling, JUDGEMENT.
    """
    marking = _Marking(len(stand.holes))
    for wait, holes in _held(stand, shop):
        marking.note(wait, holes)
    for told in (_left_open, _asked, _stopped):
        for wait, holes in told(stand):
            marking.note(wait, holes)
    _without_part(stand, marking)
    if shop is not None and stand.worked_plan.worked.shop is not None:
        _without_tool(stand, shop, marking)
    return HoleWaits(tuple(marking.waits), marking.of_hole)


def deliveries_of(stand: Stand) -> Mapping[str, Delivery]:
    """Where parts stand, by name."""
    return {one.part: one for one in stand.worked_plan.worked.plan.opening.deliveries}


def part_wait(name: str, told: Delivery | None, kind: str = PART) -> Wait | None:
    """What is to be waited for of a part or kit; None where it is here.

    Args:
        name: the part or kit.
        told: where it stands; None: nothing was said.
        kind: part or delivery.
    """
    if told is None:
        return Wait(kind, name, state="")
    if told.state in (ON_HAND, OWNED):
        return None
    return Wait(kind, name, told.note, told.due, told.state)


def tool_wait(name: str, tools: Iterable[Tool]) -> Wait | None:
    """What is to be waited for of a tool; None where it is owned."""
    for tool in tools:
        if tool.id == name:
            if tool.state == OWNED:
                return None
            return Wait(TOOL, name, tool.title, tool.due, tool.state)
    return Wait(TOOL, name)


def _indices(stand: Stand, ranges: Iterable[str]) -> list[int]:
    return [at for text in ranges for at in stand.holes.indices(parse_hole_range(text))]


def _held(stand: Stand, shop: Shop | None) -> Iterator[Told]:
    """Holds that stand; one whose reason has come waits only to be lifted."""
    opening = stand.worked_plan.worked.plan.opening
    here = {PART: {d.part for d in opening.deliveries if d.state in (ON_HAND, OWNED)}}
    here[TOOL] = {t.id for t in (shop.tools if shop else ()) if t.state == OWNED}
    here[ANSWER] = {one.id for one in opening.questions if one.answer}
    for hold in opening.holds:
        kind = _OF_HOLD.get(hold.kind, HOLD)
        wait = Wait(kind, hold.name or hold.id, hold.reason, hold.until, hold=hold.id)
        if hold.name in here.get(kind, ()):
            wait = Wait(HOLD, hold.id, hold.reason, state=HERE, hold=hold.id)
        yield wait, _indices(stand, hold.holes)


def _left_open(stand: Stand) -> Iterator[Told]:
    """Open holes for a part that is not here; those for a step wait in that step."""
    told = deliveries_of(stand)
    for k, one in enumerate(stand.worked_plan.worked.plan.open_holes):
        wait = part_wait(one.part, told.get(one.part)) if one.part else None
        if wait is not None:
            yield (
                replace(wait, reason=one.reason, is_open=not one.step),
                stand.holes.open_holes == k,
            )


def _asked(stand: Stand) -> Iterator[Told]:
    for one in stand.worked_plan.worked.plan.opening.questions:
        if not one.answer:
            yield Wait(ANSWER, one.id, one.text), _indices(stand, one.holes)


def _stopped(stand: Stand) -> Iterator[Told]:
    answered = stand.worked_plan.answered
    for finding in stand.worked_plan.findings:
        if finding.severity is Severity.STOP:
            here = [at for at in finding.holes if (finding.code, at) not in answered]
            if here:
                yield Wait(FINDING, finding.code), here


def _without_part(stand: Stand, marking: _Marking) -> None:
    """Holes through a part of which the record says that it is not here."""
    told = deliveries_of(stand)
    stacks = stand.worked_plan.worked.stacks
    lacking = {
        name: wait
        for name, one in told.items()
        if (wait := part_wait(name, one)) is not None
    }
    for k, one in enumerate(stacks.classes):
        for sheet in one.sheets:
            if sheet.part in lacking:
                marking.note(lacking[sheet.part], stacks.class_of == k)


def _without_tool(stand: Stand, shop: Shop, marking: _Marking) -> None:
    """Holes that only a tool on order reaches, or none does."""
    worked = stand.worked_plan.worked
    verdict = worked.of_holes("tool_verdict")
    ordered = verdict == "on order"
    if ordered.any():
        due = worked.of_holes("tools_on_order")
        tools = {tool.id: tool for tool in shop.tools}
        for said in sorted(set(due[ordered].tolist())):
            name = said.partition(",")[0]
            wait = tool_wait(name, [tools[name]] if name in tools else ())
            if wait is not None:
                marking.note(wait, ordered & (due == said))
    marking.note(Wait(TOOL, ""), verdict == "none")

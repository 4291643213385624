"""The squeezer's set-ups of an assembly in the order of its steps, and one as a card.

Of the squeezers and yokes that get to a hole the best set-up is taken; each line
knows what the line before it left on the tool.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import partial

import numpy as np

from rivetwright.engines.plan import WorkedPlan
from rivetwright.engines.reach.fit import NO, TIGHT, fits
from rivetwright.engines.squeeze.batch import takes, yokes_of
from rivetwright.engines.squeeze.needs import solid_classes
from rivetwright.engines.squeeze.set_up import SetUp, Verdict
from rivetwright.engines.squeeze.set_ups import SetUps, set_up_of, set_ups
from rivetwright.engines.squeeze.stacking import OnTool, changes_between
from rivetwright.engines.squeeze.stall import HAND
from rivetwright.engines.squeeze.taught import ShopTaught
from rivetwright.engines.worked import Worked
from rivetwright.model.severity import Severity
from rivetwright.model.shop import Shop, Tool
from rivetwright.standards.codes import RivetCode

OWNED = "owned"
KEPT_PLANS = 16
VERDICTS = tuple(reversed(Verdict))


@dataclass(frozen=True)
class SetUpLine:
    """Holes of a step that are set alike, and the set-up for them.

    `set_up` is None where no yoke gets there, or no squeezer takes the rivet.
    `before` is what the line before left on the tool, `changes` what differs.
    """

    callout: str
    stack: str
    holes: tuple[int, ...]
    set_up: SetUp | None
    is_tight: bool
    before: OnTool | None
    changes: int

    @property
    def hole(self) -> int:
        """The first of its holes, by which its card is opened."""
        return self.holes[0]

    @property
    def on_tool(self) -> OnTool | None:
        """What it leaves on the tool; None where nothing is put in."""
        return on_tool_of(self.set_up)


@dataclass(frozen=True)
class StepSetUps:
    """The set-ups of one step, and the holes that no squeezer sets."""

    name: str
    title: str
    lines: tuple[SetUpLine, ...]
    without: tuple[SetUpLine, ...]


def on_tool_of(set_up: SetUp | None) -> OnTool | None:
    """What a set-up leaves on its squeezer."""
    if set_up is None or set_up.pieces is None:
        return None
    return OnTool(set_up.squeezer.title, set_up.yoke.id, set_up.pieces)


@dataclass(frozen=True)
class _Known:
    """Set-ups found before, and what they were found for."""

    drawn: tuple[object, ...]
    given: tuple[Shop, bytes, ShopTaught]
    steps: tuple[StepSetUps, ...]

    def is_for(
        self, drawn: tuple[object, ...], given: tuple[Shop, bytes, ShopTaught]
    ) -> bool:
        """Whether parts, faces, rows and steps are the same, and all that decides."""
        same = all(one is other for one, other in zip(self.drawn, drawn, strict=True))
        return same and self.given == given


# A mark at the bench makes a new plan with another opening: its set-ups are the same.
_KNOWN: deque[_Known] = deque(maxlen=KEPT_PLANS)


def step_set_ups(worked_plan: WorkedPlan, shop: Shop) -> tuple[StepSetUps, ...]:
    """The set-ups of every step in the order of the plan; found once for a plan."""
    worked, plan = worked_plan.worked, worked_plan.worked.plan
    reach = _Reach(worked, shop)
    taught = worked_plan.told.taught
    asked = (
        (plan.parts, plan.faces, plan.rows, plan.steps),
        (shop, reach.fit.tobytes(), taught),
    )
    for known in tuple(_KNOWN):
        if known.is_for(*asked):
            return known.steps
    steps = tuple(_steps(worked, shop, reach, taught))
    _KNOWN.append(_Known(*asked, steps))
    return steps


def _steps(
    worked: Worked, shop: Shop, yokes: _Reach, taught: ShopTaught
) -> Iterator[StepSetUps]:
    """Step by step, what is on the tool carried from line to line."""
    found = set_ups(worked, shop, taught=taught)
    now: OnTool | None = None
    steps = [(k, one.name, one.title) for k, one in enumerate(worked.plan.steps)]
    for k, name, title in [*steps, (-1, "", "")]:
        lines: list[SetUpLine] = []
        groups = _alike(worked, yokes, np.flatnonzero(worked.holes.step == k))
        ways = [(holes, _best(worked, found, yokes, holes)) for holes in groups]
        line = partial(_line, worked, yokes, taught)
        without = tuple(line(h, None, None) for h, s in ways if not s)
        left = [(holes, one) for holes, one in ways if one]
        while left:
            # What differs least from what is on the tool comes next.
            holes, best = left.pop(_least_change(now, [one for _, one in left]))
            lines.append(line(holes, best, now))
            now = lines[-1].on_tool or now
        if lines or without:
            yield StepSetUps(name, title, tuple(lines), without)


def _least_change(now: OnTool | None, set_ups: list[SetUp]) -> int:
    """Which of some set-ups differs least from what is on the tool."""
    return min(range(len(set_ups)), key=lambda k: (_changes(now, set_ups[k]), k))


def _changes(now: OnTool | None, set_up: SetUp) -> int:
    """How many pieces differ from what is on the tool."""
    if set_up.pieces is None:
        return 0
    names = set_up.squeezer.title, set_up.yoke.id
    return changes_between(now, *names, set_up.pieces)


class _Reach:
    """Which yokes get to which holes; all of them where the plan has no shop."""

    def __init__(self, worked: Worked, shop: Shop) -> None:
        self.shop = shop
        self.yokes = yokes_of(shop)
        self.fit = np.full((len(self.yokes), len(worked.holes)), -1, dtype=np.int8)
        if worked.shop is not None:
            known = fits(worked)
            at = {tool.id: k for k, tool in enumerate(known.tools)}
            for k, yoke in enumerate(self.yokes):
                if yoke.id in at:
                    self.fit[k] = known.fit[at[yoke.id]]

    def key(self, hole: int) -> tuple[bool, ...]:
        """Which of the yokes get to a hole."""
        return tuple((self.fit[:, hole] != NO).tolist())

    def gets_there(self, yoke: Tool, hole: int) -> bool:
        """Whether a yoke gets to a hole, be it tightly."""
        return bool(self.fit[self.yokes.index(yoke), hole] != NO)

    def is_tight(self, yoke: Tool, holes: Iterable[int]) -> bool:
        """Whether a yoke is tight at any of some holes."""
        at = self.fit[self.yokes.index(yoke), list(holes)]
        return bool((at == TIGHT).any())


def _alike(worked: Worked, reach: _Reach, holes: Iterable[int]) -> list[list[int]]:
    """Solid rivets of a step: those of one class that the same yokes get to."""
    solid = set(solid_classes(worked).tolist())
    groups: dict[tuple[int, tuple[bool, ...]], list[int]] = {}
    for hole in holes:
        at, of = int(hole), int(worked.stacks.class_of[hole])
        if of in solid:
            groups.setdefault((of, reach.key(at)), []).append(at)
    return list(groups.values())


def _best(
    worked: Worked, found: SetUps, reach: _Reach, holes: list[int]
) -> SetUp | None:
    """The best set-up for some holes of those whose yoke gets there."""
    access = worked.holes.row_of(holes[0]).access
    planned = access.tools if access else ()
    ways = [s for s in found.of_hole(holes[0]) if reach.gets_there(s.yoke, holes[0])]

    def rank(set_up: SetUp) -> tuple[int, ...]:
        return (
            VERDICTS.index(set_up.verdict),
            set_up.yoke.state != OWNED,
            set_up.squeezer.kind == HAND,
            set_up.yoke.id not in planned,
            reach.is_tight(set_up.yoke, holes),
            int(set_up.rule),
        )

    return min(ways, key=rank, default=None)


def _line(
    worked: Worked,
    reach: _Reach,
    taught: ShopTaught,
    holes: list[int],
    best: SetUp | None,
    now: OnTool | None,
) -> SetUpLine:
    """One line, its pieces chosen for few changes against what is on the tool."""
    if best is not None and now is not None and best.pieces is not None:
        names = best.yoke.id, best.squeezer.title
        best = set_up_of(
            worked, reach.shop, holes[0], *names, on_tool=now, taught=taught
        )
    return SetUpLine(
        callout=str(worked.holes.callout(holes[0])),
        stack=str(worked.at("used_stack", holes[0])),
        holes=tuple(holes),
        set_up=best,
        is_tight=best is not None and reach.is_tight(best.yoke, holes),
        before=now,
        changes=best.changes if best else 0,
    )


def line_of(steps: Iterable[StepSetUps], hole: int) -> SetUpLine | None:
    """The line that holds a hole and has a set-up; None where there is none."""
    lines = (line for step in steps for line in step.lines)
    return next((line for line in lines if hole in line.holes), None)


def can_be_squeezed(worked_plan: WorkedPlan, hole: int) -> bool:
    """Whether any squeezer with a yoke of the plan's shop is rated for the rivet."""
    worked = worked_plan.worked
    shop = worked.shop
    code = worked.holes.callout(hole)
    known = int(worked.stacks.class_of[hole]) in solid_classes(worked)
    if shop is None or not known or not isinstance(code, RivetCode):
        return False
    size = code.diameter_32nds
    rated = [one for one in shop.squeezers if takes(one, size)]
    return bool(rated) and any(takes(yoke, size) for yoke in yokes_of(shop))


def stop_codes(worked_plan: WorkedPlan, holes: Iterable[int]) -> tuple[str, ...]:
    """Codes of the findings that stop any of some holes, answered ones left out."""
    here = set(holes)
    codes = (
        one.code
        for one in worked_plan.findings
        if one.severity is Severity.STOP
        and here.intersection(one.holes)
        and not worked_plan.is_answered(one)
    )
    return tuple(dict.fromkeys(codes))

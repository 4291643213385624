"""What a revision asks for: what must come out, in what order, and what that needs.

What is opened last was closed first: steps that shut the place are taken back from the
last to the first, then the rivets that cannot stay, then the holes are measured before
anything new goes in. What nobody can decide here is a question, never a task.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from rivetwright.engines.checks import Finding
from rivetwright.engines.plan import WorkedPlan
from rivetwright.engines.revise.compare import (
    DONE_BEFORE,
    Aspect,
    Change,
    Comparison,
    Kind,
)
from rivetwright.engines.revise.matching import By
from rivetwright.engines.work.pieces import Minutes, minutes_for
from rivetwright.engines.work.rates import WorkRate, rate_of
from rivetwright.engines.work.stand import (
    COUNTERSUNK,
    DIMPLED,
    DRILLED,
    STEP_DONE,
    Stand,
)
from rivetwright.engines.work.ways import hole_ways
from rivetwright.model.columns import preceding_steps
from rivetwright.model.plan import COUNTERSINK, DIMPLE, Sheet
from rivetwright.model.severity import Severity
from rivetwright.model.shop import Shop


class Doing(StrEnum):
    """What is done, in the order in which it is done."""

    OPEN_UP = "open up"
    TAKE_OUT = "take out"
    MEASURE = "measure"
    DRILL = "drill"
    DEBURR = "deburr"
    DIMPLE = "dimple"
    COUNTERSINK = "countersink"
    PRIME = "prime"
    SET = "set"
    CHECK = "check"
    RECORD = "record"


class Doubt(StrEnum):
    """What has to be asked before anything is done."""

    SAME_ROW = "same row"
    EMPTY_HOLE = "empty hole"
    PREPARED = "prepared"
    SMALLER_HOLE = "smaller hole"
    STOPS = "stops"


@dataclass(frozen=True)
class Done:
    """Changed holes by how far they were: `old` are holes of the earlier plan."""

    change: Change
    set_holes: tuple[int, ...]
    drilled: tuple[int, ...]
    dimpled: tuple[int, ...]
    countersunk: tuple[int, ...]
    closed_by: tuple[str, ...]


@dataclass(frozen=True)
class Task:
    """One thing to do.

    `is_new`: `holes` are those of the later plan, else of the earlier one. `code` is
    what is set or taken out, `part` what is prepared, `tools` any one of which does
    it, `step` that in which it is done. `limit_mm`: what a hole may measure at most.
    """

    doing: Doing
    holes: tuple[int, ...] = ()
    is_new: bool = True
    count: int = 0
    code: str = ""
    part: str = ""
    step: str = ""
    tools: tuple[str, ...] = ()
    people: int = 1
    limit_mm: float | None = None
    minutes: Minutes | None = None


@dataclass(frozen=True)
class Question:
    """What has to be asked: `old` says of which plan the holes are."""

    doubt: Doubt
    holes: tuple[int, ...]
    is_old: bool
    what: str = ""


@dataclass(frozen=True)
class Outlook:
    """What a revision asks for.

    `codes` are rivets that the changed holes take now, `parts` those that are new,
    `before` the first step that shuts the place and is not done; empty: none does.
    """

    done: tuple[Done, ...]
    tasks: tuple[Task, ...]
    questions: tuple[Question, ...]
    codes: tuple[tuple[str, int], ...]
    parts: tuple[str, ...]
    before: str

    @property
    def minutes(self) -> tuple[float, float, float]:
        """All tasks together: low, likely and high [min]."""
        every = [one.minutes for one in self.tasks if one.minutes is not None]
        return (
            sum(one.low for one in every),
            sum(one.likely for one in every),
            sum(one.high for one in every),
        )

    @property
    def out_count(self) -> int:
        """Rivets that must come out, those in the way among them."""
        outs = (Doing.TAKE_OUT, Doing.OPEN_UP)
        return sum(one.count for one in self.tasks if one.doing in outs)


def outlook(
    found: Comparison,
    stand: Stand,
    shop: Shop | None,
    rates: Mapping[str, WorkRate],
    sits: Mapping[int, str] | None = None,
) -> Outlook:
    """What a revision asks for, by how far the work is.

    Args:
        found: the two revisions compared.
        stand: how the assembly stands, by the earlier plan.
        shop: what is owned; None: nothing is said about tools.
        rates: minutes by operation [min].
        sits: the code that sits in each set hole of the earlier plan; None: what was
            called for there.

    Source: the plans and the record; work_rates.csv and own rates for the minutes.
    """
    return _Looking(found, stand, shop, rates, sits).told()


class _Looking:
    """One comparison, gone through for what it asks."""

    def __init__(
        self,
        found: Comparison,
        stand: Stand,
        shop: Shop | None,
        rates: Mapping[str, WorkRate],
        sits: Mapping[int, str] | None,
    ) -> None:
        self.found, self.stand, self.rates = found, stand, rates
        self.old, self.new = found.old.worked, found.new.worked
        self.sits = sits or {}
        self.is_in = stand.is_set | stand.comes_out
        self.shop = shop
        self.shut = [
            step
            for step in self.old.plan.steps
            if step.closes and stand.step_state(step.name) == STEP_DONE
        ]
        self.done = tuple(map(self._done, found.changes))

    def told(self) -> Outlook:
        """Everything put together."""
        setting = list(self._setting())
        codes: dict[str, int] = {}
        for task in setting:
            codes[task.code] = codes.get(task.code, 0) + task.count
        tasks = (
            *self._opening(),
            *self._taking_out(),
            *self._measuring(),
            *self._preparing(),
            *setting,
            *self._checking(setting),
            *((Task(Doing.RECORD),) if self.found.changes else ()),
        )
        return Outlook(
            self.done,
            tasks,
            tuple(self._questions()),
            tuple(sorted(codes.items())),
            tuple(one.name for one in self.found.parts if one.kind is Kind.ADDED),
            self._before(),
        )

    # --- how far it was -------------------------------------------------------------

    def _done(self, change: Change) -> Done:
        old = change.old

        def worked(operation: str) -> tuple[int, ...]:
            parts = self.stand.worked.get(operation, {}).values()
            return tuple(h for h in old if any(mask[h] for mask in parts))

        faces = {self.old.holes.row_of(hole).face for hole in old}
        if not old:
            faces = {self.new.holes.row_of(hole).face for hole in change.new}
        shut = (s.name for s in self.shut if faces.intersection(s.closes))
        return Done(
            change,
            tuple(hole for hole in old if self.is_in[hole]),
            worked(DRILLED),
            worked(DIMPLED),
            worked(COUNTERSUNK),
            tuple(shut),
        )

    def _comes_out(self) -> Iterator[tuple[Change, tuple[int, ...]]]:
        for one in self.done:
            if one.set_holes and one.change.takes_another_rivet:
                yield one.change, one.set_holes

    def _sits(self, hole: int) -> str:
        return self.sits.get(hole, str(self.old.holes.row_of(hole).callout))

    # --- tasks ----------------------------------------------------------------------

    def _minutes(self, operation: str, count: int) -> Minutes:
        return minutes_for(rate_of(self.rates, operation), count)

    def _opening(self) -> Iterator[Task]:
        """Rows of the steps that shut the place, the last step first."""
        names = {
            name
            for one in self.done
            if one.change.takes_another_rivet or one.change.kind is Kind.ADDED
            for name in one.closed_by
        }
        gone = {hole for _, holes in self._comes_out() for hole in holes}
        for k in self._last_first():
            if self.old.plan.steps[k].name not in names:
                continue
            here = np.flatnonzero((self.old.holes.step == k) & self.is_in).tolist()
            left = [hole for hole in here if hole not in gone]
            yield from self._outs(Doing.OPEN_UP, left, k)

    def _taking_out(self) -> Iterator[Task]:
        """Rivets that cannot stay, step by step, the last step first."""
        holes = [hole for _, some in self._comes_out() for hole in some]
        steps = self.old.holes.step
        for k in (*self._last_first(), -1):
            here = [hole for hole in holes if steps[hole] == k]
            yield from self._outs(Doing.TAKE_OUT, here, k)

    def _last_first(self) -> list[int]:
        """Steps of the earlier plan, those that hang on the most others first."""
        depth = preceding_steps(self.old.plan).sum(axis=1)
        count = len(self.old.plan.steps)
        return sorted(range(count), key=lambda k: (-int(depth[k]), -k))

    def _outs(self, doing: Doing, holes: list[int], k: int) -> Iterator[Task]:
        """Rivets to be drilled out, those of one code together."""
        by_code: dict[str, list[int]] = {}
        for hole in holes:
            by_code.setdefault(self._sits(hole), []).append(hole)
        step = self.old.plan.steps[k].name if k >= 0 else ""
        for code, some in by_code.items():
            minutes = self._minutes("drill out and replace", len(some))
            yield Task(
                doing, tuple(some), False, len(some), code, "", step, minutes=minutes
            )

    def _measuring(self) -> Iterator[Task]:
        """Holes whose rivet came out, against the most they may measure then."""
        by_limit: dict[float, list[int]] = {}
        for _, holes in self._comes_out():
            for hole in holes:
                there = int(self.found.matching.new_of[hole])
                if there >= 0:
                    limit = float(self.new.at("hole_high_mm", there))
                    by_limit.setdefault(limit, []).append(there)
        for limit, some in by_limit.items():
            yield Task(Doing.MEASURE, tuple(some), count=len(some), limit_mm=limit)

    def _preparing(self) -> Iterator[Task]:
        """What each sheet of the changed and added holes still takes, part by part."""
        drill: dict[str, list[int]] = {}
        dents: dict[tuple[Doing, str], list[int]] = {}
        added = {one.name for one in self.found.parts if one.kind is Kind.ADDED}
        for hole, sheets in self._sheets():
            for sheet in sheets:
                if not self._is_worked(DRILLED, sheet.part, hole):
                    drill.setdefault(sheet.part, []).append(hole)
                doing = _PREPARED.get(sheet.preparation)
                if doing and not self._is_worked(_WORKED[doing], sheet.part, hole):
                    dents.setdefault((doing, sheet.part), []).append(hole)
        for part, some in drill.items():
            yield self._prepared(Doing.DRILL, "match-drill", some, part)
        for part, some in drill.items():
            yield self._prepared(Doing.DEBURR, "deburr", some, part)
        for (doing, part), some in dents.items():
            yield self._prepared(doing, _RATE[doing], some, part)
        for part in sorted(added & drill.keys()):
            minutes = self._minutes("prime", 1)
            yield Task(Doing.PRIME, count=1, part=part, minutes=minutes)

    def _prepared(self, doing: Doing, rate: str, holes: list[int], part: str) -> Task:
        minutes = self._minutes(rate, len(holes))
        return Task(doing, tuple(holes), count=len(holes), part=part, minutes=minutes)

    def _sheets(self) -> Iterator[tuple[int, tuple[Sheet, ...]]]:
        """Changed and added holes of the later plan with the sheets they go through."""
        stacks = self.new.stacks
        for change in self.found.changes:
            for hole in change.new:
                yield hole, stacks.classes[int(stacks.class_of[hole])].sheets

    def _is_worked(self, operation: str, part: str, hole: int) -> bool:
        """Whether a sheet had an operation, by the earlier plan's hole."""
        before = int(self.found.matching.old_of[hole])
        if before < 0:
            return False
        if operation == DRILLED and part not in self._old_parts(before):
            return False
        return bool(self.stand.is_worked(operation, part)[before])

    def _old_parts(self, hole: int) -> set[str]:
        stacks = self.old.stacks
        sheets = stacks.classes[int(stacks.class_of[hole])].sheets
        return {sheet.part for sheet in sheets}

    def _setting(self) -> Iterator[Task]:
        """Rivets that the changed and added holes take, by step, code and way."""
        stand = _as_new(self.found.new)
        ways = hole_ways(stand, self.shop)
        replaced = {
            int(self.found.matching.new_of[hole])
            for _, holes in self._comes_out()
            for hole in holes
        }
        groups: dict[tuple[int, str, int, bool], list[int]] = {}
        for change in self.found.changes:
            for hole in change.new:
                if self._stays(change, hole):
                    continue
                key = (
                    int(self.new.holes.step[hole]),
                    str(self.new.holes.callout(hole)),
                    int(ways.of_hole[hole]),
                    hole in replaced,
                )
                groups.setdefault(key, []).append(hole)
        for (k, code, of_way, is_replaced), some in sorted(groups.items()):
            way = ways.ways[of_way]
            # Setting anew is in the rate for drilling out and replacing.
            minutes = (
                None if is_replaced else self._minutes(way.way or "squeezer", len(some))
            )
            yield Task(
                Doing.SET,
                tuple(some),
                count=len(some),
                code=code,
                step=self.new.plan.steps[k].name if k >= 0 else "",
                tools=way.tools,
                people=way.people,
                minutes=minutes,
            )

    def _stays(self, change: Change, hole: int) -> bool:
        """Whether the rivet that sits there is still the right one."""
        before = int(self.found.matching.old_of[hole])
        return (
            before >= 0
            and bool(self.is_in[before])
            and (not change.takes_another_rivet)
        )

    def _checking(self, setting: Iterable[Task]) -> Iterator[Task]:
        holes = tuple(hole for task in setting for hole in task.holes)
        if holes:
            minutes = self._minutes("check heads", len(holes))
            yield Task(Doing.CHECK, holes, count=len(holes), minutes=minutes)

    def _before(self) -> str:
        """The first step that shuts a changed hole's face and is not done."""
        plan, holes = self.new.plan, self.new.holes
        faces = {holes.row_of(h).face for c in self.found.changes for h in c.new}
        depth = preceding_steps(plan).sum(axis=1)
        shutting = [
            (int(depth[k]), k)
            for k, step in enumerate(plan.steps)
            if faces.intersection(step.closes)
            and self.stand.step_state(step.name) != STEP_DONE
        ]
        return plan.steps[min(shutting)[1]].name if shutting else ""

    # --- questions ------------------------------------------------------------------

    def _questions(self) -> Iterator[Question]:
        for one in self.done:
            change = one.change
            if change.by is not By.ID:
                yield Question(Doubt.SAME_ROW, change.old, True, str(change.by))
            is_left = change.kind is Kind.GONE or Aspect.PLACE in change.aspects
            if is_left and one.drilled:
                yield Question(Doubt.EMPTY_HOLE, one.drilled, True)
            if one.drilled and self._is_smaller(change):
                yield Question(Doubt.SMALLER_HOLE, one.drilled, True)
        yield from self._prepared_otherwise()
        yield from self._stops()

    def _is_smaller(self, change: Change) -> bool:
        """Whether the hole that is drilled is larger than the one asked now."""
        if Aspect.DRILL not in change.aspects or not change.new:
            return False
        drilled = float(self.old.at("hole_diameter_mm", change.old[0]))
        return float(self.new.at("hole_diameter_mm", change.new[0])) < drilled

    def _prepared_otherwise(self) -> Iterator[Question]:
        """Sheets that were dimpled or sunk and are asked otherwise now."""
        wrong: dict[str, list[int]] = {}
        for hole, sheets in self._sheets():
            before = int(self.found.matching.old_of[hole])
            for sheet in sheets if before >= 0 else ():
                for operation, asked in ((DIMPLED, DIMPLE), (COUNTERSUNK, COUNTERSINK)):
                    if sheet.part not in self._old_prepared(before, asked):
                        continue
                    was = self.stand.is_worked(operation, sheet.part)[before]
                    if was and sheet.preparation != asked:
                        wrong.setdefault(sheet.part, []).append(hole)
        for part, some in wrong.items():
            yield Question(Doubt.PREPARED, tuple(some), False, part)

    def _old_prepared(self, hole: int, preparation: str) -> set[str]:
        stacks = self.old.stacks
        sheets = stacks.classes[int(stacks.class_of[hole])].sheets
        return {one.part for one in sheets if one.preparation == preparation}

    def _stops(self) -> Iterator[Question]:
        """What stops at changed holes in the later plan and did not before."""
        changed = {hole for change in self.found.changes for hole in change.new}
        before = _stopping(self.found.old.findings)
        old_of = self.found.matching.old_of
        for finding in self.found.new.findings:
            if finding.severity is not Severity.STOP or finding.code == DONE_BEFORE:
                continue
            here = tuple(
                hole
                for hole in finding.holes
                if hole in changed and (finding.code, int(old_of[hole])) not in before
            )
            if here:
                yield Question(Doubt.STOPS, here, False, finding.code)


def _stopping(findings: Iterable[Finding]) -> set[tuple[str, int]]:
    """Code and hole of everything that stops."""
    return {
        (one.code, hole)
        for one in findings
        if one.severity is Severity.STOP
        for hole in one.holes
    }


def _as_new(worked_plan: WorkedPlan) -> Stand:
    """The later plan with nothing done: for its ways of setting alone."""
    nothing = np.zeros(len(worked_plan.worked.holes), dtype=bool)
    return Stand("", worked_plan, nothing, nothing, nothing, {})


_PREPARED = {DIMPLE: Doing.DIMPLE, COUNTERSINK: Doing.COUNTERSINK}
_WORKED = {Doing.DIMPLE: DIMPLED, Doing.COUNTERSINK: COUNTERSUNK}
_RATE = {Doing.DIMPLE: "dimple", Doing.COUNTERSINK: "countersink"}

"""Which code each hole still takes, how sure that is, and when it can be set.

A drawing's callout counts unless a hold says what will be set instead. Where a
finding says that the callout cannot be right, both codes are told and neither
counts as sure: the drawing is not overruled, and nothing is bought on a guess.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from fractions import Fraction

import numpy as np

from rivetwright.engines.plan import WorkedPlan
from rivetwright.engines.stock.times import Times, When
from rivetwright.engines.worked import Worked
from rivetwright.errors import CodeRefused
from rivetwright.model.opening import Hold
from rivetwright.standards.codes import RivetCode, parse_rivet_code

# Findings after which a hole may take another code than its callout.
DOUBTED = ("LENGTH-01", "LENGTH-05", "GRIP-01")
QUESTION = "question"


class Sureness(StrEnum):
    """How sure it is that a hole takes a code.

    `IF_SO`: only if the answer says so; `AS_DRAWN`: as the drawing has it, which a
    finding doubts.
    """

    SURE = "sure"
    IF_SO = "if so"
    AS_DRAWN = "as drawn"


@dataclass(frozen=True)
class Wanted:
    """Holes of one step that take one code at one time.

    `plan` is the plan's place among those asked for. `because` is the code of the
    finding or the id of the hold behind a code that is not plainly the callout's.
    An empty `code`: nobody knows yet what goes in.
    """

    plan: int
    step: str
    holes: tuple[int, ...]
    code: str
    sureness: Sureness
    because: str
    when: When

    @property
    def count(self) -> int:
        """How many holes."""
        return len(self.holes)


@dataclass(frozen=True)
class _Taken:
    """What one hole takes, before holes alike are put together."""

    code: str
    sureness: Sureness
    because: str = ""


def wanted_of(
    worked_plan: WorkedPlan,
    plan: int,
    sits: Mapping[int, str] | None,
    today: date,
) -> tuple[Wanted, ...]:
    """What the holes of a plan still take, step by step.

    Args:
        worked_plan: the plan, worked out.
        plan: its place among the plans asked for.
        sits: the code that sits in each set hole and may stay; None: no record, so
            that what is set counts as the row called for before any bulletin.
        today: the day from which on work is done.

    Source: the plan, its findings and what is recorded; nothing is estimated.
    """
    reading = _Reading(worked_plan, sits)
    times = Times(worked_plan.worked, today)
    groups: dict[tuple[str, _Taken, When], list[int]] = {}
    for hole in range(len(worked_plan.worked.holes)):
        for taken in reading.takes(hole):
            step = times.step_of(hole)
            key = (step, taken, times.when(hole))
            groups.setdefault(key, []).append(hole)
    return tuple(
        Wanted(plan, step, tuple(holes), one.code, one.sureness, one.because, when)
        for (step, one, when), holes in groups.items()
    )


class _Reading:
    """One plan's holes, its holds and the findings that nobody answered."""

    def __init__(self, worked_plan: WorkedPlan, sits: Mapping[int, str] | None) -> None:
        self.worked = worked_plan.worked
        self.sits = sits
        self.changed = self.worked["changed_by"] != ""
        # Who answered one finding on a callout has settled the callout.
        settled = {hole for code, hole in worked_plan.answered if code in DOUBTED}
        self.doubted: dict[int, str] = {}
        for finding in worked_plan.findings:
            for hole in finding.holes if finding.code in DOUBTED else ():
                if hole not in settled:
                    self.doubted.setdefault(hole, finding.code)

    def takes(self, hole: int) -> Iterator[_Taken]:
        """The code that a hole still takes, or the two that it may take."""
        holes = self.worked.holes
        callout = str(holes.callout(hole))
        hold = self._hold(hole)
        if hold is not None and hold.callout:
            told = self._told(hold, callout)
            if not holes.is_set[hole] or self._must_come_out(hole, told):
                yield _Taken(told, Sureness.SURE, hold.id if told != callout else "")
            return
        if holes.is_set[hole]:
            if self._must_come_out(hole, callout):
                yield _Taken(callout, Sureness.SURE)
            return
        code = self.doubted.get(hole, "")
        other = wanted_code(self.worked, hole) if code else ""
        if other and other != callout:
            yield _Taken(callout, Sureness.AS_DRAWN, code)
            yield _Taken(other, Sureness.IF_SO, code)
        else:
            yield _Taken(callout, Sureness.SURE)

    def _hold(self, hole: int) -> Hold | None:
        at = int(self.worked.holes.hold[hole])
        return self.worked.plan.opening.holds[at] if at >= 0 else None

    def _told(self, hold: Hold, callout: str) -> str:
        """The code that a hold says will be set; empty where only the answer tells."""
        if any(one.code == hold.callout for one in self.worked.plan.blind_codes):
            return hold.callout
        try:
            return str(parse_rivet_code(hold.callout))
        except CodeRefused:
            return "" if hold.kind == QUESTION else callout

    def _must_come_out(self, hole: int, meant: str) -> bool:
        """Whether what sits in a hole is not what is meant to sit there."""
        if self.sits is not None:
            return self.sits.get(hole, meant) != meant
        before = str(self.worked.holes.row_of(hole).callout)
        return bool(self.changed[hole]) or before != meant


def wanted_code(worked: Worked, hole: int) -> str:
    """The code that the stack asks for by rule; empty where no rule gives one.

    Args:
        worked: the worked-out plan.
        hole: index of the hole.

    Source: `wanted_length_16ths` for solid rivets, `wanted_blind_code` for blind.
    """
    callout = worked.holes.callout(hole)
    if not isinstance(callout, RivetCode):
        return str(worked.at("wanted_blind_code", hole))
    length = float(worked.at("wanted_length_16ths", hole))
    if np.isnan(length):
        return ""
    return str(callout.with_length(Fraction(length)))

"""Whether a plan is allowed, judged apart from everything that makes plans.

Shares with the search the stage and the kinds of step, and no other code. It keeps
its own state and reads the three rules anew: A, each step is legal; B, the parts
are held together at every moment; C, no zipping, which is counted and not refused.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

from rivetwright.model.stage import BARE, Kind, Stage, Steps, Token

TOLERANCE_MM = 1e-6
START = -1  # the place of what is found before the first step
END = -2  # and of what is found after the last one


@dataclass(frozen=True)
class Breach:
    """One thing that a rule does not allow.

    Args:
        rule: the key of the rule, such as "face" or "held".
        step: its place in the plan; START or END.
        about: the hole, row, milestone, setup or face it is about.
        by: the hole, group or milestone that stands against it; BARE: none.
    """

    rule: str
    step: int
    about: int
    by: int = BARE


@dataclass(frozen=True)
class Verdict:
    """What the checker found.

    Args:
        stopped: breaches of rules A and B, in the order they were met.
        zipped: holes set against rule C, with the step.
    """

    stopped: tuple[Breach, ...]
    zipped: tuple[Breach, ...]

    @property
    def is_allowed(self) -> bool:
        """Whether rules A and B are kept throughout."""
        return not self.stopped


def check_plan(stage: Stage, steps: Steps) -> Verdict:
    """Walk through a plan from the state its stage begins in.

    Args:
        stage: the stage.
        steps: the plan.

    Returns:
        Everything that rules A, B and C have against it.
    """
    bench = _Bench(stage)
    stopped = list(bench.loose_at_start())
    zipped: list[Breach] = []
    for number, (kind, index) in enumerate(steps):
        if kind == Kind.SET and bench.is_hole(index) and bench.zips(index):
            zipped.append(Breach("zipped", number, index))
        stopped += bench.take(number, kind, index)
    stopped += bench.left_over()
    return Verdict(tuple(stopped), tuple(zipped))


def check_start(stage: Stage) -> tuple[Breach, ...]:
    """Rows that are not held together before the first step.

    Args:
        stage: the stage.

    Returns:
        A breach for each such row.
    """
    return tuple(_Bench(stage).loose_at_start())


class _Bench:
    """The part as it lies on the bench while the plan is walked through."""

    def __init__(self, stage: Stage) -> None:
        self.stage = stage
        self.s_mm: list[float] = stage.s_mm.tolist()
        self.row_of: list[int] = stage.row.tolist()
        self.stays_open: list[bool] = stage.is_deferred.tolist()
        self.rows = self._rows()
        self.open_in: dict[int, set[int]] = {}
        for hole, group in enumerate(stage.group.tolist()):
            if not self.stays_open[hole] and not stage.is_set[hole]:
                self.open_in.setdefault(group, set()).add(hole)
        self.has_rivet = [bool(one) for one in stage.is_set]
        self.milestones_done = {k for k, one in enumerate(stage.done) if one}
        self.fitted = [
            after == BARE or after in self.milestones_done
            for after in stage.row_after.tolist()
        ]
        self.has_holder = [
            bool(stage.holder[hole]) and self.fitted[stage.row[hole]]
            for hole in range(len(stage))
        ]
        self.spare = stage.holders_spare
        self.rigged = stage.rigged
        self.face = stage.start_face

    def _rows(self) -> list[list[int]]:
        rows: list[list[int]] = [[] for _ in range(len(self.stage.row_after))]
        for hole in range(len(self.stage)):
            rows[self.row_of[hole]].append(hole)
        for row in rows:
            row.sort(key=lambda hole: self.s_mm[hole])
        return rows

    def is_hole(self, index: int) -> bool:
        """Whether there is a hole of this number."""
        return 0 <= index < len(self.stage)

    # --- rule A -------------------------------------------------------------------

    def take(self, number: int, kind: int, index: int) -> Iterator[Breach]:
        """Take one step, and tell what is against it."""
        if kind == Kind.RIG:
            yield from self._rig(number, index)
        elif kind == Kind.FACE:
            yield from self._turn(number, index)
        elif kind == Kind.MILESTONE:
            yield from self._do_milestone(number, index)
        elif not self.is_hole(index):
            yield Breach("hole", number, index)
        else:
            yield from self._at_hole(number, kind, index)

    def _rig(self, number: int, setup: int) -> Iterator[Breach]:
        if not 0 <= setup < len(self.stage.setups):
            yield Breach("setup", number, setup)
            return
        self.rigged = setup

    def _turn(self, number: int, face: int) -> Iterator[Breach]:
        if not 0 <= face < len(self.stage.turn_s):
            yield Breach("face", number, face)
            return
        self.face = face

    def _do_milestone(self, number: int, milestone: int) -> Iterator[Breach]:
        is_known = 0 <= milestone < len(self.stage.milestones)
        if not is_known or milestone in self.milestones_done:
            yield Breach("milestone", number, milestone)
            return
        yield from self._too_early(number, Token(True, milestone), milestone)
        self.milestones_done.add(milestone)
        for row, after in enumerate(self.stage.row_after.tolist()):
            if after == milestone:
                self.fitted[row] = True
                for hole in self.rows[row]:
                    self.has_holder[hole] = bool(self.stage.holder[hole])
                yield from self._loose(number, row)

    def _at_hole(self, number: int, kind: int, hole: int) -> Iterator[Breach]:
        if self.stage.face[hole] != self.face:
            yield Breach("other face", number, hole, int(self.stage.face[hole]))
        if not self.fitted[self.row_of[hole]]:
            yield Breach("not fitted", number, hole)
        if kind == Kind.SET:
            yield from self._set(number, hole)
        elif kind == Kind.OUT:
            yield from self._holder_out(number, hole)
        else:
            yield from self._holder_in(number, hole)

    def _set(self, number: int, hole: int) -> Iterator[Breach]:
        if self.stays_open[hole]:
            yield Breach("stays open", number, hole)
        if self.has_rivet[hole]:
            yield Breach("set twice", number, hole)
        if self.has_holder[hole]:
            yield Breach("holder in it", number, hole)
        if self.rigged not in self.stage.options[hole]:
            yield Breach("other setup", number, hole, self.rigged)
        group = Token(False, int(self.stage.group[hole]))
        yield from self._too_early(number, group, hole)
        self.has_rivet[hole] = True
        self.open_in.get(group.number, set()).discard(hole)

    def _holder_out(self, number: int, hole: int) -> Iterator[Breach]:
        if not self.has_holder[hole]:
            yield Breach("no holder", number, hole)
            return
        self.has_holder[hole] = False
        self.spare += 1
        yield from self._loose(number, self.row_of[hole])

    def _holder_in(self, number: int, hole: int) -> Iterator[Breach]:
        if self.has_holder[hole] or self.has_rivet[hole]:
            yield Breach("not empty", number, hole)
            return
        if self.spare <= 0:
            yield Breach("none to spare", number, hole)
        self.has_holder[hole] = True
        self.spare -= 1

    def _too_early(self, number: int, then: Token, about: int) -> Iterator[Breach]:
        for first, after in self.stage.precedence:
            if after == then and not self._is_done(first):
                yield Breach("too early", number, about, first.number)

    def _is_done(self, token: Token) -> bool:
        if token.is_milestone:
            return token.number in self.milestones_done
        return not self.open_in.get(token.number)

    def left_over(self) -> Iterator[Breach]:
        """What is still to do when the plan ends."""
        for hole in range(len(self.stage)):
            if not self.stays_open[hole]:
                if not self.has_rivet[hole]:
                    yield Breach("not set", END, hole)
                if self.has_holder[hole]:
                    yield Breach("holder left", END, hole)
        for milestone in range(len(self.stage.milestones)):
            if milestone not in self.milestones_done:
                yield Breach("milestone left", END, milestone)

    # --- rule B -------------------------------------------------------------------

    def loose_at_start(self) -> Iterator[Breach]:
        """Rows that are there and not held together."""
        for row in range(len(self.rows)):
            if self.fitted[row]:
                yield from self._loose(START, row)

    def _loose(self, number: int, row: int) -> Iterator[Breach]:
        """Open holes of a row that lie too far from what is fast."""
        kept = [h for h in self.rows[row] if not self.stays_open[h]]
        if len(kept) < 3:
            return
        s_mm = self.s_mm
        fast = [h for h in self.rows[row] if self.has_rivet[h] or self.has_holder[h]]
        if not fast:
            yield Breach("held", number, row)
            return
        end_mm = self.stage.clamp.end_mm + TOLERANCE_MM
        if s_mm[fast[0]] - s_mm[kept[0]] > end_mm:
            yield Breach("end held", number, row, kept[0])
        if s_mm[kept[-1]] - s_mm[fast[-1]] > end_mm:
            yield Breach("end held", number, row, kept[-1])
        yield from self._loose_between(number, row, fast)

    def _loose_between(
        self, number: int, row: int, fast: list[int]
    ) -> Iterator[Breach]:
        s_mm, holes = self.s_mm, self.rows[row]
        reach_mm = self.stage.clamp.reach_mm + TOLERANCE_MM
        for left, right in pairwise(fast):
            inside = holes[holes.index(left) + 1 : holes.index(right)]
            for hole in inside:
                is_near = (
                    s_mm[hole] - s_mm[left] <= reach_mm
                    and s_mm[right] - s_mm[hole] <= reach_mm
                )
                if not self.stays_open[hole] and not is_near:
                    yield Breach("held", number, row, hole)
                    return

    # --- rule C -------------------------------------------------------------------

    def zips(self, hole: int) -> bool:
        """Whether setting this rivet now goes against rule C."""
        creep, s_mm = self.stage.creep, self.s_mm
        row = self.rows[self.row_of[hole]]
        kept = [h for h in row if not self.stays_open[h]]
        if len(kept) < 3 or s_mm[kept[-1]] - s_mm[kept[0]] <= creep.short_row_mm:
            return False
        if hole in (kept[0], kept[-1]):
            return False
        place = row.index(hole)
        ways_mm = [
            [abs(s_mm[h] - s_mm[hole]) for h in side if self.has_rivet[h]]
            for side in (row[:place], row[place + 1 :])
        ]
        if all(way >= creep.skip_mm - TOLERANCE_MM for side in ways_mm for way in side):
            return False
        if not ways_mm[0] or not ways_mm[1]:
            return True
        span_mm = min(ways_mm[0]) + min(ways_mm[1])
        return span_mm > creep.bracket_mm + TOLERANCE_MM

"""The cheapest plan of a tiny stage, by looking at every state that can be reached.

Written apart from the engine, from the rules alone: a shortest way over all states
(what is set, where holders are, what is rigged, which face, where one stands, what is
in the hand). Good for some six holes.
"""

from __future__ import annotations

import heapq
import math
from collections.abc import Iterator
from itertools import pairwise
from typing import NamedTuple

from rivetwright.model.stage import BARE, Kind, Setup, Stage


class State(NamedTuple):
    """Everything that decides what may come next and what it costs."""

    is_set: int
    held: int
    done: int
    rigged: int
    face: int
    at: int
    hand: int


Move = tuple[float, State, tuple[int, int]]
NOWHERE, RIVET, PLIERS = -1, 0, 1
SLACK = 1e-6


class Exact:
    """The states of one stage, and the cheapest way through them."""

    def __init__(self, stage: Stage) -> None:
        self.stage = stage
        self.count = len(stage)
        self.rows: list[list[int]] = [[] for _ in stage.row_after]
        for hole in range(self.count):
            self.rows[stage.row[hole]].append(hole)
        for row in self.rows:
            row.sort(key=lambda hole: float(stage.s_mm[hole]))
        self.free = [not d for d in stage.is_deferred]
        self.change = {
            (a, b): self._change(a, b)
            for a in range(-1, len(stage.setups))
            for b in range(len(stage.setups))
        }

    def _change(self, a: int, b: int) -> float:
        costs, setups = self.stage.costs, self.stage.setups
        before: Setup | None = setups[a] if a != BARE else None
        after = setups[b]
        gap = costs.gap_s if after.gap_mm is not None else 0.0
        if a == b:
            return 0.0
        if before is None or before.tool != after.tool:
            total = costs.tool_s + costs.dies_s + gap + costs.proof_s
        elif before.yoke != after.yoke:
            total = costs.yoke_s + gap + costs.proof_s
            total += costs.dies_s if before.dies != after.dies else 0.0
        elif before.dies != after.dies:
            total = costs.dies_s + gap + costs.proof_s
        else:
            total = gap + costs.proof_s if before.gap_mm != after.gap_mm else 0.0
        if before is None or before.rivet != after.rivet:
            total += costs.bin_s
        if after.crew > (before.crew if before else 1):
            total += costs.crew_s
        return total

    def start(self) -> State:
        """The state the stage begins in."""
        stage = self.stage
        done = sum(1 << m for m, one in enumerate(stage.done) if one)
        held = sum(
            1 << hole
            for hole in range(self.count)
            if stage.holder[hole] and self.is_fitted(int(stage.row[hole]), done)
        )
        is_set = sum(1 << h for h in range(self.count) if stage.is_set[h])
        return State(
            is_set, held, done, stage.rigged, stage.start_face, NOWHERE, NOWHERE
        )

    def is_fitted(self, row: int, done: int) -> bool:
        """Whether the part of a row is there."""
        after = int(self.stage.row_after[row])
        return after == BARE or bool(done >> after & 1)

    def is_held(self, row: int, fast: int) -> bool:
        """Rule B on one row, with these holes fast."""
        s_mm, clamp = self.stage.s_mm, self.stage.clamp
        kept = [h for h in self.rows[row] if self.free[h]]
        if len(kept) < 3:
            return True
        tight = [h for h in self.rows[row] if fast >> h & 1]
        if not tight:
            return False
        if s_mm[tight[0]] - s_mm[kept[0]] > clamp.end_mm + SLACK:
            return False
        if s_mm[kept[-1]] - s_mm[tight[-1]] > clamp.end_mm + SLACK:
            return False
        for a, b in pairwise(tight):
            for hole in kept:
                if s_mm[a] < s_mm[hole] < s_mm[b]:
                    far = max(s_mm[hole] - s_mm[a], s_mm[b] - s_mm[hole])
                    if far > clamp.reach_mm + SLACK:
                        return False
        return True

    def is_start_held(self) -> bool:
        """Whether every row that is there is held together at the start."""
        state = self.start()
        return all(
            self.is_held(row, state.is_set | state.held)
            for row in range(len(self.rows))
            if self.is_fitted(row, state.done)
        )

    def zips(self, hole: int, is_set: int) -> bool:
        """Rule C."""
        stage, creep = self.stage, self.stage.creep
        row = self.rows[stage.row[hole]]
        kept = [h for h in row if self.free[h]]
        span = stage.s_mm[kept[-1]] - stage.s_mm[kept[0]]
        if len(kept) < 3 or span <= creep.short_row_mm or hole in (kept[0], kept[-1]):
            return False
        at = stage.s_mm[hole]
        lefts = [at - stage.s_mm[h] for h in row if is_set >> h & 1]
        before = min((d for d in lefts if d > 0), default=math.inf)
        after = min((-d for d in lefts if d < 0), default=math.inf)
        if min(before, after) >= creep.skip_mm - SLACK:
            return False
        return bool(before + after > creep.bracket_mm + SLACK)

    def is_ready(self, is_milestone: bool, number: int, state: State) -> bool:
        """Whether everything that must come before is done."""
        for first, then in self.stage.precedence:
            if (then.is_milestone, then.number) != (is_milestone, number):
                continue
            if first.is_milestone:
                if not state.done >> first.number & 1:
                    return False
            elif any(
                self.free[h]
                and self.stage.group[h] == first.number
                and not state.is_set >> h & 1
                for h in range(self.count)
            ):
                return False
        return True

    def moves(self, state: State) -> Iterator[Move]:
        """Every step that may come next, with its cost."""
        stage = self.stage
        fresh = {"at": NOWHERE, "hand": NOWHERE}
        for setup in range(len(stage.setups)):
            if setup != state.rigged:
                cost = self.change[state.rigged, setup]
                then = state._replace(rigged=setup, **fresh)
                yield cost, then, (Kind.RIG, setup)
        for face in range(len(stage.turn_s)):
            if face != state.face:
                cost = float(stage.turn_s[state.face, face])
                yield cost, state._replace(face=face, **fresh), (Kind.FACE, face)
        for milestone in range(len(stage.milestones)):
            is_open = not state.done >> milestone & 1
            if is_open and self.is_ready(True, milestone, state):
                yield from self._milestone(state, milestone)
        for hole in range(self.count):
            row = int(stage.row[hole])
            if stage.face[hole] == state.face and self.is_fitted(row, state.done):
                yield from self._at_hole(state, hole)

    def _milestone(self, state: State, milestone: int) -> Iterator[Move]:
        stage = self.stage
        done, held = state.done | 1 << milestone, state.held
        for row, after in enumerate(stage.row_after):
            if after == milestone:
                for hole in self.rows[row]:
                    held |= int(stage.holder[hole]) << hole
                if not self.is_held(row, held | state.is_set):
                    return
        then = state._replace(done=done, held=held, at=NOWHERE, hand=NOWHERE)
        cost = stage.milestones[milestone].time_s
        yield cost, then, (Kind.MILESTONE, milestone)

    def _spare(self, state: State) -> int:
        """Holders in the box: those at the start, and all that came out since."""
        stage = self.stage
        came = sum(
            1
            for hole in range(self.count)
            if stage.holder[hole] and self.is_fitted(int(stage.row[hole]), state.done)
        )
        return stage.holders_spare + came - state.held.bit_count()

    def _at_hole(self, state: State, hole: int) -> Iterator[Move]:
        stage, bit = self.stage, 1 << hole
        row = int(stage.row[hole])
        if state.held & bit:
            held = state.held & ~bit
            if self.is_held(row, held | state.is_set):
                cost = stage.costs.holder_out_s + self._reach(state, hole, PLIERS)
                then = state._replace(held=held, at=hole, hand=PLIERS)
                yield cost, then, (Kind.OUT, hole)
            return
        if state.is_set & bit:
            return
        if self._spare(state) > 0:
            cost = stage.costs.holder_in_s + self._reach(state, hole, PLIERS)
            then = state._replace(held=state.held | bit, at=hole, hand=PLIERS)
            yield cost, then, (Kind.IN, hole)
        if (
            self.free[hole]
            and state.rigged in stage.options[hole]
            and self.is_ready(False, int(stage.group[hole]), state)
        ):
            cost = stage.setups[state.rigged].rivet_s
            cost += self._reach(state, hole, RIVET)
            if self.zips(hole, state.is_set):
                cost += stage.costs.creep_penalty_s
            then = state._replace(is_set=state.is_set | bit, at=hole, hand=RIVET)
            yield cost, then, (Kind.SET, hole)

    def _reach(self, state: State, hole: int, hand: int) -> float:
        stage, cost = self.stage, 0.0
        if state.at != NOWHERE:
            way = (
                stage.x_mm[hole] - stage.x_mm[state.at],
                stage.y_mm[hole] - stage.y_mm[state.at],
            )
            cost += math.hypot(*way) / stage.costs.speed_mm_s
        if state.hand not in (NOWHERE, hand):
            cost += stage.costs.swap_s
        return cost

    def is_end(self, state: State) -> bool:
        """Whether all is set, no holder is left, every milestone is done."""
        free = sum(1 << h for h in range(self.count) if self.free[h])
        return (
            state.is_set & free == free
            and not state.held & free
            and state.done == (1 << len(self.stage.milestones)) - 1
        )

    def best(self) -> tuple[float, list[tuple[int, int]]] | None:
        """The cheapest plan and its cost; None where there is no plan."""
        start = self.start()
        cost = {start: 0.0}
        came: dict[State, tuple[State, tuple[int, int]]] = {}
        heap = [(0.0, 0, start)]
        pushed = 0
        while heap:
            so_far, _, state = heapq.heappop(heap)
            if so_far > cost[state]:
                continue
            if self.is_end(state):
                steps = []
                while state in came:
                    state, step = came[state]
                    steps.append(step)
                return so_far, steps[::-1]
            for more, then, step in self.moves(state):
                total = so_far + more
                if total < cost.get(then, math.inf):
                    cost[then] = total
                    came[then] = (state, step)
                    pushed += 1
                    heapq.heappush(heap, (total, pushed, then))
        return None

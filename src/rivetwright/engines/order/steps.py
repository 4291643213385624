"""What a sequence of steps costs: time by its parts, and breaches of rule C.

Costs only. Whether the sequence is allowed is for the checker to say.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field

from rivetwright.engines.order.stage import Tables
from rivetwright.model.stage import Kind, Stage, Steps

__all__ = ["TOLERANCE_MM", "Cost", "Kind", "Steps", "cost_of", "may_set"]

TOLERANCE_MM = 1e-6


@dataclass(frozen=True)
class Cost:
    """Seconds of each part of the work, and the holes set against rule C."""

    rivet_s: float
    setup_s: float
    turn_s: float
    walk_s: float
    holder_s: float
    swap_s: float
    milestone_s: float
    penalty_s: float
    breaches: tuple[int, ...]

    @property
    def time_s(self) -> float:
        """Time without the weight of breaches [s]."""
        return (
            self.rivet_s
            + self.setup_s
            + self.turn_s
            + self.walk_s
            + self.holder_s
            + self.swap_s
            + self.milestone_s
        )

    @property
    def objective_s(self) -> float:
        """What is made small: time, and the weight of breaches [s]."""
        return self.time_s + self.penalty_s


def may_set(tables: Tables, hole: int, is_set: list[bool]) -> bool:
    """Whether rule C lets this rivet be set now: no zipping along the row."""
    stage = tables.stage
    row = int(stage.row[hole])
    active = tables.active_rows[row]
    if tables.is_creep_free[row] or hole in (active[0], active[-1]):
        return True
    holes, rank = tables.rows[row], int(tables.rank[hole])
    s_mm = stage.s_mm
    before = next((h for h in reversed(holes[:rank]) if is_set[h]), None)
    after = next((h for h in holes[rank + 1 :] if is_set[h]), None)
    skip_mm = stage.creep.skip_mm - TOLERANCE_MM
    is_far_before = before is None or s_mm[hole] - s_mm[before] >= skip_mm
    is_far_after = after is None or s_mm[after] - s_mm[hole] >= skip_mm
    if is_far_before and is_far_after:
        return True
    if before is None or after is None:
        return False
    return bool(s_mm[after] - s_mm[before] <= stage.creep.bracket_mm + TOLERANCE_MM)


@dataclass
class _Walked:
    """Where a walk through the steps stands, and what it has cost so far."""

    tables: Tables
    rigged: int
    face: int
    is_set: list[bool]
    at: int | None = None
    hand: bool | None = None
    times_s: dict[str, float] = field(default_factory=dict)
    breaches: list[int] = field(default_factory=list)

    def pay(self, part: str, time_s: float) -> None:
        """Add time to one part."""
        self.times_s[part] = self.times_s.get(part, 0.0) + float(time_s)

    def leave(self) -> None:
        """Come back from the bench: the next hole costs no walk and no swap."""
        self.at = self.hand = None

    def move(self, hole: int, *, is_rivet: bool) -> None:
        """Go to a hole with the squeezer, or with the pliers."""
        stage = self.tables.stage
        if self.at is not None:
            way_mm = math.hypot(
                stage.x_mm[hole] - stage.x_mm[self.at],
                stage.y_mm[hole] - stage.y_mm[self.at],
            )
            self.pay("walk_s", way_mm / stage.costs.speed_mm_s)
        if self.hand is not None and self.hand != is_rivet:
            self.pay("swap_s", stage.costs.swap_s)
        self.at, self.hand = hole, is_rivet

    def step(self, kind: int, index: int) -> None:
        """Take one step."""
        stage = self.tables.stage
        if kind == Kind.RIG:
            if index != self.rigged:
                self.pay("setup_s", self.tables.change_s[self.rigged, index])
                self.leave()
            self.rigged = index
        elif kind == Kind.FACE:
            if index != self.face:
                self.pay("turn_s", stage.turn_s[self.face, index])
                self.leave()
            self.face = index
        elif kind == Kind.MILESTONE:
            self.pay("milestone_s", stage.milestones[index].time_s)
            self.leave()
        elif kind == Kind.SET:
            self.set_rivet(index)
        else:
            self.move(index, is_rivet=False)
            costs = stage.costs
            is_out = kind == Kind.OUT
            self.pay("holder_s", costs.holder_out_s if is_out else costs.holder_in_s)

    def set_rivet(self, hole: int) -> None:
        """Set one rivet, and see whether rule C lets it."""
        if not may_set(self.tables, hole, self.is_set):
            self.breaches.append(hole)
        self.move(hole, is_rivet=True)
        self.pay("rivet_s", self.tables.stage.setups[self.rigged].rivet_s)
        self.is_set[hole] = True


def cost_of(stage: Stage | Tables, steps: Steps) -> Cost:
    """Cost of a sequence of steps, begun in the state the stage begins from.

    Args:
        stage: the stage, or its tables where they are at hand.
        steps: the sequence; it has to be one that the checker allows.

    Returns:
        Seconds by parts, and the holes set against rule C.
    """
    tables = stage if isinstance(stage, Tables) else Tables(stage)
    start = tables.stage
    walked = _Walked(tables, start.rigged, start.start_face, start.is_set.tolist())
    for kind, index in steps:
        walked.step(kind, index)
    parts = ("rivet_s", "setup_s", "turn_s", "walk_s", "holder_s", "swap_s")
    times_s = {part: walked.times_s.get(part, 0.0) for part in (*parts, "milestone_s")}
    return Cost(
        **times_s,
        penalty_s=start.costs.creep_penalty_s * len(walked.breaches),
        breaches=tuple(walked.breaches),
    )

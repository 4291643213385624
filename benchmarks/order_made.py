"""A stage of setting while it is being made up: rows, setups, what comes first.

Distances, times and the choice of setups are those of `benchmarks/order/README.md`.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from typing import Any

import numpy as np

from rivetwright.model.stage import (
    BARE,
    Clamp,
    Creep,
    Milestone,
    Setup,
    Stage,
    StepCosts,
    Token,
)

MM_PER_32ND = 25.4 / 32
SPARE = 10
BIG_HOLES = 400  # from here on two people turn the part
COSTS = StepCosts(
    tool_s=45.0,
    yoke_s=180.0,
    dies_s=40.0,
    gap_s=90.0,
    proof_s=60.0,
    bin_s=20.0,
    crew_s=180.0,
    holder_out_s=3.0,
    holder_in_s=5.0,
    swap_s=4.0,
    speed_mm_s=250.0,
    creep_penalty_s=60.0,
)
CLAMP = Clamp(reach_mm=76.0, end_mm=38.0)
CREEP = Creep(skip_mm=70.0, bracket_mm=300.0, short_row_mm=150.0)
PNEUMATIC_S, HAND_S, GUN_S = 12.0, 20.0, 25.0

Place = tuple[float, float]
Along = Callable[[float], float]


def level(value: float) -> Along:
    """The same all along a row."""
    return lambda share: value


@dataclass
class Line:
    """One row as it is drawn.

    Args:
        face: the face it is on.
        start: its first place [mm].
        end: where it may end [mm].
        pitch_mm: from hole to hole.
        group: what its holes belong to.
        diameter_32nds: of its rivets.
        is_flush: heads.
        grip_mm: along the row.
        depth_mm: how deep a yoke must reach, along the row.
        is_narrow: only a narrow yoke gets in.
        by_gun: a gun gets to it too.
        every: a holder in each so many holes.
        after: the milestone that brings it.
        left_open: shares of the row that stay open.
    """

    face: int
    start: Place
    end: Place
    pitch_mm: float
    group: int
    diameter_32nds: int
    is_flush: bool
    grip_mm: Along
    depth_mm: Along
    is_narrow: bool = False
    by_gun: bool = False
    every: int = 3
    after: int = BARE
    left_open: Sequence[tuple[float, float]] = ()


@dataclass
class Bench:
    """A stage while it is being made."""

    rng: np.random.Generator
    wanted: int
    setups: dict[Setup, int] = field(default_factory=dict)
    groups: list[str] = field(default_factory=list)
    milestones: list[Milestone] = field(default_factory=list)
    precedence: list[tuple[Token, Token]] = field(default_factory=list)
    row_after: list[int] = field(default_factory=list)
    columns: dict[str, list[float]] = field(default_factory=dict)
    options: list[tuple[int, ...]] = field(default_factory=list)

    @property
    def count(self) -> int:
        """Holes so far."""
        return len(self.options)

    def choose(self, *choices: float) -> float:
        """One of them."""
        return float(self.rng.choice(choices))

    def group(self, name: str) -> int:
        """A new group."""
        self.groups.append(name)
        return len(self.groups) - 1

    def milestone(self, name: str, time_s: float) -> int:
        """A new milestone."""
        self.milestones.append(Milestone(name, time_s))
        return len(self.milestones) - 1

    def before(self, first: str, then: str) -> None:
        """Write what comes first: `g0`, `m1`."""
        pair = tuple(Token(word[0] == "m", int(word[1:])) for word in (first, then))
        self.precedence.append((pair[0], pair[1]))

    def zones(self, base_mm: float, most: int = 3) -> Along:
        """A grip that rises where a doubler or a splice lies."""
        count = int(self.rng.integers(1, most + 1))
        cuts = np.sort(self.rng.uniform(0.12, 0.9, count - 1))
        more = [0.0, *(self.choose(0.8, 1.0, 1.6) for _ in cuts)]
        return lambda share: round(base_mm + more[int(np.sum(cuts < share))], 2)

    def line(self, row: Line) -> None:
        """Lay a row's holes down, as many as are still wanted."""
        way = (row.end[0] - row.start[0], row.end[1] - row.start[1])
        length_mm = math.hypot(*way)
        left = self.wanted - self.count
        count = min(max(2, round(length_mm / row.pitch_mm) + 1), left)
        if count < 2:
            return
        number = len(self.row_after)
        self.row_after.append(row.after)
        opened = [
            count > 6 and any(a <= k / (count - 1) <= b for a, b in row.left_open)
            for k in range(count)
        ]
        held = self._held(row, count, opened)
        for k in range(count):
            s_mm = k * row.pitch_mm
            share = k / (count - 1)
            self._hole(row, share)
            for name, value in (
                ("face", row.face),
                ("row", number),
                ("s_mm", s_mm),
                ("x_mm", row.start[0] + way[0] * s_mm / length_mm),
                ("y_mm", row.start[1] + way[1] * s_mm / length_mm),
                ("group", row.group),
                ("holder", k in held),
                ("is_deferred", opened[k]),
            ):
                self.columns.setdefault(name, []).append(value)

    def _held(self, row: Line, count: int, opened: Sequence[bool]) -> set[int]:
        """Where the holders sit, so that rule B holds at the start."""
        most = 1 + int(CLAMP.reach_mm // row.pitch_mm)
        every = max(1, min(row.every, most))
        at_end = int(CLAMP.end_mm // row.pitch_mm)
        held = set(range(0, count, every))
        if count - 1 - max(held) > at_end:
            held.add(count - 1)
        kept = [k for k in range(count) if not opened[k]]
        for end in (kept[0], kept[-1]) if kept else ():
            if not any(abs(k - end) <= at_end for k in held):
                held.add(end)
        return held

    def _hole(self, row: Line, share: float) -> None:
        grip_mm, depth_mm = row.grip_mm(share), row.depth_mm(share)
        diameter_mm = row.diameter_32nds * MM_PER_32ND
        sixteenths = max(3, math.ceil((grip_mm + 1.5 * diameter_mm) / 25.4 * 16 - 0.35))
        head = "F" if row.is_flush else "U"
        dies = f"{head}{row.diameter_32nds}"
        rivet = f"{dies}-{sixteenths}"
        head_mm = 0.0 if row.is_flush else 0.43 * diameter_mm
        gap_mm = round(grip_mm + head_mm + 0.5 * diameter_mm, 1)
        yokes = [("YN", 70.0)] if row.is_narrow else [("Y3", 65.0), ("Y4", 95.0)]
        found = [
            Setup("squeezer", yoke, dies, gap_mm, rivet, 1, PNEUMATIC_S)
            for yoke, reach_mm in yokes
            if depth_mm <= reach_mm
        ]
        if not row.is_narrow and depth_mm <= 40.0 and row.diameter_32nds == 3:
            found.append(Setup("hand", "Y2", dies, gap_mm, rivet, 1, HAND_S))
        if row.by_gun or not found:
            found.append(Setup("gun", None, dies, None, rivet, 2, GUN_S))
        numbers = [self.setups.setdefault(s, len(self.setups)) for s in found[:3]]
        self.options.append(tuple(numbers))

    def bracket(self, face: int, place: Place, grip_mm: float, first: str) -> None:
        """A fitting put on in between: four holes that wait for it."""
        number = self.milestone(f"fit bracket {len(self.milestones)}", 240.0)
        group = self.group(f"bracket {number}")
        self.before(first, f"m{number}")
        self.before(f"m{number}", f"g{group}")
        x_mm, y_mm = place
        end = (x_mm + 75.0, y_mm)
        grip, depth = level(grip_mm), level(45.0)
        row = Line(face, place, end, 25.0, group, 4, False, grip, depth, is_narrow=True)
        row.after = number
        self.line(row)

    def stage(self, name: str) -> Stage:
        """The stage as it stands."""
        columns = self.columns
        faces = int(max(columns["face"])) + 1
        turn_s = (60.0 if faces <= 2 else 75.0) * (2 if self.count > BIG_HOLES else 1)
        whole = {"face": np.int32, "row": np.int32, "group": np.int32}
        flags = {"holder": np.bool_, "is_deferred": np.bool_}
        kinds: dict[str, type] = {**whole, **flags}
        arrays: dict[str, Any] = {
            key: np.array(values, dtype=kinds.get(key, np.float64))
            for key, values in columns.items()
        }
        return Stage(
            name=name,
            costs=COSTS,
            clamp=CLAMP,
            creep=CREEP,
            turn_s=turn_s * (1.0 - np.eye(faces)),
            setups=tuple(self.setups),
            groups=tuple(self.groups),
            milestones=tuple(self.milestones),
            precedence=tuple(self.precedence),
            row_after=np.array(self.row_after, dtype=np.int32),
            options=tuple(self.options),
            is_set=np.zeros(self.count, dtype=np.bool_),
            done=np.zeros(len(self.milestones), dtype=np.bool_),
            holders_spare=SPARE,
            **arrays,
        )

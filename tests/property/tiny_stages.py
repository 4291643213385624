"""Tiny random stages, with costs that tempt a plan to do odd things.

Changes of setup may cost next to nothing, swaps and holders much, and rows are so
short against the reach of a holder that every rule bites with six holes.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

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

PITCH_MM = 25.0


def tiny_stage(seed: int, holes: int = 6) -> Stage:
    """A stage of so many holes in one or two rows, the same for the same seed."""
    rng = np.random.default_rng(seed)
    setups = _setups(rng)
    faces, groups = int(rng.integers(1, 3)), int(rng.integers(1, 3))
    first = int(rng.integers(3, holes + 1)) if rng.random() < 0.3 else holes
    row = (np.arange(holes) >= first).astype(np.int32)
    place = np.arange(holes) - first * row
    deferred = rng.random(holes) < 0.1
    group = np.minimum(row, groups - 1)
    if rng.random() < 0.3:
        group = rng.integers(0, groups, holes).astype(np.int32)
    milestones = (Milestone("fit", 5.0),) if rng.random() < 0.3 else ()
    precedence, row_after = _waits(rng, row, group, bool(milestones))
    every = int(rng.integers(1, 4))
    loose = deferred & (rng.random(holes) < 0.5)
    return Stage(
        name=f"tiny-{seed}",
        costs=_costs(rng),
        clamp=Clamp(float(rng.choice([26.0, 51.0, 76.0])), float(rng.choice([1, 26]))),
        creep=Creep(float(rng.choice([26.0, 51.0])), 100.0, 60.0),
        turn_s=float(rng.choice([1.0, 10.0, 60.0])) * (1.0 - np.eye(faces)),
        setups=setups,
        groups=tuple(f"group {g}" for g in range(groups)),
        milestones=milestones,
        precedence=precedence,
        row_after=row_after,
        face=row % faces,
        row=row,
        s_mm=place * PITCH_MM,
        x_mm=place * PITCH_MM * float(rng.choice([1.0, 20.0])),
        y_mm=row * 40.0,
        options=_options_of(rng, place, first, len(setups)),
        group=group,
        holder=((place % every == 0) | (rng.random(holes) < 0.2)) & ~loose,
        is_deferred=deferred,
        is_set=np.zeros(holes, dtype=np.bool_),
        done=np.zeros(len(milestones), dtype=np.bool_),
        rigged=int(rng.integers(-1, len(setups))),
        start_face=int(rng.integers(0, faces)),
        holders_spare=int(rng.integers(0, 3)),
    )


def _waits(
    rng: np.random.Generator,
    row: NDArray[np.int32],
    group: NDArray[np.int32],
    has_milestone: bool,
) -> tuple[tuple[tuple[Token, Token], ...], NDArray[np.int32]]:
    """What comes first, and the milestone that brings the second row, if any."""
    row_after = np.full(int(row[-1]) + 1, BARE, dtype=np.int32)
    precedence: list[tuple[Token, Token]] = []
    if group.max() == 0:
        return (), row_after
    if rng.random() < 0.6:
        precedence.append((Token(False, 0), Token(False, 1)))
    if has_milestone:
        precedence.append((Token(False, 0), Token(True, 0)))
        if len(row_after) == 2 and not np.any(group[row == 1] == 0):
            row_after[1] = 0
    return tuple(precedence), row_after


def _options_of(
    rng: np.random.Generator, place: NDArray[np.int64], count: int, setups: int
) -> tuple[tuple[int, ...], ...]:
    """Up to three zones along the rows, each with its own choice of setups."""
    zones = np.minimum(place * int(rng.integers(1, 4)) // count, 2)
    menu = [_options(rng, setups) for _ in range(3)]
    return tuple(menu[zone] for zone in zones)


def _setups(rng: np.random.Generator) -> tuple[Setup, ...]:
    return tuple(
        Setup(
            tool=str(rng.choice(["squeezer", "gun"])),
            yoke=str(rng.choice(["short", "long"])),
            dies=str(rng.choice(["3", "4"])),
            gap_mm=float(rng.choice([3.0, 4.0])),
            rivet=str(rng.choice(["3-4", "3-5"])),
            crew=int(rng.integers(1, 3)),
            rivet_s=float(rng.choice([2.0, 3.0, 8.0])),
        )
        for _ in range(int(rng.integers(1, 4)))
    )


def _options(rng: np.random.Generator, setups: int) -> tuple[int, ...]:
    count = int(rng.integers(1, setups + 1))
    return tuple(sorted(int(z) for z in rng.choice(setups, count, replace=False)))


def _costs(rng: np.random.Generator) -> StepCosts:
    def one(*choices: float) -> float:
        return float(rng.choice(choices))

    return StepCosts(
        tool_s=one(0, 1, 20),
        yoke_s=one(0, 2, 30),
        dies_s=one(1, 10),
        gap_s=one(0, 1, 15),
        proof_s=one(0, 1, 10),
        bin_s=one(0, 1, 5),
        crew_s=one(0, 30),
        holder_out_s=one(1, 3),
        holder_in_s=one(1, 5, 12),
        swap_s=one(0, 4, 12),
        speed_mm_s=one(25, 250),
        creep_penalty_s=one(0, 60),
    )

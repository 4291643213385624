"""Small stages by hand: one row of holes at 25 mm, one squeezer, 76 and 38 mm."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

import numpy as np

from rivetwright.model.stage import (
    BARE,
    LETTERS,
    Clamp,
    Creep,
    Milestone,
    Setup,
    Stage,
    StepCosts,
    Steps,
    Token,
)

PITCH_MM = 25.0
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
SHORT = Setup("squeezer", "short", "U4", 4.8, "U4-4", 1, 12.0)
LONGER_RIVET = replace(SHORT, rivet="U4-5")
OTHER_GAP = replace(SHORT, gap_mm=5.6, rivet="U4-5")


def row_stage(
    count: int,
    held: Sequence[int],
    *,
    setups: Sequence[Setup] = (SHORT,),
    options: Sequence[tuple[int, ...]] | None = None,
    **changes: Any,
) -> Stage:
    """One row of so many holes, with holders in some; everything else plain."""
    stage = Stage(
        name="row",
        costs=COSTS,
        clamp=Clamp(76.0, 38.0),
        creep=Creep(70.0, 300.0, 150.0),
        turn_s=np.array([[0.0, 60.0], [60.0, 0.0]]),
        setups=tuple(setups),
        groups=("first", "second"),
        milestones=(),
        precedence=(),
        row_after=np.array([BARE], dtype=np.int32),
        face=np.zeros(count, dtype=np.int32),
        row=np.zeros(count, dtype=np.int32),
        s_mm=np.arange(count) * PITCH_MM,
        x_mm=np.arange(count) * PITCH_MM,
        y_mm=np.zeros(count),
        options=tuple(options or [(0,)] * count),
        group=np.zeros(count, dtype=np.int32),
        holder=np.isin(np.arange(count), list(held)),
        is_deferred=np.zeros(count, dtype=np.bool_),
        is_set=np.zeros(count, dtype=np.bool_),
        done=np.zeros(len(changes.get("milestones", ())), dtype=np.bool_),
        holders_spare=1,
    )
    return replace(stage, **changes)


def with_milestone(count: int, held: Sequence[int]) -> Stage:
    """The row comes with a milestone."""
    return row_stage(
        count,
        held,
        milestones=(Milestone("fit the bracket", 240.0),),
        row_after=np.array([0], dtype=np.int32),
    )


def steps(text: str) -> Steps:
    """Steps from words such as `S0 R1 O0`."""
    return Steps.of((LETTERS.index(w[0]), int(w[1:])) for w in text.split())


def before(first: str, then: str) -> tuple[Token, Token]:
    """A pair of what must come first: `g0`, `m0`."""
    one, two = (Token(word[0] == "m", int(word[1:])) for word in (first, then))
    return one, two

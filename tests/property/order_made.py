"""Random small stages, and the state of a stage after some steps of a plan."""

from __future__ import annotations

from dataclasses import replace
from itertools import islice

import numpy as np

from rivetwright.model.stage import (
    BARE,
    Clamp,
    Creep,
    Kind,
    Milestone,
    Setup,
    Stage,
    StepCosts,
    Steps,
    Token,
)

COSTS = StepCosts(
    *(45.0, 180.0, 40.0, 90.0, 60.0, 20.0, 180.0),
    *(3.0, 5.0, 4.0, 250.0, 60.0),
)
SETUPS = tuple(
    Setup(tool, yoke, "U4", gap_mm, rivet, crew, rivet_s)
    for tool, yoke, gap_mm, rivet, crew, rivet_s in (
        ("squeezer", "short", 4.8, "U4-4", 1, 12.0),
        ("squeezer", "long", 4.8, "U4-4", 1, 12.0),
        ("squeezer", "short", 5.6, "U4-5", 1, 12.0),
        ("gun", None, None, "U4-4", 2, 25.0),
    )
)
PITCHES_MM = (20.0, 25.0, 32.0)
REACH_MM = 76.0


def random_stage(seed: int) -> Stage:
    """One to four rows on one or two faces, with everything a stage may have."""
    rng = np.random.default_rng(seed)
    faces, groups = int(rng.integers(1, 3)), int(rng.integers(1, 4))
    milestones = int(rng.integers(0, 3))
    row_after: list[int] = []
    columns: dict[str, list[object]] = {
        name: []
        for name in ("face", "row", "s", "x", "y", "options", "group", "held", "kept")
    }
    for row in range(int(rng.integers(1, 5))):
        after = int(rng.integers(0, milestones)) if milestones else BARE
        row_after.append(after if rng.random() < 0.25 else BARE)
        _add_row(rng, columns, row, int(rng.integers(0, faces)), groups)
    count = len(columns["s"])
    return Stage(
        name=f"made {seed}",
        costs=COSTS,
        clamp=Clamp(REACH_MM, 38.0),
        creep=Creep(70.0, 300.0, 150.0),
        turn_s=60.0 * (1.0 - np.eye(faces)),
        setups=SETUPS,
        groups=tuple(f"group {k}" for k in range(groups)),
        milestones=tuple(Milestone(f"part {k}", 100.0) for k in range(milestones)),
        precedence=_precedence(rng, groups, milestones, columns, row_after),
        row_after=np.array(row_after, dtype=np.int32),
        face=np.array(columns["face"], dtype=np.int32),
        row=np.array(columns["row"], dtype=np.int32),
        s_mm=np.array(columns["s"], dtype=np.float64),
        x_mm=np.array(columns["x"], dtype=np.float64),
        y_mm=np.array(columns["y"], dtype=np.float64),
        options=tuple(tuple(one) for one in columns["options"]),  # type: ignore[arg-type]
        group=np.array(columns["group"], dtype=np.int32),
        holder=np.array(columns["held"], dtype=np.bool_),
        is_deferred=np.array(columns["kept"], dtype=np.bool_),
        is_set=np.zeros(count, dtype=np.bool_),
        done=np.zeros(milestones, dtype=np.bool_),
        holders_spare=10,
    )


def _add_row(
    rng: np.random.Generator,
    columns: dict[str, list[object]],
    row: int,
    face: int,
    groups: int,
) -> None:
    """One row: a holder in every second to fourth hole, and in both ends."""
    count, pitch_mm = int(rng.integers(1, 14)), float(rng.choice(PITCHES_MM))
    every = min(int(rng.integers(2, 5)), 1 + int(REACH_MM // pitch_mm))
    group = int(rng.integers(0, groups))
    choice = [
        tuple(int(z) for z in one) for one in ((0,), (1, 0), (2,), (3, 1), (2, 3))
    ]
    options = choice[int(rng.integers(0, len(choice)))]
    kept = int(rng.integers(0, count)) if rng.random() < 0.3 else -1
    for k in range(count):
        if rng.random() < 0.15:
            options = choice[int(rng.integers(0, len(choice)))]
        columns["face"].append(face)
        columns["row"].append(row)
        columns["s"].append(k * pitch_mm)
        columns["x"].append(k * pitch_mm)
        columns["y"].append(row * 60.0)
        columns["options"].append(options)
        columns["group"].append(group)
        columns["held"].append(k % every == 0 or k == count - 1)
        columns["kept"].append(k == kept)


def _precedence(
    rng: np.random.Generator,
    groups: int,
    milestones: int,
    columns: dict[str, list[object]],
    row_after: list[int],
) -> tuple[tuple[Token, Token], ...]:
    """Some pairs along one hidden order, which the milestones of rows keep too."""
    tokens = [Token(True, k) for k in range(milestones)]
    tokens += [Token(False, k) for k in range(groups)]
    # Milestones of rows first: whatever a group waits for then lies before it.
    waited = {row_after[int(row)] for row in columns["row"]}  # type: ignore[call-overload]
    ranked = [
        tokens[k]
        for k in sorted(
            range(len(tokens)),
            key=lambda k: (
                not (tokens[k].is_milestone and tokens[k].number in waited),
                rng.random(),
            ),
        )
    ]
    return tuple(
        (ranked[a], ranked[b])
        for a in range(len(ranked))
        for b in range(a + 1, len(ranked))
        if rng.random() < 0.3
    )


def after_steps(stage: Stage, steps: Steps, count: int) -> Stage:
    """The stage as it lies on the bench after the first steps of a plan."""
    holder, is_set = stage.holder.copy(), stage.is_set.copy()
    done, spare = stage.done.copy(), stage.holders_spare
    rigged, face = stage.rigged, stage.start_face
    for kind, index in islice(steps, count):
        if kind == Kind.RIG:
            rigged = index
        elif kind == Kind.FACE:
            face = index
        elif kind == Kind.MILESTONE:
            done[index] = True
        elif kind == Kind.SET:
            is_set[index] = True
        else:
            holder[index] = kind == Kind.IN
            spare += 1 if kind == Kind.OUT else -1
    return replace(
        stage,
        holder=holder,
        is_set=is_set,
        done=done,
        rigged=rigged,
        start_face=face,
        holders_spare=spare,
    )

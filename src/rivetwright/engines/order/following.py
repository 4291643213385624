"""What is left of an order that was begun, gone on with from the state that is there.

As long as what was done keeps its rules nothing is worked out anew: the rest of the
order stays as it was told.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

import numpy as np

from rivetwright.engines.order.checker import START, check_plan
from rivetwright.engines.order.from_plan import Staged
from rivetwright.engines.order.said import cards_of
from rivetwright.engines.order.step_plan import StepPlan
from rivetwright.engines.order.steps import Steps, cost_of
from rivetwright.model.stage import Kind


def followed(begun: StepPlan, now: Staged) -> StepPlan | None:
    """What is left of an order that was begun.

    Args:
        begun: the order as the step began.
        now: the stage as it lies on the bench.

    Returns:
        The rest, allowed by the checker; None where it cannot be gone on with.
    """
    if begun.staged.ways != now.ways or begun.staged.holes != now.holes:
        return None
    there = _with_holders(begun, now)
    stage = there.stage
    left = list(_left(begun, there))
    steps = Steps.of(_without_idle(left, stage.rigged, stage.start_face))
    verdict = check_plan(stage, steps)
    if any(one.step != START for one in verdict.stopped):
        return None
    ordered = replace(begun.ordered, steps=steps, cost=cost_of(stage, steps))
    if len(steps) < len(begun.ordered.steps):
        # The bound was that of the whole.
        ordered = replace(ordered, bound_s=0.0)
    return StepPlan(there, ordered, cards_of(there, ordered))


def _left(begun: StepPlan, there: Staged) -> Iterator[tuple[int, int]]:
    """Steps of an order that still have to be done."""
    stage = there.stage
    held = stage.holder.copy()
    for kind, index in begun.ordered.steps:
        if kind in (Kind.RIG, Kind.FACE):
            yield kind, index
        elif kind == Kind.MILESTONE:
            if not stage.done[index]:
                yield kind, index
        elif kind == Kind.SET:
            if not stage.is_set[index]:
                yield kind, index
        elif kind == Kind.OUT and held[index]:
            held[index] = False
            yield kind, index
        elif kind == Kind.IN and not held[index] and not stage.is_set[index]:
            held[index] = True
            yield kind, index


def _with_holders(begun: StepPlan, now: Staged) -> Staged:
    """Now, with the holders that the order put in where the record says nothing."""
    stage = now.stage
    put_in = {now.holes.index(hole) for hole in now.to_put_in}
    recorded = stage.holder.copy()
    recorded[list(put_in)] = False
    holder = recorded.copy()
    rows = stage.row
    known = set(rows[recorded].tolist())
    for hole in np.flatnonzero(begun.staged.stage.holder).tolist():
        if int(rows[hole]) not in known:
            holder[hole] = not stage.is_set[hole]
    added = np.flatnonzero(holder & ~recorded).tolist()
    spare = stage.holders_spare + len(put_in) - len(added)
    return replace(
        now,
        stage=replace(stage, holder=holder, holders_spare=max(0, spare)),
        to_put_in=tuple(now.holes[k] for k in added),
    )


def _without_idle(
    steps: Sequence[tuple[int, int]], rigged: int, face: int
) -> list[tuple[int, int]]:
    """Steps without set-ups and turns after which nothing is done."""
    kept: list[tuple[int, int]] = []
    rig: tuple[int, int] | None = None
    turn: tuple[int, int] | None = None
    for one in steps:
        if one[0] == Kind.RIG:
            rig = one
        elif one[0] == Kind.FACE:
            turn = one
        else:
            if turn and turn[1] != face:
                kept.append(turn)
                face = turn[1]
            if rig and one[0] == Kind.SET and rig[1] != rigged:
                kept.append(rig)
                rigged = rig[1]
            turn = None
            kept.append(one)
    return kept

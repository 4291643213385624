"""What a whole step waits for: kits, parts and tools that its line names."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from rivetwright.engines.work.stand import Stand
from rivetwright.engines.work.waits import (
    DELIVERY,
    FREE,
    INSPECTOR,
    PART,
    SECOND,
    TOOL,
    HoleWaits,
    Wait,
    deliveries_of,
    part_wait,
    tool_wait,
)
from rivetwright.engines.work.ways import HoleWays
from rivetwright.model.shop import Shop
from rivetwright.model.step import Need, Step


def step_waits(
    stand: Stand, shop: Shop | None, waits: HoleWaits, ways: HoleWays
) -> dict[int, tuple[Wait, ...]]:
    """What each step waits for as a whole, by its index.

    A need that some holes of the step wait for by name is theirs alone: a bar for hole
    8 keeps no other hole waiting. So is a helper where the tools say for which holes.

    Args:
        stand: how the assembly stands.
        shop: what is owned; None: nothing is said about tools.
        waits: what its holes wait for.
        ways: how its holes are set.

    Source: the plan, the record.
    """
    found = {}
    for k, step in enumerate(stand.worked_plan.worked.plan.steps):
        if step.needs:
            here = np.flatnonzero(stand.holes.step == k)
            named = {
                waits.waits[at].name
                for at in np.unique(waits.of_hole[here]).tolist()
                if at != FREE
            }
            of_holes = np.unique(ways.of_hole[here]).tolist()
            takes_two = any(ways.ways[at].people > 1 for at in of_holes)
            lacking = tuple(
                wait
                for wait in _lacking(stand, shop, step)
                if wait.name not in named and not (wait.kind == SECOND and takes_two)
            )
            if lacking:
                found[k] = lacking
    return found


def _lacking(stand: Stand, shop: Shop | None, step: Step) -> Iterator[Wait]:
    for need in step.needs:
        wait = _of_need(stand, shop, step, need)
        if wait is not None:
            yield wait


def _of_need(stand: Stand, shop: Shop | None, step: Step, need: Need) -> Wait | None:
    if need.kind in (PART, DELIVERY):
        told = deliveries_of(stand).get(need.name)
        return part_wait(need.name, told, need.kind)
    if need.kind == TOOL:
        return tool_wait(need.name, shop.tools) if shop else None
    if need.kind == SECOND:
        return Wait(SECOND, "", need.note)
    is_signed = stand.signed.get(step.name, False)
    if need.kind == INSPECTOR and not is_signed:
        return Wait(INSPECTOR, step.name, need.note)
    return None

"""By which way each hole is set with what is owned: tools, people, noise."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rivetwright.engines.reach.fit import CLEAR, NO, TIGHT, Fits, fits
from rivetwright.engines.reach.ways import ways_of
from rivetwright.engines.work.stand import Stand
from rivetwright.engines.work.waits import OWNED
from rivetwright.model.shop import Shop
from rivetwright.standards.reach import Way
from rivetwright.standards.work import usual_rate

SQUEEZER, PULLER = "squeezer", "puller"


@dataclass(frozen=True)
class SetWay:
    """How holes are set: any one of these tools, by this way.

    `quiet_way` is one that makes no noise with the same tools; empty where there is
    none. `people` counts who is needed.
    """

    tools: tuple[str, ...]
    way: str
    people: int
    is_noisy: bool
    quiet_way: str = ""


@dataclass(frozen=True)
class HoleWays:
    """For each hole an index into `ways`, shape (holes,)."""

    ways: tuple[SetWay, ...]
    of_hole: NDArray[np.int32]


def hole_ways(stand: Stand, shop: Shop | None) -> HoleWays:
    """The way of each hole: that of the plan's tool where it gets there.

    Any yoke may do what the plan names a yoke for. Without a shop the plan's tools
    are taken as squeezers, or pullers for blind rivets.

    Args:
        stand: how the assembly stands.
        shop: what is owned; None: as the plan names tools.

    Source: engines.reach; ways.csv; JUDGEMENT for the choice.
    """
    worked = stand.worked_plan.worked
    planned = [row.access.tools if row.access else () for row in worked.plan.rows]
    names = {tools: k for k, tools in enumerate(dict.fromkeys(planned))}
    by_row = np.array([names[tools] for tools in planned], dtype=np.int64)
    solid = worked.of_holes("is_solid").astype(bool)
    second = solid.astype(np.int64)
    found: Fits | None = None
    if shop is not None and worked.shop is not None and fits(worked).tools:
        found = fits(worked)
        second = found.patterns[1]
    helped = _helped(stand)
    keys = np.column_stack((by_row[stand.holes.row], second, solid, helped))
    pairs, of_hole = np.unique(keys, axis=0, return_inverse=True)
    told = list(names)
    ways = tuple(
        _by_reach(found, shop, told[plan], found.patterns[0][pattern])
        if found is not None and shop is not None
        else _as_planned(told[plan], bool(is_solid), bool(is_helped))
        for plan, pattern, is_solid, is_helped in pairs.tolist()
    )
    return HoleWays(ways, of_hole.reshape(-1).astype(np.int32))


def _helped(stand: Stand) -> NDArray[np.bool_]:
    """Holes of steps that need a helper, shape (holes,)."""
    steps = [
        any(need.kind == "helper" for need in step.needs)
        for step in stand.worked_plan.worked.plan.steps
    ]
    return np.array([*steps, False], dtype=bool)[stand.holes.step]


def _as_planned(tools: tuple[str, ...], is_solid: bool, is_helped: bool) -> SetWay:
    way = SQUEEZER if is_solid else PULLER
    noisy = usual_rate(way).value.is_noisy
    return SetWay(tools, way, 2 if is_helped else 1, noisy)


def _by_reach(
    found: Fits, shop: Shop, planned: tuple[str, ...], pattern: NDArray[np.int8]
) -> SetWay:
    """The way with the tools that get there: planned ones first, clear before tight.

    Where no owned tool gets there, those on order are taken: the work waits for them.
    """
    fit = dict(zip(found.tools, pattern.tolist(), strict=True))
    reaching = [t for t, k in fit.items() if k >= TIGHT]
    named = [t for t, k in fit.items() if t.id in planned and k != NO]
    owned = [t for t in reaching if t.state == OWNED]
    useful = owned or [t for t in named if t.state == OWNED] or reaching or named
    kinds = {t.kind for t in named if t in useful} or {t.kind for t in useful}
    kind = next((k for k in ("yoke", "back-rivet", "puller", "bar") if k in kinds), "")
    of_kind = [t for t in useful if t.kind == kind]
    if not of_kind:
        return SetWay(planned, "", 1, False)
    clear = [t for t in of_kind if fit[t] == CLEAR or t.id in planned] or of_kind
    first = [t for t in clear if t.id in planned]
    ways = [looked.value for looked in ways_of(clear[0], shop)]
    best = ways[0]
    ordered = [*first, *(t for t in clear if t not in first)]
    return SetWay(
        tuple(tool.id for tool in ordered),
        best.name,
        2 if best.takes_two else 1,
        best.is_noisy,
        _quiet(ways),
    )


def _quiet(ways: list[Way]) -> str:
    """The first way that makes no noise; empty where none does."""
    return next((way.name for way in ways if not way.is_noisy), "")

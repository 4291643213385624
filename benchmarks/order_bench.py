"""Order stages of setting: how near to the proven bound, and in how many seconds.

The development stages, and fresh ones whose seeds were not used while building. In
the same run: the nearest next rivet, a row at a time, and OR-Tools routing.
"""

from __future__ import annotations

import json
import os
import statistics
import time
from collections.abc import Callable, Iterator
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from multiprocessing import get_context
from pathlib import Path

from benchmarks.order_rivals import (
    Choice,
    NoOrder,
    follow,
    nearest_next,
    routing,
    row_at_a_time,
)
from benchmarks.order_stages import KINDS, fresh_airframe, fresh_stage
from benchmarks.report import Entry
from rivetwright.engines.order.blocks import Classes
from rivetwright.engines.order.checker import check_plan
from rivetwright.engines.order.plan import Ordered, order
from rivetwright.engines.order.plan_set import order_set
from rivetwright.engines.order.stage import Tables
from rivetwright.engines.order.steps import Steps, cost_of
from rivetwright.intake.order_file import read_stages
from rivetwright.model.stage import Stage

INSTANCES = Path(__file__).parent / "order"
SIZES = (50, 100, 150, 300, 600)
FRESH = 60
# Far from every seed that a stage was looked at with while the engine was built.
SEED = 77_000
LARGE, AIRFRAME = 2000, 15_000
ROUTING_S = 5.0
ROUTING_MOST = 300  # holes; above it finds nothing better than its start in time
NEAR_RATIO = 1.05

_Rival = Callable[[Classes], list[Choice]]


@dataclass(frozen=True)
class Measured:
    """One stage: its ratio to the bound, seconds, breaches, and the others' ratios."""

    name: str
    holes: int
    ratio: float
    seconds: float
    breaches: int
    rivals: dict[str, float]


def solved(stage: Stage) -> tuple[Ordered, float]:
    """The order of a stage, and how long it took [s]."""
    begun = time.perf_counter()
    ordered = order(stage)
    seconds = time.perf_counter() - begun
    assert check_plan(stage, ordered.steps).is_allowed, stage.name
    return ordered, seconds


def measured(stage: Stage, *, with_routing: bool = True) -> Measured:
    """One stage by the engine and by the others."""
    ordered, seconds = solved(stage)
    classes = Classes(Tables(stage))
    ways: dict[str, _Rival] = {"nearest": nearest_next, "rows": row_at_a_time}
    if with_routing and len(stage) <= ROUTING_MOST:
        ways["routing"] = lambda one: routing(one, ROUTING_S)
    rivals = {
        name: cost_s / ordered.bound_s
        for name, way in ways.items()
        if (cost_s := _rival_s(classes, way)) is not None
    }
    breaches = len(ordered.cost.breaches)
    return Measured(stage.name, len(stage), ordered.ratio, seconds, breaches, rivals)


def _rival_s(classes: Classes, way: _Rival) -> float | None:
    """What another way costs [s]; None where it keeps no rules."""
    try:
        steps: Steps = follow(classes, way(classes))
    except NoOrder:
        return None
    stage = classes.tables.stage
    assert check_plan(stage, steps).is_allowed, stage.name
    return cost_of(stage, steps).objective_s


def told(one: Measured) -> Measured:
    """Print a line about a stage."""
    others = " ".join(f"{name} {ratio:.3f}" for name, ratio in one.rivals.items())
    print(
        f"{one.name:24} {one.holes:6} holes  {one.ratio:.4f}  {one.seconds:6.1f} s  "
        f"{one.breaches} against rule C   {others}",
        flush=True,
    )
    return one


def fresh(count: int, sizes: tuple[int, ...] = SIZES) -> list[Stage]:
    """So many fresh stages, sizes and kinds in turn."""
    kinds = list(KINDS)
    return [
        fresh_stage(kinds[k % len(kinds)], sizes[k // 4 % len(sizes)], SEED + k)
        for k in range(count)
    ]


def _all_measured(stages: list[Stage]) -> list[Measured]:
    """Stages side by side, one for each processor."""
    with ProcessPoolExecutor(
        os.cpu_count() or 1, mp_context=get_context("spawn")
    ) as pool:
        return [told(one) for one in pool.map(measured, stages)]


def _of_files(pattern: str) -> list[Stage]:
    read = [read_stages(path) for path in sorted(INSTANCES.glob(pattern))]
    return [one for one in read if isinstance(one, Stage)]


def _entries_of_stages(stages: list[Measured], dev: list[Measured]) -> Iterator[Entry]:
    ratios = [one.ratio for one in stages]
    beside: dict[str, float | int | str] = {
        f"{name}_mean_ratio": statistics.mean(values)
        for name in ("nearest", "rows", "routing")
        if (values := [one.rivals[name] for one in stages if name in one.rivals])
    }
    for one in dev:
        beside[f"{one.name}_ratio"] = one.ratio
    seconds = sorted(one.seconds for one in stages)
    beside["stage_seconds_most"] = seconds[-1]
    worst = max(stages, key=lambda one: one.ratio)
    near = sum(ratio <= NEAR_RATIO for ratio in ratios) / len(ratios)
    yield Entry("order_stages_count", len(stages))
    yield Entry("order_mean_ratio", statistics.mean(ratios), beside)
    yield Entry("order_share_within_1_05", near)
    yield Entry("order_worst_ratio", worst.ratio, {"stage": worst.name})
    most = max(stages, key=lambda one: one.breaches)
    yield Entry("order_breaches_most_count", most.breaches, {"stage": most.name})


def _entry_of_twelve() -> Entry:
    """Twelve holes against the optimum, which an exhaustive search proved."""
    known = json.loads((INSTANCES / "known.json").read_text("utf-8"))
    ratios = {}
    for stage in _of_files("tiny-*.json"):
        ordered, _ = solved(stage)
        ratios[stage.name] = ordered.cost.objective_s / known[stage.name]["optimum_s"]
    beside: dict[str, float | int | str] = {**ratios}
    return Entry("order_twelve_holes_worst_ratio", max(ratios.values()), beside)


def _entry_of_first() -> Entry:
    """The first order that can be used, of the largest of the common stages."""
    seconds = {}
    for kind in KINDS:
        stage = fresh_stage(kind, SIZES[-1], SEED)
        begun = time.perf_counter()
        order(stage, work=0.0)
        seconds[stage.name] = time.perf_counter() - begun
    beside: dict[str, float | int | str] = {**seconds}
    return Entry("order_first_600_holes_seconds", max(seconds.values()), beside)


def _entries_of_large() -> Iterator[Entry]:
    ordered, seconds = solved(fresh_stage("skin", LARGE, SEED))
    print(f"{LARGE} holes: {ordered.ratio:.4f} in {seconds:.1f} s", flush=True)
    yield Entry("order_2000_holes_ratio", ordered.ratio)
    yield Entry("order_2000_holes_seconds", seconds)
    airframe = fresh_airframe(AIRFRAME, SEED)
    begun = time.perf_counter()
    orders = order_set(airframe, processes=os.cpu_count() or 1)
    seconds = time.perf_counter() - begun
    pairs = zip(airframe.stages, orders.orders, strict=True)
    assert all(check_plan(stage, one.steps).is_allowed for stage, one in pairs)
    ratio = orders.cost_s / orders.bound_s
    print(f"{AIRFRAME} holes: {ratio:.4f} in {seconds:.1f} s", flush=True)
    beside = {"stages": len(airframe.stages), "minutes": orders.cost_s / 60.0}
    yield Entry("order_15000_holes_ratio", ratio, beside)
    yield Entry("order_15000_holes_seconds", seconds, beside)


def measure(is_quick: bool) -> list[Entry]:
    """Every figure about the order of setting."""
    if is_quick:
        for stage in fresh(4, SIZES[:1]):
            told(measured(stage, with_routing=False))
        return []
    dev = _all_measured(_of_files("dev*.json"))
    stages = _all_measured(fresh(FRESH))
    return [
        *_entries_of_stages(stages, dev),
        _entry_of_twelve(),
        _entry_of_first(),
        *_entries_of_large(),
    ]

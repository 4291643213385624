"""The squeezer's set-ups of a plan with many stacks, beside trying everything.

Every hole has a stack of its own, so that none is answered by another's. Timed is
what the search does: combination, gap, head and force with their ranges, least
pressure, for every class in every yoke of every squeezer. The plan itself is worked
out before. Brute force tries every combination for a sample of the classes and is
multiplied up; it must choose the same gaps.
"""

from __future__ import annotations

import os
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import chain, combinations, product
from statistics import median
from time import perf_counter

import numpy as np

from benchmarks.report import Entry
from rivetwright.engines.plan import work_out
from rivetwright.engines.squeeze.batch import Batch
from rivetwright.engines.squeeze.set_ups import SetUps, set_ups
from rivetwright.engines.squeeze.stacking import die_pairs, for_rivet
from rivetwright.engines.worked import Worked
from rivetwright.model.pattern import Counted
from rivetwright.model.plan import Part, Plan, Project, Row, Sheet
from rivetwright.model.shop import Die, Shop, Squeezer, Tool
from rivetwright.model.step import Step
from rivetwright.standards.codes import RivetCode, rivet_code
from rivetwright.standards.lengths import round_length_16ths
from rivetwright.units.tolerance import TOLERANCE_MM

MIL = 0.0254
IN = 25.4
HOLES, QUICK_HOLES = 15_000, 1_000
FAMILIES = (("MS20470", 3), ("MS20470", 4), ("MS20426", 3), ("MS20426", 4))
REPEATS = 5
SAMPLE = 40
CARDS = 200


@dataclass(frozen=True)
class Timed:
    """What was measured on one plan."""

    seconds: float
    classes: int
    set_ups: int
    card_us: float
    brute_seconds: float
    differing: int


def stacks_plan(hole_count: int) -> Plan:
    """A plan of single holes, each through two sheets of thicknesses of its own.

    INVENTED; sheets run from 0.016 in upward in steps of a ten-thousandth.
    """
    parts, rows = [], []
    for k in range(hole_count):
        thin, thick = 0.016 * IN + k % 500 * 0.00254, 0.040 * IN + k // 500 * 0.0254
        for name, thickness in ((f"a{k}", thin), (f"b{k}", thick)):
            parts.append(Part(name, "sheet", thickness, "2024-T3"))
        standard, diameter = FAMILIES[k % len(FAMILIES)]
        wanted_mm = thin + thick + 1.5 * diameter * IN / 32
        length = round_length_16ths(wanted_mm).value
        code = rivet_code(standard, "AD", diameter, length)
        how = "dimple" if code.is_flush else "plain"
        stack = (Sheet(f"a{k}", how), Sheet(f"b{k}", how))
        rows.append(Row(f"id {k}", f"R{k}", code, Counted(1), "1", stack=stack))
    return Plan(
        "made-up",
        "made up for measuring",
        Project("00000000-0000-0000-0000-000000000000", "made up"),
        "in",
        tuple(parts),
        (),
        tuple(rows),
        (Step("1", "set everything"),),
    )


def made_up_shop() -> Shop:
    """Three yokes, two squeezers, six dies, two pins, six shims; INVENTED."""
    flats = [Die("flat", mils * MIL) for mils in (125, 250, 375, 500)]
    cups = [Die("cup", 240 * MIL, 3), Die("cup", 230 * MIL, 4)]
    yokes = [
        Tool("Y1", "yoke", reach_mm=1.5 * IN, closed_height_mm=760 * MIL),
        Tool("Y2", "yoke", reach_mm=3 * IN, closed_height_mm=760 * MIL),
        Tool("Y3", "yoke", closed_height_mm=455 * MIL, has_fixed_die=True),
    ]
    squeezers = (
        Squeezer("air", "pneumatic", 13_345.0, 620.5, 0.5625 * IN, 4),
        Squeezer("hand", "hand", diameter_32nds_max=4),
    )
    return Shop(
        "shop",
        "made up",
        "in",
        tools=tuple(yokes),
        squeezers=squeezers,
        dies=(*flats, *cups),
        shims_mm=tuple(mils * MIL for mils in (5, 10, 15, 20, 32, 63)),
        pins_mm=(0.0, 250 * MIL),
    )


def _read(found: SetUps) -> None:
    """Ask for the columns that are worked out when they are asked for."""
    for batch in found.batches:
        _ = batch.least_pressure_kpa, batch.holds


def _sets(shims_mm: Sequence[float]) -> list[float]:
    """Thickness of every set of shims."""
    sizes = range(len(shims_mm) + 1)
    every = chain.from_iterable(combinations(shims_mm, n) for n in sizes)
    return [sum(used) for used in every]


def brute_gap_mm(worked: Worked, shop: Shop, batch: Batch, row: int) -> float:
    """Widest gap that keeps the band, clear of its limits where one does [mm]."""
    code = worked.stacks.classes[int(batch.needs.classes[row])].callout
    assert isinstance(code, RivetCode)
    wanted = for_rivet(code.diameter_32nds, code.is_flush)
    need = batch.needs.part(np.array([row]))
    band = need.asked(batch.spring.mm_n, np.zeros(1))
    height = batch.yoke.closed_height_mm or 0.0
    pairs = die_pairs(shop.dies, wanted, jaw_is_die=batch.yoke.has_fixed_die)
    pins, shims = shop.pins_mm, _sets(shop.shims_mm)
    gaps = [
        height - (fixed.length_mm if fixed else 0.0) - ram.length_mm - pin - shim
        for (fixed, ram), pin, shim in product(pairs, pins, shims)
    ]
    for low, high in (
        (band.clear_low_mm[0], band.clear_high_mm[0]),
        (band.low_mm[0], band.high_mm[0]),
    ):
        inside = [
            gap for gap in gaps if low - TOLERANCE_MM <= gap <= high + TOLERANCE_MM
        ]
        if inside:
            return max(inside)
    return np.nan


def _beside(worked: Worked, shop: Shop, found: SetUps) -> tuple[float, int]:
    """Seconds of brute force for all, from a sample; and how many gaps differ."""
    differing, tried = 0, 0
    start = perf_counter()
    for batch in found.batches:
        for row in np.linspace(0, len(batch) - 1, SAMPLE, dtype=int).tolist():
            widest = brute_gap_mm(worked, shop, batch, row)
            tried += 1
            # A thousandth of an inch narrower may cost fewer shims.
            off = widest - batch.gap_mm[row]
            is_same = -TOLERANCE_MM <= off <= MIL + TOLERANCE_MM
            is_lost = np.isnan(widest) and batch.rule[row] > 1
            differing += not (is_same or is_lost)
    each = (perf_counter() - start) / tried
    return each * len(found), differing


def time_set_ups(hole_count: int) -> Timed:
    """Work a plan out, then time its set-ups; the middle of some runs."""
    shop = made_up_shop()
    worked = work_out(stacks_plan(hole_count)).worked
    seconds = []
    for _ in range(REPEATS):
        start = perf_counter()
        found = set_ups(worked, shop)
        _read(found)
        seconds.append(perf_counter() - start)
    start = perf_counter()
    cards = np.linspace(0, len(found) - 1, CARDS, dtype=int).tolist()
    for k in cards:
        _ = found[k]
    card_us = (perf_counter() - start) / CARDS * 1e6
    brute_seconds, differing = _beside(worked, shop, found)
    return Timed(
        median(seconds),
        len(worked.stacks.classes),
        len(found),
        card_us,
        brute_seconds,
        differing,
    )


def measure(is_quick: bool) -> list[Entry]:
    """Measure and print; the figures named in goals.toml."""
    timed = time_set_ups(QUICK_HOLES if is_quick else HOLES)
    print(f"Set-ups of the squeezer, {os.cpu_count()} cores")
    print(f"classes of holes              {timed.classes:>12}")
    print(f"set-ups                       {timed.set_ups:>12}")
    print(f"all of them, s                {timed.seconds:>12.3f}")
    print(f"one opened to its card, us    {timed.card_us:>12.0f}")
    print(f"brute force for all, s        {timed.brute_seconds:>12.1f}")
    print(f"gaps that differ from it      {timed.differing:>12}", flush=True)
    beside = {
        "classes": float(timed.classes),
        "set_ups": float(timed.set_ups),
        "one_card_us": timed.card_us,
        "brute_force_s": timed.brute_seconds,
        "brute_force_over_ours": timed.brute_seconds / timed.seconds,
    }
    return [
        Entry("squeeze_15000_holes_seconds", timed.seconds, beside),
        Entry("squeeze_gaps_differing_count", float(timed.differing)),
    ]

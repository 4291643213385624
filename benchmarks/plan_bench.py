"""Working a plan out: seconds, peak memory and growth, beside the geometry library.

Every size runs in a process of its own, so that its highest memory is its own. A
plain loop over shapely and a vectorised shapely version answer the geometric part
of the same plan in the same run: stack, edge distance and nearest hole.
"""

from __future__ import annotations

import json
import math
import os
import subprocess
import sys
from collections.abc import Mapping

import numpy as np

from benchmarks.report import ROOT, Entry

SIZES = (1_000, 15_000, 100_000, 1_000_000)
QUICK_SIZES = SIZES[:2]
GROWTH_FROM = 15_000

Measured = Mapping[str, float]


def in_own_process(what: str, count: int = 0) -> dict[str, float]:
    """Run one measurement of `benchmarks.plan_runs` in a fresh process."""
    command = [sys.executable, "-m", "benchmarks.plan_runs", what, str(count)]
    done = subprocess.run(
        command, cwd=ROOT, stdout=subprocess.PIPE, text=True, check=True
    )
    return dict(json.loads(done.stdout))


def growth_exponent(counts: list[float], seconds: list[float]) -> float:
    """Slope of log(seconds) over log(holes); 1 is time in proportion."""
    if len(counts) < 2:
        return math.nan
    return float(np.polyfit(np.log(counts), np.log(seconds), 1)[0])


def _line(ours: Measured, loop: Measured, vectorised: Measured) -> str:
    """One size as a line of the printed table."""
    seconds, alone = ours["seconds"], ours["geometry_s"]
    return (
        f"{ours['holes']:>9.0f}{ours['parts']:>7.0f}{ours['classes']:>8.0f}"
        f"{ours['findings']:>9.0f}{seconds:>8.2f}{ours['processor_s']:>8.2f}"
        f"{ours['peak_gib']:>6.2f}"
        f"{ours['holes'] / seconds:>9.0f}{alone:>8.2f}"
        f"{loop['seconds']:>8.2f}{loop['seconds'] / alone:>6.1f}"
        f"{vectorised['seconds']:>8.2f}{vectorised['seconds'] / alone:>6.1f}"
        f"{vectorised['peak_gib']:>6.2f}"
    )


HEADINGS = (
    f"{'holes':>9}{'parts':>7}{'classes':>8}{'findings':>9}{'all s':>8}{'cpu s':>8}"
    f"{'GiB':>6}"
    f"{'holes/s':>9}{'geom s':>8}{'loop s':>8}{'ratio':>6}{'vect s':>8}{'ratio':>6}"
    f"{'GiB':>6}"
)
FOOT = """\
all: every column and every finding, from plan in memory to answers in memory; cpu:
the processor's seconds for it, which other work on the machine does not lengthen.
geom: of these only stack, edge distance and nearest hole, which is what is asked of
shapely: loop, a plain loop (tree query, distance) measured on a sample of the holes
and multiplied up; vect, vectorised. Ratio: their seconds over geom."""


def _beside(ours: Measured, loop: Measured, vectorised: Measured) -> dict[str, float]:
    """What was measured beside one size, for the report; JSON has no word for nan."""
    measured = {
        "processor_s": ours["processor_s"],
        "first_run_s": ours["first_run_s"],
        "peak_gib": ours["peak_gib"],
        "holes_per_s": ours["holes"] / ours["seconds"],
        "geometry_alone_s": ours["geometry_s"],
        "shapely_loop_us_per_hole": 1e6 * loop["seconds"] / ours["holes"],
        "shapely_loop_over_geometry_alone": loop["seconds"] / ours["geometry_s"],
        "shapely_loop_over_all": loop["seconds"] / ours["seconds"],
        "shapely_vectorised_s": vectorised["seconds"],
        "shapely_vectorised_over_geometry_alone": vectorised["seconds"]
        / ours["geometry_s"],
        "shapely_vectorised_over_all": vectorised["seconds"] / ours["seconds"],
        "shapely_edge_differs_mm": vectorised["edge_differs_mm"],
    }
    return {name: value for name, value in measured.items() if math.isfinite(value)}


def measure(is_quick: bool) -> list[Entry]:
    """Measure all sizes and print the table; the figures named in goals.toml."""
    print(f"Plans worked out, {os.cpu_count()} cores\n{HEADINGS}", flush=True)
    seconds, besides, peaks = {}, {}, {}
    for count in QUICK_SIZES if is_quick else SIZES:
        ours = in_own_process("work_out", count)
        loop = in_own_process("shapely_loop", count)
        vectorised = in_own_process("shapely_vectorised", count)
        print(_line(ours, loop, vectorised), flush=True)
        seconds[count] = ours["seconds"]
        peaks[count] = ours["peak_gib"]
        besides[count] = _beside(ours, loop, vectorised)
    print(FOOT)
    apart = in_own_process("files_and_maps")
    for name, value in apart.items():
        print(f"apart from that, {name.replace('_', ' ')}: {value:.4g}")
    grown = [count for count in seconds if count >= GROWTH_FROM]
    exponent = growth_exponent([*map(float, grown)], [seconds[n] for n in grown])
    print(f"growth exponent from {GROWTH_FROM} holes: {exponent:.2f}")
    nothing = math.nan
    return [
        Entry(
            "plan_15000_holes_seconds",
            seconds.get(15_000, nothing),
            {**besides.get(15_000, {}), **apart},
        ),
        Entry(
            "plan_1000000_holes_seconds",
            seconds.get(SIZES[-1], nothing),
            besides.get(SIZES[-1], {}),
        ),
        Entry("plan_1000000_peak_gib", peaks.get(SIZES[-1], nothing)),
        Entry(
            "plan_growth_exponent",
            exponent,
            {f"{count}_holes_s": value for count, value in seconds.items()},
        ),
    ]

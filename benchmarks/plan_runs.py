"""One measurement in one process: `python -m benchmarks.plan_runs WHAT HOLES`.

Prints a JSON line. `benchmarks.plan_bench` starts it.
"""

from __future__ import annotations

import json
import math
import statistics
import sys
from collections.abc import Callable
from time import perf_counter, process_time

import numpy as np

from benchmarks import shapely_versions
from benchmarks.plans import made_up_plan
from benchmarks.report import ROOT
from rivetwright.drawing.hole_map import hole_map_svg
from rivetwright.engines.plan import work_out
from rivetwright.engines.worked import Worked
from rivetwright.intake.plan_file import read_plan
from rivetwright.model.columns import expand
from rivetwright.model.plan import Plan

# Small sizes are run again: the clock and the other core disturb them most.
SMALL, RUNS = 100_000, 5
SAMPLE = 2_000
EXAMPLES = ROOT / "examples" / "ostrel"
ASSEMBLIES = ("aileron", "flap", "root-rib")

Measured = dict[str, float]


def peak_gib() -> float:
    """Highest memory of this process so far [GiB]; NaN where the system keeps none."""
    try:
        import resource
    except ImportError:  # Windows
        return math.nan
    most = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    return most / 2**30 if sys.platform == "darwin" else most / 2**20


def seconds_of(what: Callable[[Plan], object], plan: Plan, count: int) -> list[float]:
    """How long a run takes, for small plans several times [s]."""
    runs = []
    for _ in range(RUNS if count <= SMALL else 1):
        start = perf_counter()
        what(plan)
        runs.append(perf_counter() - start)
    return runs


def geometry_alone(plan: Plan) -> None:
    """What the shapely versions answer too: stack, edge distance, nearest hole."""
    worked = Worked(plan)
    for name in ("edge_distance_mm", "pitch_mm"):
        _ = worked[name]


def measured_work_out(count: int) -> Measured:
    """Frozen plan to all columns and findings, the middle of several runs."""
    plan = made_up_plan(count)
    busy = process_time()
    runs = seconds_of(work_out, plan, count)
    busy = (process_time() - busy) / len(runs)
    peak = peak_gib()
    alone = seconds_of(geometry_alone, plan, count)
    worked_plan = work_out(plan)
    return {
        "holes": len(worked_plan.worked.holes),
        "parts": len(plan.parts),
        "classes": len(worked_plan.worked.stacks.classes),
        "findings": len(worked_plan.findings),
        "seconds": statistics.median(runs),
        "processor_s": busy,
        "first_run_s": runs[0],
        "geometry_s": statistics.median(alone),
        "peak_gib": peak,
    }


def measured_loop(count: int) -> Measured:
    """The plain loop on a sample of the holes, multiplied up to all of them."""
    plan = made_up_plan(count)
    holes = expand(plan)
    sample = np.linspace(0, len(holes) - 1, min(SAMPLE, len(holes))).astype(np.int64)
    start = perf_counter()
    faces = shapely_versions.prepare(plan, holes)
    prepared = perf_counter()
    shapely_versions.answer_one_by_one(faces, holes, sample)
    per_hole = (perf_counter() - prepared) / len(sample)
    return {"seconds": prepared - start + per_hole * len(holes)}


def measured_vectorised(count: int) -> Measured:
    """The vectorised version on all holes; its edge distances against ours."""
    plan = made_up_plan(count)
    holes = expand(plan)
    start = perf_counter()
    edge_mm = shapely_versions.answer_together(plan, holes)
    seconds, peak = perf_counter() - start, peak_gib()
    differs = math.nan
    if count <= SMALL:
        ours_mm = work_out(plan).worked["edge_distance_mm"]
        differs = float(np.abs(ours_mm - edge_mm).max())
    return {"seconds": seconds, "peak_gib": peak, "edge_differs_mm": differs}


def measured_files_and_maps(_: int) -> Measured:
    """Reading the example files and drawing all their hole maps [ms]."""
    start = perf_counter()
    plans = [read_plan(EXAMPLES / f"{name}.yaml") for name in ASSEMBLIES]
    read = perf_counter()
    worked = [work_out(plan) for plan in plans]
    ready = perf_counter()
    for one in worked:
        for face in one.worked.plan.faces:
            hole_map_svg(one, face.name)
    drawn = perf_counter()
    return {
        "example_holes": sum(len(one.worked.holes) for one in worked),
        "reading_example_files_ms": 1000 * (read - start),
        "drawing_example_maps_ms": 1000 * (drawn - ready),
    }


MEASUREMENTS: dict[str, Callable[[int], Measured]] = {
    "work_out": measured_work_out,
    "shapely_loop": measured_loop,
    "shapely_vectorised": measured_vectorised,
    "files_and_maps": measured_files_and_maps,
}

if __name__ == "__main__":
    print(json.dumps(MEASUREMENTS[sys.argv[1]](int(sys.argv[2]))))

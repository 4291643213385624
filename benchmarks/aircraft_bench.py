"""A whole aircraft: what can be done now, how long still, and how far ranges hold.

Times are taken on a made-up aircraft of 15,000 holes in 400 steps whose record says
what is done. Ranges are held against 1,000 made-up projects whose course follows
another model than the forecast's, beside the simple rule: hours so far over the share
of the work that is done. All from seeds.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from math import exp, log
from statistics import mean, median
from time import perf_counter

from benchmarks.aircraft_made import TODAY, airframe
from benchmarks.aircraft_projects import Project, projects
from benchmarks.report import Entry
from rivetwright.bench.forecast import known_of, log_of
from rivetwright.bench.tonight import tonight_of
from rivetwright.bench.work import WorkLeft, work_left
from rivetwright.engines.forecast.pace import pace_of
from rivetwright.engines.forecast.rates import rates_from
from rivetwright.engines.forecast.tasks import work_ahead
from rivetwright.engines.forecast.trials import TRIALS, Rework, forecast, usual_known
from rivetwright.record.state import State

SEED = 20_261_126
PROJECTS, QUICK_PROJECTS = 1000, 20
# The quantiles of a coverage count stand still from a few hundred futures on.
FUTURES = 600
REPEATS, QUICK_ASSEMBLIES = 5, 4
EVENING = datetime(2026, 11, 25, 18)
HOUR = 60.0
# The simple rule with the range that builders give such figures.
NAIVE_LOW, NAIVE_HIGH = 0.8, 1.6


@dataclass(frozen=True)
class Told:
    """What was foretold of one project, and what it took: hours and days.

    Errors are logarithms of told over true.
    """

    hours_held: bool
    days_held: bool
    naive_held: bool
    error: float
    naive_error: float
    wide: float


def told(project: Project) -> Told:
    """Foretell one project from what was known of it."""
    rates = rates_from(line for _, line in project.log)
    worked: dict[date, float] = {}
    for day, line in project.log:
        worked[day] = worked.get(day, 0.0) + line.minutes
    pace = pace_of(project.weekly, worked, project.log[0][0], project.today)
    rework = Rework(project.rivets, project.removed)
    known = usual_known(project.today, rates, pace, rework)
    found = forecast(project.ahead, known, FUTURES)
    hours, days = found.hours, found.last_day
    true_hours = project.true_minutes / HOUR
    naive = rates.minutes / HOUR * (1 - project.share_done) / project.share_done
    return Told(
        hours.low <= true_hours <= hours.high,
        days.low <= project.true_days <= days.high,
        NAIVE_LOW * naive <= true_hours <= NAIVE_HIGH * naive,
        log(hours.likely / true_hours),
        log(naive / true_hours),
        log(hours.high / hours.low),
    )


def measure(is_quick: bool) -> list[Entry]:
    """Measure and print; the figures named in goals.toml."""
    entries = _times(is_quick)
    return [*entries, *_coverage(QUICK_PROJECTS if is_quick else PROJECTS)]


def _times(is_quick: bool) -> list[Entry]:
    """What now, and the forecast, on the made-up aircraft."""
    project, state = airframe(QUICK_ASSEMBLIES) if is_quick else airframe()
    holes = sum(len(a.worked_plan.worked.holes) for a in project.assemblies)
    steps = sum(len(a.worked_plan.worked.plan.steps) for a in project.assemblies)
    print(f"An aircraft of {holes:,} holes in {steps} steps, INVENTED")
    whole, now = [], []
    for _ in range(REPEATS):
        start = perf_counter()
        work = work_left(project, state, "UTC")
        middle = perf_counter()
        tonight_of(work, EVENING)
        end = perf_counter()
        whole.append(end - start)
        now.append(end - middle)
    print(f"what now from the work left    {median(now):>10.3f} s")
    print(f"with the work left found first {median(whole):>10.3f} s", flush=True)
    took = _forecast_seconds(work, state)
    print(f"forecast, {TRIALS:,} futures       {took:>10.2f} s", flush=True)
    beside = {"with_work_left_found_first_s": median(whole), "pieces": len(work.pieces)}
    return [
        Entry("aircraft_what_now_seconds", median(now), beside),
        Entry("aircraft_forecast_seconds", took, {"tasks": _task_count(work)}),
    ]


def _forecast_seconds(work: WorkLeft, state: State) -> float:
    """One forecast from the pieces that are left."""
    known = known_of(work, state, log_of(work, state, "UTC"), TODAY)
    start = perf_counter()
    forecast(work_ahead(work.pieces), known)
    return perf_counter() - start


def _task_count(work: WorkLeft) -> int:
    return len(work_ahead(work.pieces).tasks)


def _coverage(count: int) -> list[Entry]:
    """How many of the projects ended within their ranges."""
    found = [told(one) for one in projects(count, SEED)]
    hours = sum(one.hours_held for one in found)
    days = sum(one.days_held for one in found)
    naive = sum(one.naive_held for one in found)
    ours, theirs = _error(found, "error"), _error(found, "naive_error")
    wide = exp(mean(one.wide for one in found))
    print(f"of {count} projects, seed {SEED}: hours held {hours}, days held {days}")
    print(f"simple rule within .8 to 1.6 of itself: {naive}")
    print(f"mean error {ours:.3f}, of the simple rule {theirs:.3f}; range x{wide:.2f}")
    beside = {
        "naive_held_count": naive,
        "naive_range_ratio": NAIVE_HIGH / NAIVE_LOW,
        "range_ratio": wide,
    }
    return [
        Entry("aircraft_hours_held_least_count", hours, beside),
        Entry("aircraft_hours_held_most_count", hours, beside),
        Entry("aircraft_days_held_least_count", days),
        Entry("aircraft_days_held_most_count", days),
        Entry("aircraft_error_ratio", ours / theirs, {"naive_error": theirs}),
    ]


def _error(found: Sequence[Told], name: str) -> float:
    """Mean size of an error."""
    return mean(abs(float(getattr(one, name))) for one in found)

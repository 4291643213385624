"""What a whole project needs: the fewest pieces that set all of it, and what to buy.

A job is a class of holes with the yokes that reach them. Every way of doing every
job with what is owned is formed; of all sets of yokes, dies, pins and shims that hold
one way of each job the smallest is found. Jobs with no way get the fewest shims that
would give them one.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from rivetwright.engines.rules import Column
from rivetwright.engines.squeeze.batch import takes, yokes_of
from rivetwright.engines.squeeze.buying import ShimToBuy, shims_that_hold
from rivetwright.engines.squeeze.fewest import (
    fewest_points,
    minimal,
    smallest_union,
)
from rivetwright.engines.squeeze.heads import head_of_gap_mm
from rivetwright.engines.squeeze.needs import CENTRAL, Needs, needs_of, solid_classes
from rivetwright.engines.squeeze.spring import spring_of
from rivetwright.engines.squeeze.stacking import Wanted, for_rivet
from rivetwright.engines.squeeze.stall import end_force_n, press_of
from rivetwright.engines.squeeze.ways import (
    SinglePieces,
    Ways,
    single_pieces,
    ways_of,
)
from rivetwright.engines.worked import Worked
from rivetwright.model.shop import Die, Shop, Squeezer, Tool
from rivetwright.units.tolerance import TOLERANCE_MM

# Which yokes reach a hole of a plan, by their ids.
Reaching = Callable[[Worked, int], frozenset[str]]


@dataclass(frozen=True)
class Job:
    """One class of holes of one of the plans, and the ids of the yokes that reach."""

    plan: int
    hole_class: int
    yokes: frozenset[str]


@dataclass(frozen=True)
class BoughtShim:
    """A shim to buy: thickness between two ends, the best of them, and its jobs."""

    low_mm: float
    best_mm: float
    high_mm: float
    jobs: tuple[Job, ...]


@dataclass(frozen=True)
class BoughtDie:
    """A die that a job lacks: kind, size, and the lengths that would do in a yoke.

    The lengths are None where the other die is lacking too.
    """

    job: Job
    kind: str
    diameter_32nds: int
    yoke: str
    low_mm: float | None
    high_mm: float | None


@dataclass(frozen=True)
class Cover:
    """The smallest set that does every job that can be done, and what the rest need.

    `lost` are jobs that neither a shim nor a die listed helps: no squeezer owned has
    the force, no yoke reaches, or none was measured.
    """

    yokes: tuple[Tool, ...]
    dies: tuple[Die, ...]
    pins_mm: tuple[float, ...]
    shims_mm: tuple[float, ...]
    done: tuple[Job, ...]
    shims_to_buy: tuple[BoughtShim, ...]
    dies_to_buy: tuple[BoughtDie, ...]
    lost: tuple[Job, ...]

    def part_of(self, shop: Shop) -> Shop:
        """The shop with these pieces alone between its jaws."""
        ids = {yoke.id for yoke in self.yokes}
        kept = tuple(t for t in shop.tools if t.id in ids or t not in yokes_of(shop))
        return replace(
            shop,
            tools=kept,
            dies=self.dies,
            pins_mm=self.pins_mm,
            shims_mm=self.shims_mm,
        )


class _Project:
    """Plans and a shop, and what is asked of them again and again."""

    def __init__(
        self,
        plans: Sequence[Worked],
        shop: Shop,
        pressure_kpa: float | None,
        jobs: Iterable[Job],
    ) -> None:
        self.shop, self.pressure_kpa = shop, pressure_kpa
        every = {(job.plan, job.hole_class) for job in jobs}
        self.needs = {
            (plan, k): needs_of(plans[plan], np.array([k], dtype=np.int64))
            for plan, k in sorted(every)
        }
        self._ways: dict[tuple[int, Wanted], Ways] = {}

    @cached_property
    def pieces(self) -> SinglePieces:
        """The single pieces of the shop."""
        return single_pieces(self.shop)

    def wanted(self, job: Job) -> Wanted:
        """The dies of a job."""
        need = self.need(job)
        return for_rivet(int(need.diameter_32nds[0]), bool(need.is_flush[0]))

    def need(self, job: Job) -> Needs:
        """The figures of a job alone."""
        return self.needs[job.plan, job.hole_class]

    def ways(self, yoke_at: int, wanted: Wanted) -> Ways:
        """Every way to stack one yoke for one kind of rivet, formed once."""
        key = (yoke_at, wanted)
        if key not in self._ways:
            self._ways[key] = ways_of(self.shop, self.pieces, yoke_at, wanted)
        return self._ways[key]

    def places(self, job: Job) -> list[tuple[int, Tool]]:
        """The measured yokes that reach a job and are rated for its rivet."""
        diameter = self.wanted(job).diameter_32nds
        return [
            (k, yoke)
            for k, yoke in enumerate(self.pieces.yokes)
            if yoke.id in job.yokes
            and yoke.closed_height_mm is not None
            and takes(yoke, diameter)
        ]

    def band(self, job: Job, yoke: Tool) -> tuple[float, float, float]:
        """Gaps of a job in a yoke: of the least head, aimed at, of the most [mm]."""
        asked = self.need(job).asked(spring_of(yoke).mm_n, np.zeros(1))
        low, aim, high = asked.low_mm[0], asked.aim_mm[0], asked.high_mm[0]
        return float(low), float(aim), float(high)

    def is_strong(self, job: Job, yoke: Tool, gap_mm: Column) -> Column:
        """Whether some squeezer ends its stroke, for each gap; unknown counts so."""
        need = self.need(job)
        metal, under = need.metal(), need.under_mm[CENTRAL]
        heads = head_of_gap_mm(gap_mm, under, metal, spring_of(yoke).mm_n)
        force = metal.force_n(heads)
        is_strong = np.zeros(len(gap_mm), dtype=bool)
        for squeezer in self.shop.squeezers:
            if takes(squeezer, self.wanted(job).diameter_32nds):
                is_strong |= ~(force > self._gives_n(squeezer))
        return is_strong

    def _gives_n(self, squeezer: Squeezer) -> float:
        """What a squeezer gives at its end; without end where that is not known [N]."""
        gives = end_force_n(press_of(squeezer), self.pressure_kpa)
        return np.inf if gives is None else gives


def _ways_of_job(project: _Project, job: Job) -> tuple[int, ...]:
    """The sets of pieces that do a job, none holding another."""
    found: list[int] = []
    for at, yoke in project.places(job):
        ways = project.ways(at, project.wanted(job))
        low, _, high = project.band(job, yoke)
        gap = ways.gap_mm
        fits = np.flatnonzero(
            (gap >= low - TOLERANCE_MM) & (gap <= high + TOLERANCE_MM)
        )
        strong = fits[project.is_strong(job, yoke, gap[fits])]
        found += [ways.sets[k] for k in strong.tolist()]
    return minimal(found)


def _shims_of_job(project: _Project, job: Job) -> list[ShimToBuy]:
    """Every shim that alone would give a job a way, with enough force for it."""
    found: list[ShimToBuy] = []
    for at, yoke in project.places(job):
        gaps = np.unique(project.ways(at, project.wanted(job)).gap_mm)
        low, aim, high = project.band(job, yoke)
        if project.is_strong(job, yoke, np.array([aim]))[0]:
            found += shims_that_hold(gaps, low, aim, high)
    return found


def _shims_to_buy(jobs: dict[Job, list[ShimToBuy]]) -> Iterable[BoughtShim]:
    """The fewest shims that give every one of these jobs a way."""
    ends = [[(one.low_mm, one.high_mm) for one in shims] for shims in jobs.values()]
    left = dict(jobs)
    for point in fewest_points(ends):
        served: dict[Job, ShimToBuy] = {}
        for job, shims in left.items():
            holding = [s for s in shims if s.low_mm <= point <= s.high_mm]
            if holding:
                served[job] = min(holding, key=lambda s: abs(s.best_mm - point))
        left = {job: shims for job, shims in left.items() if job not in served}
        low = max(one.low_mm for one in served.values())
        high = min(one.high_mm for one in served.values())
        usual = sum(one.best_mm for one in served.values()) / len(served)
        yield BoughtShim(low, min(max(usual, low), high), high, tuple(served))


def _die_to_buy(project: _Project, job: Job) -> BoughtDie | None:
    """The die that a job lacks in the first yoke that reaches it; None for none."""
    places = project.places(job)
    if not places:
        return None
    _, yoke = places[0]
    low, aim, high = project.band(job, yoke)
    if not project.is_strong(job, yoke, np.array([aim]))[0]:
        return None
    wanted = project.wanted(job)
    size = wanted.diameter_32nds
    fixed = [die for die in project.shop.dies if die.kind == wanted.fixed]
    if not (fixed or yoke.has_fixed_die):
        return BoughtDie(job, wanted.fixed, size, yoke.id, None, None)
    height = yoke.closed_height_mm or 0.0
    if not yoke.has_fixed_die:
        height -= min(die.length_mm for die in fixed)
    return BoughtDie(job, wanted.ram, size, yoke.id, height - high, height - low)


def jobs_of(
    plans: Sequence[Worked], shop: Shop, reaching: Reaching | None = None
) -> list[Job]:
    """The jobs of some plans: each class of solid rivets with the yokes that reach it.

    Holes of one class that different yokes reach are jobs of their own; a hole that
    no yoke reaches is no job of a squeezer and is left out.
    """
    every = frozenset(yoke.id for yoke in yokes_of(shop))
    found: dict[Job, None] = {}
    for at, worked in enumerate(plans):
        solid = set(solid_classes(worked).tolist())
        for hole, k in enumerate(worked.stacks.class_of.tolist()):
            if k in solid:
                yokes = every & reaching(worked, hole) if reaching else every
                found[Job(at, k, yokes)] = None
    return [job for job in found if job.yokes]


def cover(
    plans: Sequence[Worked],
    shop: Shop,
    *,
    reaching: Reaching | None = None,
    pressure_kpa: float | None = None,
) -> Cover:
    """The smallest set of pieces that does every job, and what to buy for the rest.

    Args:
        plans: the worked-out plans of the project.
        shop: what the builder owns.
        reaching: ids of the yokes that reach a hole; None counts every yoke.
        pressure_kpa: pressure at the tool; None as each squeezer is rated [kPa].

    Returns:
        The set, the jobs done with it, and what the others lack.

    Source: own search, exact.
    """
    jobs = jobs_of(plans, shop, reaching)
    project = _Project(plans, shop, pressure_kpa, jobs)
    ways = {job: _ways_of_job(project, job) for job in jobs}
    done = {job: found for job, found in ways.items() if found}
    chosen = smallest_union(done.values())
    shims = {job: _shims_of_job(project, job) for job in jobs if job not in done}
    helped = {job: found for job, found in shims.items() if found}
    bare = {job: _die_to_buy(project, job) for job in shims if job not in helped}
    pieces = project.pieces
    return Cover(
        tuple(pieces.yokes[k] for k in pieces.of(chosen, "yoke")),
        tuple(pieces.dies[k] for k in pieces.of(chosen, "die")),
        tuple(shop.pins_mm[k] for k in pieces.of(chosen, "pin")),
        tuple(shop.shims_mm[k] for k in pieces.of(chosen, "shim")),
        tuple(done),
        tuple(_shims_to_buy(helped)),
        tuple(die for die in bare.values() if die is not None),
        tuple(job for job, die in bare.items() if die is None),
    )

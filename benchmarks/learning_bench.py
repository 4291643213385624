"""Learning from heads on made-up workshops, beside last value and running mean.

Every workshop has dies off by an offset and a yoke of a stiffness of its own, drawn
about what is judged beforehand; its heads scatter, and some are slips of the caliper.
INVENTED, all from seeds. A head's height comes of the forming model with the true
spring; what is learnt is held against the true middle of the heads to come.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from math import sqrt
from time import perf_counter

import numpy as np
from numpy.typing import NDArray

from benchmarks.report import Entry
from rivetwright.engines.learning.drift import watch
from rivetwright.engines.learning.measured import Measured
from rivetwright.engines.learning.offset import learn, spring_before
from rivetwright.engines.squeeze.heads import Metal, gap_of_head_mm, head_of_gap_mm
from rivetwright.engines.squeeze.taught import DieSet
from rivetwright.model.shop import Tool

Figures = NDArray[np.float64]

MIL = 0.0254
IN = 25.4
SEED = 20_261_121
COUNTS = (1, 2, 5, 20)
WORKSHOPS, QUICK_WORKSHOPS = 400, 30
RUNS, QUICK_RUNS = 120, 6
SCATTER_MM, SLIP_MM, SLIP_SHARE = 2.5 * MIL, 12 * MIL, 0.08
OFFSET_MM = 8 * MIL
YOKE = Tool("Y", "yoke", reach_mm=2.5 * IN)
# Shank and metal of the head in D, as of a usual length; every head aimed at 0.48 D.
SIZES_32NDS, VOLUME, AIM_D = (4, 5), 1.2, 0.48
STILL_HEADS, BEFORE, AFTER = 300, 30, 80
SHIFTS = (1.0, 2.0)
LIMIT, LAST_FEW = 3.0, 5


@dataclass(frozen=True)
class Workshop:
    """A true offset [mm] and a true spring [mm/N]."""

    offset_mm: float
    opens_mm_n: float


def workshops(count: int, rng: np.random.Generator) -> list[Workshop]:
    """Workshops about what is judged beforehand; no yoke springs shut."""
    opens, spread = spring_before(YOKE)
    springs = np.maximum(rng.normal(opens, spread, count), 0.1 * opens)
    offsets = rng.normal(0.0, OFFSET_MM, count)
    return [Workshop(*both) for both in zip(offsets, springs, strict=True)]


def scattered(count: int, rng: np.random.Generator) -> Figures:
    """How far heads stand about their middle, slips among them [mm]."""
    is_slip = rng.random(count) < SLIP_SHARE
    spread = np.where(is_slip, SLIP_MM, SCATTER_MM)
    return np.asarray(rng.normal(0.0, spread))


def metal_of(size_32nds: int) -> Metal:
    """Shank and metal of a rivet of 2117-T4."""
    shank = np.array([size_32nds * IN / 32])
    return Metal(shank, np.array([VOLUME]), np.array([1.0]))


def true_lift_mm(shop: Workshop, size_32nds: int) -> tuple[float, float, float]:
    """Rigid height, true lift, and force at the true middle, for a gap by physics."""
    metal = metal_of(size_32nds)
    opens, _ = spring_before(YOKE)
    aim = AIM_D * metal.shank_mm
    gap = gap_of_head_mm(aim, 0.0, metal, opens)
    middle = head_of_gap_mm(gap, -shop.offset_mm, metal, shop.opens_mm_n)
    force = float(metal.force_n(middle)[0])
    return float(gap[0]), float((middle - gap)[0]), force


def heads_of(
    shop: Workshop, size_32nds: int, count: int, rng: np.random.Generator
) -> list[Measured]:
    """Measured heads of one size, all set with one gap."""
    rigid, lift, _ = true_lift_mm(shop, size_32nds)
    heights = rigid + lift + scattered(count, rng)
    dies = DieSet("squeezer", YOKE.id, size_32nds, True)
    shank = size_32nds * IN / 32
    return [Measured(dies, mm, rigid, shank, VOLUME) for mm in heights.tolist()]


# --- error of what was learnt -------------------------------------------------------


@dataclass(frozen=True)
class Errors:
    """Root mean squares after some heads, ours and the simple two [mm]; cover [-]."""

    ours: float
    last: float
    running_mean: float
    cover: float


def errors_after(shops: Sequence[Workshop], count: int) -> Errors:
    """How far the foretold middle of the next heads is off after so many."""
    ours, last, average, held = [], [], [], []
    for k, shop in enumerate(shops):
        rng = np.random.default_rng([SEED, count, k])
        rigid, lift, _ = true_lift_mm(shop, SIZES_32NDS[0])
        heads, middle = heads_of(shop, SIZES_32NDS[0], count, rng), rigid + lift
        told = learn(heads, [YOKE]).head(heads[0]).band_mm
        ours.append(told.central - middle)
        last.append(heads[-1].height_mm - middle)
        average.append(_mean([one.height_mm for one in heads]) - middle)
        held.append(float(told.low <= middle <= told.high))
    return Errors(_rms(ours), _rms(last), _rms(average), _mean(held))


def carried_mm(shops: Sequence[Workshop]) -> tuple[float, float, float]:
    """Error at the next larger rivet, not measured yet: ours, mean carried, physics.

    After twenty heads of the smaller one in the same yoke; its dies are others. By
    physics the spring judged is counted with.
    """
    ours, average, physics = [], [], []
    small, large = SIZES_32NDS
    by_physics = learn([], [YOKE])
    for k, shop in enumerate(shops):
        rng = np.random.default_rng([SEED, 99, k])
        heads = heads_of(shop, small, COUNTS[-1], rng)
        other = Workshop(float(rng.normal(0.0, OFFSET_MM)), shop.opens_mm_n)
        rigid, lift, _ = true_lift_mm(other, large)
        (unmeasured,) = heads_of(other, large, 1, rng)
        told = learn(heads, [YOKE]).head(unmeasured).band_mm.central
        ours.append(told - rigid - lift)
        average.append(_mean([one.lift_mm for one in heads]) - lift)
        middle = by_physics.head(unmeasured).band_mm.central
        physics.append(middle - rigid - lift)
    return _rms(ours), _rms(average), _rms(physics)


def _mean(figures: Sequence[float]) -> float:
    """Mean, without the care for exact fractions that takes its time."""
    return sum(figures) / len(figures)


def _rms(off: Sequence[float]) -> float:
    """Root mean square."""
    return sqrt(_mean([one**2 for one in off]))


# --- the alarm ----------------------------------------------------------------------

Alarms = Callable[[list[float]], list[int]]


def ours_alarms(lifts_mm: list[float]) -> list[int]:
    """Heads at which our alarm is raised."""
    return [alarm.at for alarm in watch(lifts_mm, SCATTER_MM).alarms]


def last_value_alarms(lifts_mm: list[float]) -> list[int]:
    """Heads further than three scatters from the mean of those before."""
    return _mean_alarms(lifts_mm, 1)


def running_mean_alarms(lifts_mm: list[float]) -> list[int]:
    """Heads at which the mean of the last five is so far off, for a mean of five."""
    return _mean_alarms(lifts_mm, LAST_FEW)


def _mean_alarms(lifts_mm: list[float], few: int) -> list[int]:
    """Alarms by a mean of the last few against all before; begun afresh after one."""
    alarms, start = [], 0
    for at in range(len(lifts_mm)):
        now, before = lifts_mm[max(start, at - few + 1) : at + 1], at - few + 1 - start
        if before < 1 or len(now) < few:
            continue
        known = _mean(lifts_mm[start : at - few + 1])
        spread = SCATTER_MM * sqrt(1 / few + 1 / before)
        if abs(_mean(now) - known) > LIMIT * spread:
            alarms.append(at)
            start = at + 1
    return alarms


WAYS: dict[str, Alarms] = {
    "ours": ours_alarms,
    "last_value": last_value_alarms,
    "running_mean": running_mean_alarms,
}


def heads_per_false_alarm(raise_alarms: Alarms, runs: int) -> float:
    """Heads between two alarms where nothing ever changes."""
    count = 0
    for k in range(runs):
        rng = np.random.default_rng([SEED, 7, k])
        lifts = rng.normal(0.0, OFFSET_MM) + scattered(STILL_HEADS, rng)
        count += len(raise_alarms(lifts.tolist()))
    return runs * STILL_HEADS / max(count, 1)


def delay_heads(raise_alarms: Alarms, shift: float, runs: int) -> float:
    """Mean number of heads from a change, in scatters, to the next alarm.

    Thirty heads come before it; after eighty without an alarm eighty count.
    """
    delays = []
    for k in range(runs):
        rng = np.random.default_rng([SEED, 11, k])
        lifts = rng.normal(0.0, OFFSET_MM) + scattered(BEFORE + AFTER, rng)
        lifts[BEFORE:] += shift * SCATTER_MM
        late = [at for at in raise_alarms(lifts.tolist()) if at >= BEFORE]
        delays.append(late[0] - BEFORE + 1 if late else AFTER)
    return _mean(delays)


# --- the report ---------------------------------------------------------------------


def measure(is_quick: bool) -> list[Entry]:
    """Measure and print; the figures named in goals.toml."""
    start = perf_counter()
    count, runs = (QUICK_WORKSHOPS, QUICK_RUNS) if is_quick else (WORKSHOPS, RUNS)
    shops = workshops(count, np.random.default_rng(SEED))
    entries = [*_error_entries(shops), *_alarm_entries(runs)]
    print(f"seconds                        {perf_counter() - start:>10.1f}", flush=True)
    return entries


def _error_entries(shops: Sequence[Workshop]) -> list[Entry]:
    """Errors after some heads, the worst ratio, cover, and the next larger rivet."""
    print(f"Learning from heads, {len(shops)} made-up workshops, seed {SEED}")
    print("error of the next heads' middle, mm   ours   last value   running mean")
    entries, ratios, covers = [], [], []
    for heads in COUNTS:
        after = errors_after(shops, heads)
        print(
            f"after {heads:>2} heads {after.ours:>25.4f}"
            f"{after.last:>13.4f}{after.running_mean:>15.4f}"
        )
        name = f"learning_error_{heads}_mm"
        beside = {"last_value_mm": after.last, "running_mean_mm": after.running_mean}
        entries.append(Entry(name, after.ours, beside))
        ratios.append(after.ours / min(after.last, after.running_mean))
        covers.append(after.cover)
    ours, average, physics = carried_mm(shops)
    print(f"next larger rivet, unmeasured {ours:>9.4f}, mean carried {average:.4f}")
    carried = {"mean_carried_mm": average, "physics_mm": physics}
    return [
        *entries,
        Entry("learning_worst_ratio", max(ratios)),
        Entry("learning_cover_share", min(covers)),
        Entry("learning_next_size_error_mm", ours, carried),
    ]


def _alarm_entries(runs: int) -> list[Entry]:
    """False alarms and delays of our alarm, beside the two simple ones."""
    named: dict[str, float | None] = {"learning_heads_per_false_alarm": None}
    named |= {f"learning_delay_{shift:.0f}_heads": shift for shift in SHIFTS}
    entries = []
    print("heads                                 ours   last value   running mean")
    for name, shift in named.items():
        found = {
            way: heads_per_false_alarm(rule, runs)
            if shift is None
            else delay_heads(rule, shift, runs)
            for way, rule in WAYS.items()
        }
        print(
            f"{name:32}{found['ours']:>10.1f}"
            f"{found['last_value']:>13.1f}{found['running_mean']:>15.1f}"
        )
        beside = {
            f"{way}_heads": value for way, value in found.items() if way != "ours"
        }
        entries.append(Entry(name, found["ours"], beside))
    return entries

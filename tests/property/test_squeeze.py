"""Setting the squeezer up: the search against all combinations, and its laws.

Lengths are whole thousandths of an inch and gaps asked for lie between them, so that
no verdict hangs on the rounding of a double.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import chain, combinations, product

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from rivetwright.engines.squeeze.batch import Batch
from rivetwright.engines.squeeze.buying import shim_to_buy
from rivetwright.engines.squeeze.change import least_change
from rivetwright.engines.squeeze.choosing import Asked, Rule, choose
from rivetwright.engines.squeeze.fewest import fewest_points, smallest_union
from rivetwright.engines.squeeze.heads import Metal, gap_of_head_mm, head_of_gap_mm
from rivetwright.engines.squeeze.set_ups import set_ups
from rivetwright.engines.squeeze.shared import share_gaps
from rivetwright.engines.squeeze.stacking import (
    OnTool,
    Owned,
    Pieces,
    for_rivet,
)
from rivetwright.engines.squeeze.stacking import combinations as all_combinations
from rivetwright.engines.squeeze.stall import AirPress, Stroke, stop_of
from rivetwright.model.plan import Part
from rivetwright.model.shop import Die, Tool
from rivetwright.standards.source import Source, Status
from tests.unit.engines.small import row, worked
from tests.unit.engines.test_squeeze_set_up import shop

MIL = 0.0254
SOURCE = Source("made up", "", Status.INVENTED)
mils = st.integers(5, 120).map(lambda k: k * MIL)
die_lengths = st.integers(100, 300).map(lambda k: k * MIL)
flats = st.builds(Die, st.just("flat"), die_lengths, count=st.integers(1, 2))
cups = st.builds(Die, st.just("cup"), die_lengths, st.just(4))
owned_pieces = st.builds(
    Owned,
    st.tuples(
        st.lists(flats, min_size=1, max_size=3), st.lists(cups, min_size=1, max_size=2)
    ).map(lambda two: (*two[0], *two[1])),
    st.lists(st.integers(0, 250).map(lambda k: k * MIL), max_size=2).map(tuple),
    st.lists(mils, max_size=5).map(tuple),
)
yokes = st.builds(
    Tool,
    st.just("Y"),
    st.just("yoke"),
    closed_height_mm=st.integers(500, 900).map(lambda k: k * MIL),
    has_fixed_die=st.booleans(),
)


@st.composite
def bands(draw: st.DrawFn) -> tuple[float, float, float]:
    """Gap of the least head, of the one aimed at, of the most; between thousandths."""
    low = draw(st.integers(50, 500))
    width = draw(st.integers(2, 30))
    return (low + 0.3) * MIL, (low + width / 2 + 0.4) * MIL, (low + width + 0.3) * MIL


def batch_of(grips: list[float]) -> Batch:
    """Stacks of these grips in one yoke, 1/8 universal rivets of a fitting length."""
    parts = [Part(f"p{k}", "sheet", grip) for k, grip in enumerate(grips)]
    made = [
        row(f"R{k}", "MS20470AD4-5.5", stack=((f"p{k}", "plain"),))
        for k in range(len(grips))
    ]
    (batch,) = set_ups(worked(*made, parts=parts).worked, shop()).batches
    return batch


def asked(band: tuple[float, float, float]) -> Asked:
    """One gap asked for, clear of its limits by a quarter of its width."""
    low, aim, high = band
    clear = (high - low) / 4 + 0.1 * MIL
    figures = (aim, low, high, low + clear, high - clear)
    return Asked(*(np.array([figure]) for figure in figures))


def subsets(shims: tuple[float, ...]) -> Iterator[tuple[float, ...]]:
    """Every set of shims, each owned one by itself."""
    return chain.from_iterable(combinations(shims, n) for n in range(len(shims) + 1))


def moved(now: OnTool | None, fixed: Die | None, ram: Die, pin: float) -> int:
    """Yoke, dies and pin to change on the same squeezer, counted one by one."""
    if now is None:
        return 2 + (fixed is not None) + (pin != 0)
    changes = (fixed is not None) and (fixed != now.pieces.fixed)
    return int(changes) + (ram != now.pieces.ram) + (pin != now.pieces.pin_mm)


def shims_moved(now: OnTool | None, used: tuple[float, ...]) -> int:
    """Shims to put in and to take out, matched one against one."""
    before = list(now.pieces.shims_mm) if now else []
    fresh = 0
    for shim in used:
        if shim in before:
            before.remove(shim)
        else:
            fresh += 1
    return fresh + len(before)


Every = list[tuple[float, int, int]]


def every(owned: Owned, is_flush: bool, yoke: Tool, now: OnTool | None) -> Every:
    """Gap, changes and shims of every combination, nothing left out."""
    flat = [die for die in owned.dies if die.kind == "flat"]
    rams = flat if is_flush else [die for die in owned.dies if die.kind == "cup"]
    fixed: list[Die | None] = [None] if yoke.has_fixed_die else [*flat]
    found = []
    pins = {0.0, *owned.pins_mm}
    for one, ram in product(fixed, rams):
        if one is ram and ram.count < 2:
            continue
        for pin, used in product(pins, subsets(owned.shims_mm)):
            length = (one.length_mm if one else 0.0) + ram.length_mm + pin + sum(used)
            changes = moved(now, one, ram, pin) + shims_moved(now, used)
            found.append(((yoke.closed_height_mm or 0) - length, changes, len(used)))
    return found


def best_of(found: Every, band: Asked) -> tuple[Rule, float, int, int]:
    """What the rules say, tried on every combination in turn."""
    ends = (
        (Rule.THICKER_CLEAR, band.clear_low_mm[0], band.clear_high_mm[0]),
        (Rule.THICKER, band.low_mm[0], band.high_mm[0]),
    )
    for rule, low, high in ends:
        inside = [one for one in found if low <= one[0] <= high]
        if inside:
            widest = max(one[0] for one in inside)
            near = [one for one in inside if one[0] >= widest - MIL - 1e-6]
            gap, changes, shims = min(near, key=lambda one: (*one[1:], -one[0]))
            return rule, gap, changes, shims
    wider = [one for one in found if one[0] > band.high_mm[0]]
    gap = min(wider)[0] if wider else max(found)[0]
    alike = [one for one in found if abs(one[0] - gap) < 1e-6]
    return (Rule.NEAREST, *min(alike, key=lambda one: one[1:]))


@st.composite
def on_tools(draw: st.DrawFn, owned: Owned, yoke: Tool) -> OnTool | None:
    """Nothing on the tool yet, or some of the pieces owned in the same yoke."""
    if draw(st.booleans()):
        return None
    fixed = None if yoke.has_fixed_die else draw(st.sampled_from(owned.dies))
    shims = draw(st.sampled_from(list(subsets(owned.shims_mm))))
    pin = draw(st.sampled_from([0.0, *owned.pins_mm]))
    ram = draw(st.sampled_from(owned.dies))
    return OnTool("air", yoke.id, Pieces(fixed, ram, pin, shims))


@given(owned_pieces, yokes, bands(), st.booleans(), st.data())
@settings(max_examples=300)
def test_choice_is_the_best_of_all_combinations(
    owned: Owned,
    yoke: Tool,
    band: tuple[float, float, float],
    is_flush: bool,
    draw: st.DataObject,
) -> None:
    """Rule, gap, changes and number of shims are those of trying everything."""
    now = draw.draw(on_tools(owned, yoke))
    brute = every(owned, is_flush, yoke, now)
    found = all_combinations(
        owned, for_rivet(4, is_flush), yoke, squeezer="air", on_tool=now
    )
    chosen = choose(found, asked(band))
    if not brute:
        assert len(found) == 0
        assert chosen.rule[0] == Rule.NOTHING
        return
    rule, gap, changes, shims = best_of(brute, asked(band))
    k = int(chosen.index[0])
    assert chosen.rule[0] == rule
    assert chosen.gap_mm[0] == pytest.approx(gap, abs=1e-6)
    assert (found.changes[k], found.shims[k]) == (changes, shims)


@given(owned_pieces, yokes, bands(), st.data())
@settings(max_examples=150)
def test_fewest_changes_are_the_fewest_of_all(
    owned: Owned, yoke: Tool, band: tuple[float, float, float], draw: st.DataObject
) -> None:
    """No combination inside the band needs fewer changes than the one told."""
    now = draw.draw(on_tools(owned, yoke))
    low, _, high = band
    inside = [one for one in every(owned, False, yoke, now) if low <= one[0] <= high]
    found = all_combinations(
        owned, for_rivet(4, False), yoke, squeezer="air", on_tool=now
    )
    pieces = least_change(found, low, high)
    if not inside:
        assert pieces is None
        return
    assert pieces is not None
    k = found.pieces.index(pieces)
    assert (found.changes[k], found.shims[k]) == min(one[1:] for one in inside)


@given(owned_pieces, yokes, bands(), mils)
@settings(max_examples=150)
def test_another_shim_never_holds_the_band_less_well(
    owned: Owned, yoke: Tool, band: tuple[float, float, float], shim: float
) -> None:
    """What could be put in before still can be."""
    more = Owned(owned.dies, owned.pins_mm, (*owned.shims_mm, shim))
    rules = []
    for own in (owned, more):
        found = all_combinations(own, for_rivet(4, False), yoke)
        rules.append(int(choose(found, asked(band)).rule[0]))
    assert rules[1] <= rules[0]


@given(owned_pieces, yokes, bands())
@settings(max_examples=150)
def test_shim_bought_holds_the_band(
    owned: Owned, yoke: Tool, band: tuple[float, float, float]
) -> None:
    """With the shim told, the band that was lost is held."""
    found = all_combinations(owned, for_rivet(4, False), yoke)
    low, aim, high = band
    shim = shim_to_buy(found.gap_mm, low, aim, high)
    assume(shim is not None and choose(found, asked(band)).rule[0] == Rule.NEAREST)
    assert shim is not None
    more = Owned(owned.dies, owned.pins_mm, (*owned.shims_mm, shim.best_mm))
    again = all_combinations(more, for_rivet(4, False), yoke)
    assert choose(again, asked(band)).rule[0] <= Rule.THICKER


metals = st.builds(
    lambda shank, volume, factor: Metal(
        np.array([shank]), np.array([volume]), np.array([factor])
    ),
    st.sampled_from([2.381, 3.175, 3.969, 4.763]),
    st.floats(0.7, 1.7),
    st.floats(0.4, 1.7),
)
springs = st.sampled_from([0.0, 1 / 70_000, 1 / 52_540, 1 / 17_500])


@given(metals, springs, st.floats(0.35, 0.75), st.floats(1.0, 10.0))
def test_head_of_the_gap_of_a_head_is_that_head(
    metal: Metal, mm_per_n: float, height: float, under: float
) -> None:
    """From a head to the gap that makes it and back, whatever the yoke."""
    head = height * metal.shank_mm
    gap = gap_of_head_mm(head, under, metal, mm_per_n)
    assert head_of_gap_mm(gap, under, metal, mm_per_n) == pytest.approx(head, abs=1e-6)


@given(metals, springs, st.floats(0.2, 3.0), st.floats(0.01, 0.5))
def test_wider_gap_makes_a_thicker_head_by_no_more_than_itself(
    metal: Metal, mm_per_n: float, gap: float, more: float
) -> None:
    """A spring takes some of a change of the gap back and never turns it round."""
    heads = [
        head_of_gap_mm(np.array([at]), 0.0, metal, mm_per_n)[0]
        for at in (gap, gap + more)
    ]
    # Where no metal is met yet, or the head is next to nothing, the two are equal.
    assert -1e-6 < heads[1] - heads[0] <= more + 1e-6


@given(metals, springs, st.floats(200, 620), st.floats(1, 100))
@settings(max_examples=60)
def test_more_air_never_leaves_a_thicker_head(
    metal: Metal, mm_per_n: float, pressure_kpa: float, more_kpa: float
) -> None:
    """The ram comes at least as far, and never past the end of its stroke."""
    press = AirPress(13_345.0, 620.0, 1.5875, SOURCE)
    gap = 0.45 * float(metal.shank_mm[0])
    stops = [
        stop_of(Stroke(gap, 0.0, metal, mm_per_n, press, at), 4.0)
        for at in (pressure_kpa, pressure_kpa + more_kpa)
    ]
    assert stops[1].left_mm <= stops[0].left_mm + 1e-6
    assert stops[1].head_mm <= stops[0].head_mm + 1e-6
    assert stops[1].left_mm >= 0


jobs_of_bits = st.lists(
    st.lists(st.integers(1, 2**9 - 1), min_size=1, max_size=4), max_size=6
)


@given(jobs_of_bits)
def test_smallest_union_is_the_smallest_of_all_sets(jobs: list[list[int]]) -> None:
    """No set of nine pieces with fewer of them holds a way of every job."""

    def holds(have: int) -> bool:
        return all(any(way & have == way for way in job) for job in jobs)

    least = min(have.bit_count() for have in range(2**9) if holds(have))
    found = smallest_union(jobs)
    assert holds(found)
    assert found.bit_count() == least


intervals = st.tuples(st.integers(0, 12), st.integers(0, 4)).map(
    lambda two: (float(two[0]), float(two[0] + two[1]))
)


@given(st.lists(st.lists(intervals, min_size=1, max_size=3), max_size=5))
def test_fewest_points_are_the_fewest_of_all(
    jobs: list[list[tuple[float, float]]],
) -> None:
    """Intervals of whole ends: every set of whole points is tried."""

    def hits(points: tuple[float, ...]) -> bool:
        return all(any(a <= at <= b for a, b in job for at in points) for job in jobs)

    found = fewest_points(jobs)
    assert hits(found)
    whole = [float(k) for k in range(17)]
    fewer = range(len(found))
    assert not any(hits(some) for n in fewer for some in combinations(whole, n))


grips_of_stacks = st.lists(
    st.integers(100, 170).map(lambda k: (k + 0.5) * MIL), min_size=1, max_size=5
)


@given(grips_of_stacks)
@settings(max_examples=25, deadline=None)
def test_shared_gaps_are_the_fewest_and_hold_every_head(grips: list[float]) -> None:
    """Each stays in its own band clear of scatter; no fewer gaps would do for all.

    Fewest by trying every set of gaps that the pieces leave.
    """
    alone = batch_of(grips)
    assume(set(alone.rule.tolist()) == {int(Rule.THICKER_CLEAR)})
    shared = share_gaps(alone, np.arange(len(alone)))
    asked = alone.needs.asked(alone.spring.mm_n, alone.offset_mm)
    low, high = asked.clear_low_mm - 1e-6, asked.clear_high_mm + 1e-6
    assert ((shared.gap_mm >= low) & (shared.gap_mm <= high)).all()
    (found,) = alone.found.values()
    points = [g for g in found.gap_mm.tolist() if ((low <= g) & (g <= high)).any()]
    fewest = next(
        count
        for count in range(1, len(alone) + 1)
        if any(
            all(any(a <= g <= b for g in some) for a, b in zip(low, high, strict=True))
            for some in combinations(points, count)
        )
    )
    assert len(set(shared.gap_mm.tolist())) == fewest

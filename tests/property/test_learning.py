"""Laws of learning from heads, on random heads."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rivetwright.engines.learning.capability import of_hundred
from rivetwright.engines.learning.charts import cusum, ewma
from rivetwright.engines.learning.drift import learn_watched, watch
from rivetwright.engines.learning.offset import learn
from tests.unit.engines.made_heads import EIGHTH, MIL, STIFF, UNKNOWN, lifted

mils = st.integers(-300, 300).map(lambda tenths: tenths / 10)
some = st.lists(mils, min_size=1, max_size=25)
many = st.lists(mils, max_size=60)
FORCE_N = 8000.0


@given(some, st.randoms())
@settings(max_examples=40, deadline=None)
def test_the_order_of_heads_teaches_nothing(lifts: list[float], luck: object) -> None:
    """What is learnt is the same whatever head came first."""
    mixed = sorted(lifts, key=lambda _: luck.random())  # type: ignore[attr-defined]
    one, two = (
        learn(lifted(each), [UNKNOWN]).lift(EIGHTH, FORCE_N) for each in (lifts, mixed)
    )
    assert one.band_mm.central == pytest.approx(two.band_mm.central, abs=0.02 * MIL)


@given(some)
@settings(max_examples=40, deadline=None)
def test_heads_turned_about_nought_turn_the_offset(lifts: list[float]) -> None:
    """Higher and lower are treated alike in a stiff yoke."""
    up, down = (
        learn(lifted(each), [STIFF]).lift(EIGHTH, 0.0).band_mm.central
        for each in (lifts, [-mil for mil in lifts])
    )
    assert up == pytest.approx(-down, abs=1e-4 * MIL)


@given(some)
@settings(max_examples=40, deadline=None)
def test_the_offset_lies_between_nought_and_the_heads(lifts: list[float]) -> None:
    """Prior and heads each pull toward themselves, none beyond."""
    central = learn(lifted(lifts), [STIFF]).lift(EIGHTH, 0.0).band_mm.central / MIL
    assert min(0.0, *lifts) - 1e-6 <= central <= max(0.0, *lifts) + 1e-6


@given(some, some)
@settings(max_examples=30, deadline=None)
def test_a_dropped_period_leaves_no_trace_in_a_stiff_yoke(
    old: list[float], new: list[float]
) -> None:
    """The offset moves with the scatter learnt alone, never by the old level."""
    heads = [*lifted(old), *lifted(new, period=1)]
    moved = [*lifted([mil + 5 for mil in old]), *lifted(new, period=1)]
    one, two = (learn(each, [STIFF]).yokes["Y"] for each in (heads, moved))
    told = one.lift(EIGHTH, 0.0)
    assert told.heads_count == len(new)
    if one.fit.scatter == pytest.approx(float(two.fit.scatter), rel=1e-6):
        expected = two.lift(EIGHTH, 0.0).band_mm.central
        assert told.band_mm.central == pytest.approx(expected, abs=0.01 * MIL)


@given(many)
@settings(max_examples=60, deadline=None)
def test_alarms_come_in_order_and_begin_before_they_are_raised(
    offsets: list[float],
) -> None:
    """Each after the one before it; no two of them of the same head."""
    seen = watch(offsets, 2.5, spread_mm=8.0)
    ended = -1
    for alarm in seen.alarms:
        assert ended < alarm.since <= alarm.at
        # Clipped at 2.5 less 0.5, a sum needs three heads to pass 5.
        assert alarm.delay_count >= 3
        ended = alarm.at
    assert len(seen.off) == len(seen.trend) == len(offsets)


@given(many, many)
@settings(max_examples=40, deadline=None)
def test_an_alarm_once_raised_stays(first: list[float], more: list[float]) -> None:
    """What heads said is not unsaid by heads that come later."""
    some_alarms = watch(first, 2.5, spread_mm=8.0).alarms
    assert watch([*first, *more], 2.5, spread_mm=8.0).alarms[: len(some_alarms)] == (
        some_alarms
    )


@given(many)
@settings(max_examples=25, deadline=None)
def test_watching_loses_no_head(lifts: list[float]) -> None:
    """Every head is in one stretch, in the order set."""
    learnt = learn_watched(lifted(lifts), [STIFF]).learnt.yokes["Y"]
    heights = [one.height_mm for one in learnt.heads]
    assert heights == [one.height_mm for one in lifted(lifts)]
    periods = [one.period for one in learnt.heads]
    assert periods == sorted(periods)


@given(many, st.floats(0.05, 1.0), st.floats(0.0, 3.0))
def test_charts_stay_where_they_belong(
    values: list[float], weight: float, slack: float
) -> None:
    """An average lies between its values and the start; sums are never below nought."""
    averages = ewma(values, 0.0, weight)
    low, high = min([0.0, *values]), max([0.0, *values])
    assert all(low - 1e-9 <= one <= high + 1e-9 for one in averages)
    assert all(min(one.high, one.low) >= 0 for one in cusum(values, 0.0, slack))


@given(st.floats(40, 80), st.floats(0, 5), st.floats(0.5, 5), st.integers(0, 50))
def test_counts_of_a_hundred_are_counts_of_a_hundred(
    middle: float, spread: float, scatter: float, heads: int
) -> None:
    """Between nought and a hundred; higher limits lose fewer heads."""
    narrow = of_hundred(middle, spread, scatter, (50.0, 70.0), heads)
    wide = of_hundred(middle, spread, scatter, (50.0, 75.0), heads)
    for side in (narrow.too_small, narrow.too_large):
        assert 0 <= side.low <= side.central <= side.high <= 100
    assert wide.too_large.central <= narrow.too_large.central
    assert np.isclose(wide.too_small.central, narrow.too_small.central)


@given(some)
@settings(max_examples=25, deadline=None)
def test_a_stalled_head_changes_nothing(lifts: list[float]) -> None:
    """However far off it is."""
    heads = lifted(lifts)
    stalled = [replace(heads[0], height_mm=9.0, is_stalled=True)]
    one, two = (learn(each, [UNKNOWN]) for each in (heads, [*heads, *stalled]))
    assert one.lift(EIGHTH, FORCE_N) == two.lift(EIGHTH, FORCE_N)

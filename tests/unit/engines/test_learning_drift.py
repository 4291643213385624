"""The alarm for a lasting change: when it comes, when it does not, what it forgets."""

from __future__ import annotations

import pytest

from rivetwright.engines.learning.drift import (
    ASK_HIGHER,
    ASK_LOWER,
    Foretelling,
    clipped,
    learn_watched,
    watch,
)
from tests.unit.engines.made_heads import EIGHTH, MIL, STIFF, lifted

SCATTER = 2.5
CALM = [0.0] * 20


def test_heads_that_never_change_raise_nothing() -> None:
    """A hundred equal heads: no alarm, and the trend stands at nought."""
    seen = watch([0.0] * 100, SCATTER, spread_mm=8.0)
    assert seen.alarms == ()
    assert seen.trend[-1] == pytest.approx(0.0)
    assert not seen.is_trend_out


def test_a_change_of_five_scatters_is_found_at_the_third_head() -> None:
    """Clipped at 2.5, less the slack of 0.5: sums 2, 4, 6; the limit is 5.

    The change began at the 21st head, which counts as 20 from nought.
    """
    seen = watch([*CALM, *[12.5] * 5], SCATTER, spread_mm=8.0)
    (alarm,) = seen.alarms
    assert (alarm.since, alarm.at, alarm.delay_count) == (20, 22, 3)
    # The first two of the changed heads have pulled what they are held against a bit.
    assert alarm.by_mm == pytest.approx(12.5, abs=0.5)
    assert alarm.is_higher
    assert alarm.ask == ASK_HIGHER


def test_a_change_downward_asks_for_other_things() -> None:
    """Lower heads are not made by wear."""
    (alarm,) = watch([*CALM, *[-12.5] * 3], SCATTER, spread_mm=8.0).alarms
    assert not alarm.is_higher
    assert alarm.ask == ASK_LOWER
    assert "wear" not in alarm.ask


def test_two_slips_in_a_row_raise_nothing() -> None:
    """2 and 4 stay under 5; each calm head then takes 0.5 off."""
    seen = watch([*CALM, 40.0, 40.0, *CALM], SCATTER, spread_mm=8.0)
    assert seen.alarms == ()


def test_a_change_may_be_raised_only_once() -> None:
    """The next heads are held against the new level, not against the old."""
    seen = watch([*CALM, *[12.5] * 40], SCATTER, spread_mm=8.0)
    assert len(seen.alarms) == 1


def test_the_trend_leaves_its_limits_with_the_change() -> None:
    """Clipped at 2.5: 0.3 x 2.5 = 0.75, 1.275 after two; limit 3 x 0.42 = 1.26."""
    assert not watch([*CALM, 12.5], SCATTER, spread_mm=8.0).is_trend_out
    seen = watch([*CALM, 12.5, 12.5], SCATTER, spread_mm=8.0)
    assert seen.is_trend_out
    assert seen.trend[-1] == pytest.approx(1.275, abs=0.001)


def test_the_first_head_is_held_against_what_is_known_before_it() -> None:
    """Nought give or take 8 with a scatter of 6: 20 is 20 / root(8^2 + 6^2) = 2 off."""
    assert Foretelling(6.0, 8.0).off(20.0) == pytest.approx(2.0)


def test_a_head_counts_only_so_far() -> None:
    """At 2.5 either way."""
    assert [clipped(z) for z in (-9.0, -1.0, 1.0, 9.0)] == [-2.5, -1.0, 1.0, 2.5]


def test_after_an_alarm_the_offset_is_learnt_from_the_change_on() -> None:
    """Thirty heads at 0 and six at +20: those six count, and no more."""
    found = learn_watched(lifted([0.0] * 30 + [20.0] * 6), [STIFF])
    told = found.learnt.lift(EIGHTH, 0.0)
    assert told.heads_count == 6
    assert told.band_mm.central == pytest.approx(20 * MIL, rel=0.05)
    (seen,) = found.watched.values()
    assert [(alarm.since, alarm.at) for alarm in seen.alarms] == [(30, 32)]


def test_periods_begun_by_hand_stay_apart() -> None:
    """A die ground between two runs: two looks, and the second counts."""
    heads = [*lifted([0.0] * 10), *lifted([20.0] * 4, period=1)]
    found = learn_watched(heads, [STIFF])
    assert [period for _, period in found.watched] == [0, 1]
    assert all(seen.alarms == () for seen in found.watched.values())
    assert found.learnt.lift(EIGHTH, 0.0).heads_count == 4


def test_an_alarm_within_a_period_by_hand_moves_the_later_ones_on() -> None:
    """0, then +20 within the first period, then one begun by hand at -10."""
    heads = [
        *lifted([0.0] * 20 + [20.0] * 5),
        *lifted([-10.0] * 7, period=1),
    ]
    learnt = learn_watched(heads, [STIFF]).learnt.yokes["Y"]
    assert sorted(period for _, period in learnt.stretches) == [0, 1, 2]
    assert learnt.lift(EIGHTH, 0.0).heads_count == 7

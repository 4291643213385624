"""The made-up workshops of the learning benchmark, and the two simple alternatives."""

from __future__ import annotations

import numpy as np
import pytest

from benchmarks.learning_bench import (
    SCATTER_MM,
    SIZES_32NDS,
    Workshop,
    delay_heads,
    errors_after,
    heads_of,
    last_value_alarms,
    running_mean_alarms,
    scattered,
    true_lift_mm,
    workshops,
)


def test_the_same_seed_makes_the_same_workshops() -> None:
    """Every figure can be measured again."""
    one, two = (workshops(5, np.random.default_rng(3)) for _ in range(2))
    assert one == two


def test_a_rigid_tool_lifts_by_its_offset_alone() -> None:
    """Without spring the lift is the offset."""
    _, lift, _ = true_lift_mm(Workshop(0.1, 0.0), SIZES_32NDS[0])
    assert lift == pytest.approx(0.1)


def test_heads_stand_about_the_true_middle() -> None:
    """The median of a thousand is within a tenth of a scatter of it."""
    shop = Workshop(0.1, 1e-5)
    rigid, lift, _ = true_lift_mm(shop, SIZES_32NDS[0])
    heads = heads_of(shop, SIZES_32NDS[0], 1000, np.random.default_rng(4))
    middle = np.median([one.height_mm for one in heads])
    assert middle == pytest.approx(rigid + lift, abs=SCATTER_MM / 10)


def test_slips_are_a_few_and_large() -> None:
    """One in twelve or so beyond four scatters, which nearly none would be."""
    far = np.abs(scattered(5000, np.random.default_rng(5))) > 4 * SCATTER_MM
    assert 0.01 < far.mean() < 0.08


def test_the_simple_rules_raise_an_alarm_where_they_must() -> None:
    """Ten scatters: the last value at once, the mean of five within five heads."""
    still = [0.0] * 10
    lifts = still + [10 * SCATTER_MM] * 5
    assert last_value_alarms(lifts)[0] == 10
    assert 10 <= running_mean_alarms(lifts)[0] <= 14
    assert last_value_alarms(still) == running_mean_alarms(still) == []


def test_a_change_without_alarm_counts_as_the_longest_delay() -> None:
    """Eighty heads after the change are looked at."""
    assert delay_heads(lambda _: [], 1.0, 2) == 80


def test_errors_are_measured_for_all_three() -> None:
    """Six workshops, five heads each: every figure is there and above nought."""
    found = errors_after(workshops(6, np.random.default_rng(1)), 5)
    assert min(found.ours, found.last, found.running_mean) > 0
    assert 0 <= found.cover <= 1

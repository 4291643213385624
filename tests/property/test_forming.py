"""Squeezing: what must hold for every rivet, and that columns and functions agree."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rivetwright.engines.forming import (
    available_force_n,
    force_slope_n_mm,
    gap_transfer,
    head_height_mm,
    head_width_mm,
    squeeze_force_n,
    volume_ratio,
)
from rivetwright.engines.plan import work_out
from rivetwright.model.plan import Plan
from tests.property.faults.mixed import any_plans

shanks = st.floats(1.5, 7.0)
volumes = st.floats(0.5, 2.0)
heights_d = st.floats(0.25, 0.9)
factors = st.floats(0.3, 2.0)


@given(shanks, heights_d, volumes)
def test_any_two_give_the_third(shank: float, height_d: float, volume: float) -> None:
    """Width, height and volume of a head are one relation."""
    height = height_d * shank
    width = head_width_mm(shank, height, volume)
    assert float(head_height_mm(shank, width, volume)) == pytest.approx(height)
    assert float(volume_ratio(shank, width, height)) == pytest.approx(volume)


@given(shanks, volumes, factors, heights_d, heights_d)
def test_a_lower_head_is_wider_and_needs_more(
    shank: float, volume: float, factor: float, one: float, two: float
) -> None:
    """Squeezing further never needs less force and never narrows the head."""
    low, high = sorted((one * shank, two * shank))
    widths = head_width_mm(shank, [low, high], volume)
    force = squeeze_force_n(shank, [low, high], volume, factor)
    assert widths[0] >= widths[1]
    assert force[0] >= force[1] >= 0


@given(shanks, heights_d, volumes, st.floats(1.0, 3.0))
def test_force_grows_as_the_square_of_the_size(
    shank: float, height_d: float, volume: float, times: float
) -> None:
    """Geometric similarity: twice the rivet, four times the force."""
    one = float(squeeze_force_n(shank, height_d * shank, volume))
    larger = times * shank
    other = float(squeeze_force_n(larger, height_d * larger, volume))
    assert other == pytest.approx(times**2 * one, rel=1e-9, abs=1e-6)


@given(shanks, heights_d, volumes, st.floats(0.01, 0.3))
def test_more_metal_needs_more(
    shank: float, height_d: float, volume: float, more: float
) -> None:
    """At one height, more metal never needs less force."""
    height = height_d * shank
    force = squeeze_force_n(shank, height, [volume, volume + more])
    assert force[1] >= force[0]


@given(shanks, volumes, st.floats(0.3, 0.8), st.floats(20_000, 1e6))
def test_a_sprung_yoke_takes_some_of_a_change_back(
    shank: float, volume: float, height_d: float, stiffness: float
) -> None:
    """Where the head has spread, between nothing and all of it reaches the head."""
    height = height_d * shank
    slope = float(force_slope_n_mm(shank, height, volume))
    found = float(gap_transfer(shank, height, volume, stiffness))
    assert math.isnan(found) == math.isnan(slope)
    assert math.isnan(found) or 0 < found < 1


@given(st.floats(100, 30_000), st.floats(0.1, 5), st.floats(0, 15), st.floats(0, 15))
def test_more_travel_left_gives_less(
    rated_n: float, ends: float, one: float, two: float
) -> None:
    """The force only grows toward the end of the stroke, up to what is rated."""
    near, far = sorted((one, two))
    force = available_force_n(rated_n, 620.0, ends, np.array([near, far]), 620.0)
    assert rated_n >= force[0] >= force[1] > 0


@given(any_plans)
@settings(max_examples=30)
def test_columns_are_the_function(plan: Plan) -> None:
    """The force worked out step by step is the pure function's, where it is told."""
    worked = work_out(plan).worked
    shank, height = worked["shank_diameter_mm"], worked["head_height_aim_mm"]
    expected = squeeze_force_n(
        shank, height, worked["head_volume_ratio"], worked["force_factor"]
    )
    found = worked["squeeze_force_n"]
    told = ~np.isnan(found)
    assert found[told] == pytest.approx(expected[told], rel=1e-9)

"""Squeezing a rivet: laws that hold whatever the fitted constants are."""

from __future__ import annotations

import numpy as np
import pytest

from rivetwright.engines.forming import (
    available_force_n,
    flow_stress_kpa,
    force_slope_n_mm,
    free_tilt_deg,
    gap_transfer,
    head_height_mm,
    head_width_mm,
    squeeze_force_n,
    strain,
    toggle_force_n,
    travel_share,
    volume_ratio,
    wedge_mm,
)

RATED_N, RATED_KPA, ENDS_MM = 13_345.0, 620.5, 1.5875


def test_a_head_without_metal_has_no_width() -> None:
    """A rivet shorter than its hole takes makes no head and needs no force."""
    assert head_width_mm(3.175, 1.5, [-0.2, 0.0]).tolist() == [0.0, 0.0]
    assert squeeze_force_n(3.175, 1.5, [-0.2, 0.0]).tolist() == [0.0, 0.0]


def test_numbers_and_arrays_broadcast() -> None:
    """Heights against volumes give a table of widths, row by row."""
    heights, volumes = np.array([[1.5], [1.6]]), np.array([1.0, 1.2, 1.4])
    table = head_width_mm(3.175, heights, volumes)
    assert table.shape == squeeze_force_n(3.175, heights, volumes).shape == (2, 3)
    assert table[1, 2] == pytest.approx(float(head_width_mm(3.175, 1.6, 1.4)))


def test_a_head_that_has_not_spread_needs_no_force() -> None:
    """As high as its tail the head is as wide as the shank: strain and force 0."""
    assert float(strain(3.175, 3.175)) == float(flow_stress_kpa(0.0)) == 0.0
    assert float(squeeze_force_n(3.175, 1.2 * 3.175, 1.2)) == 0.0


def test_strain_is_the_logarithm_of_the_areas() -> None:
    """A head twice as wide has four times the area: ln 4 = 1.3863."""
    assert float(strain(2.0, 4.0)) == pytest.approx(1.3863, abs=1e-4)


def test_factor_scales_the_force() -> None:
    """An alloy that needs 1.3 times the force needs it at every height."""
    heights = np.array([1.3, 1.5, 1.7])
    plain = squeeze_force_n(3.175, heights, 1.2)
    assert squeeze_force_n(3.175, heights, 1.2, 1.3) == pytest.approx(1.3 * plain)


def test_slope_is_that_of_the_force() -> None:
    """Two heights a hair apart: difference of forces over that of heights."""
    height, step = np.array([1.2, 1.5, 1.8]), 1e-5
    above = squeeze_force_n(3.175, height + step, 1.2)
    below = squeeze_force_n(3.175, height - step, 1.2)
    slope = force_slope_n_mm(3.175, height, 1.2)
    assert slope == pytest.approx((above - below) / (2 * step), rel=1e-6)


def test_transfer_is_that_of_the_gap() -> None:
    """Gap = height - force / stiffness: two heights a hair apart."""
    height, step, stiffness = 1.5, 1e-5, 30_000.0

    def gap(at: float) -> float:
        return at - float(squeeze_force_n(3.175, at, 1.2)) / stiffness

    expected = 2 * step / (gap(height + step) - gap(height - step))
    found = float(gap_transfer(3.175, height, 1.2, stiffness))
    assert found == pytest.approx(expected, rel=1e-6)
    assert 0 < found < 1


def test_a_rigid_yoke_hands_the_whole_change_on() -> None:
    """The stiffer the yoke, the nearer to 1, from below."""
    found = gap_transfer(3.175, 1.5, 1.2, [1e3, 1e4, 1e5, 1e12])
    assert np.all(np.diff(found) > 0)
    assert found[-1] == pytest.approx(1.0)


def test_a_yoke_as_stiff_as_the_head_takes_half_back() -> None:
    """Where head and yoke give alike, half of the change stays."""
    slope = -float(force_slope_n_mm(3.175, 1.5, 1.2))
    assert float(gap_transfer(3.175, 1.5, 1.2, slope)) == pytest.approx(0.5)


def test_force_available_at_and_before_the_end() -> None:
    """All of it within the last 1.59 mm, half of it at four times that travel."""
    found = available_force_n(
        RATED_N, RATED_KPA, ENDS_MM, [0.0, ENDS_MM, 4 * ENDS_MM], RATED_KPA
    )
    assert found == pytest.approx([RATED_N, RATED_N, RATED_N / 2])


def test_force_available_goes_with_pressure() -> None:
    """At half the pressure half the force."""
    half = available_force_n(RATED_N, RATED_KPA, ENDS_MM, 3.0, RATED_KPA / 2)
    full = available_force_n(RATED_N, RATED_KPA, ENDS_MM, 3.0, RATED_KPA)
    assert float(half) == pytest.approx(float(full) / 2)


def test_travel_share_has_the_shape_of_a_straightening_toggle() -> None:
    """Arms of 100 mm: the share of two knees is that of the toggle, to 1 %.

    The travel left of a knee h off line is 2 (a - sqrt(a^2 - h^2)), nearly h^2 / a.
    """
    arm, knees = 100.0, np.array([4.0, 8.0])
    along = np.sqrt(arm**2 - knees**2)
    left = 2 * (arm - along)
    forces = toggle_force_n(1.0, along, knees)
    shares = travel_share(left[0], left)
    assert forces / forces[0] == pytest.approx(shares, rel=0.01)


def test_play_takes_up_the_lean_of_a_hole() -> None:
    """A lean within the play leaves no wedge, one beyond it the rest."""
    tilt = float(free_tilt_deg(3.0, 3.1, 1.0))
    assert float(wedge_mm(6.0, 0.9 * tilt, tilt)) == 0.0
    rest = float(wedge_mm(6.0, tilt + 1.0, tilt))
    assert rest == pytest.approx(float(wedge_mm(6.0, 1.0)))


def test_width_height_and_volume_are_one_relation() -> None:
    """Any two of them give the third back."""
    width = head_width_mm(3.175, 1.6, 1.2)
    assert float(head_height_mm(3.175, width, 1.2)) == pytest.approx(1.6)
    assert float(volume_ratio(3.175, width, 1.6)) == pytest.approx(1.2)

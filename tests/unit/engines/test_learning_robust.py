"""The fit that a slip cannot pull, and what is known before the first figure."""

from __future__ import annotations

import numpy as np
import pytest

from rivetwright.engines.learning.robust import Prior, fit_robust, t_weight

ONE = Prior((0.0,), (8.0,), 2.5)


def test_without_figures_the_prior_is_all_that_is_known() -> None:
    """Nought give or take 8, scatter 2.5; eight heads' worth of freedom."""
    fit = fit_robust(np.zeros((0, 1)), np.zeros(0), ONE)
    assert fit.central == pytest.approx([0.0])
    assert np.sqrt(fit.covariance[0, 0]) == pytest.approx(8.0)
    assert fit.scatter == pytest.approx(2.5)
    assert fit.freedom == 8
    # Student's t with 8 degrees of freedom: 2.306 in every printed table.
    assert fit.band_ratio == pytest.approx(2.306, abs=0.0005)


def test_weight_of_a_figure_two_scatters_off() -> None:
    """(4 + 1) / (4 + 2^2) = 0.625; on the fit itself 5/4."""
    assert t_weight(np.array([5.0, 0.0]), 2.5) == pytest.approx([0.625, 1.25])


def test_two_equal_figures_stand_where_both_pulls_are_equal() -> None:
    """At the fit c: 2 w (4 - c) / s^2 = c / 8^2 with w = 5 / (4 + (4 - c)^2 / s^2)."""
    fit = fit_robust(np.ones((2, 1)), [4.0, 4.0], ONE)
    c, s = float(fit.central[0]), float(fit.scatter)
    w = 5 / (4 + (4 - c) ** 2 / s**2)
    assert 2 * w * (4 - c) / s**2 == pytest.approx(c / 64, rel=1e-6)
    # Scatter: eight heads' worth of 2.5 and two of their own.
    own = 2 * w * (4 - c) ** 2
    assert s**2 == pytest.approx((8 * 2.5**2 + own) / 10, rel=1e-6)


def test_an_unknown_without_spread_is_held() -> None:
    """A given 3 stays, whatever the figures say."""
    fit = fit_robust(np.ones((5, 1)), [9.0] * 5, Prior((3.0,), (0.0,), 2.5))
    assert fit.central == pytest.approx([3.0])
    assert fit.covariance[0, 0] == 0


def test_many_fits_at_once_are_each_what_they_are_alone() -> None:
    """Leading axes are fits of their own."""
    seen = np.random.default_rng(5).normal(4.0, 2.5, (6, 7))
    together = fit_robust(np.ones((6, 7, 1)), seen, ONE)
    alone = [fit_robust(np.ones((7, 1)), row, ONE).central[0] for row in seen]
    assert together.central[:, 0] == pytest.approx(alone, abs=1e-5)


def test_eleven_heads_and_one_slip() -> None:
    """DERIVED: the slip at +40 moves the fit under 0.5, the mean by (40 - 4) / 12 = 3.

    Eleven about +4: 2, 3, 3, 4, 4, 4, 4, 4, 5, 5, 6 have the mean 4.
    """
    eleven = [2.0, 3.0, 3.0, 4.0, 4.0, 4.0, 4.0, 4.0, 5.0, 5.0, 6.0]
    with_slip = fit_robust(np.ones((12, 1)), [*eleven, 40.0], ONE)
    without = fit_robust(np.ones((11, 1)), eleven, ONE)
    assert abs(with_slip.central[0] - without.central[0]) < 0.5
    assert np.mean([*eleven, 40.0]) - np.mean(eleven) == pytest.approx(3.0)
    assert with_slip.weight[-1] < 0.1

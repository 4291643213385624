"""A straight fit that a slip of the caliper cannot pull, with what is known beforehand.

Scatter is taken as Student's t with four degrees of freedom, so a figure far from the
others counts little. What is known before the first head enters as rows of its own;
so does the usual scatter, which gives way to the builder's own as heads are measured.
Several fits of one shape run at once: leading axes broadcast.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.special import stdtrit

from rivetwright.standards.learning import learning_figure

Figures = NDArray[np.float64]

FREEDOM = learning_figure("freedom")
SCATTER_HEADS = learning_figure("scatter heads")
# Fisher information of one t-distributed figure, in units of 1 / scale^2.
INFORMATION = (FREEDOM + 1) / (FREEDOM + 3)
# A band of 95 % ends where this share lies below.
BAND = 0.975
ROUNDS = 100
STILL = 1e-7


@dataclass(frozen=True)
class Fit:
    """Unknowns (..., p) with covariance (..., p, p), scatter (...), weights (..., n).

    A weight of one is a figure that counts in full, nought a slip.
    """

    central: Figures
    covariance: Figures
    scatter: Figures
    weight: Figures

    @property
    def freedom(self) -> float:
        """Degrees of freedom with which the scatter is known [-]."""
        return SCATTER_HEADS + float(self.weight.shape[-1])

    @property
    def band_ratio(self) -> float:
        """Half a band of 95 % against the standard deviation [-]."""
        ratio = np.array(stdtrit(self.freedom, BAND))
        return float(ratio)


@dataclass(frozen=True)
class Prior:
    """What is known beforehand: unknowns and their spreads (p,), scatter of one figure.

    All in the unit of what is fitted; a spread of nought holds an unknown fast.
    """

    central: tuple[float, ...]
    spread: tuple[float, ...]
    scatter: float


def t_weight(off: Figures, scatter: Figures | float) -> Figures:
    """Weight of a figure so far off, at most (v + 1) / v [-].

    Args:
        off: how far it is from the fit [any unit].
        scatter: scale of the scatter [same unit].
    """
    return np.asarray((FREEDOM + 1) / (FREEDOM + (off / scatter) ** 2))


def fit_robust(design: ArrayLike, seen: ArrayLike, prior: Prior) -> Fit:
    """Fit unknowns to figures by reweighting, with prior rows.

    Args:
        design: what each unknown adds to each figure, shape (..., n, p) [-].
        seen: the figures, shape (..., n) [any unit].
        prior: what is known beforehand [same unit].

    Returns:
        The fit; without figures it is the prior.
    """
    x, y = np.asarray(design, dtype=float), np.asarray(seen, dtype=float)
    held = np.array([spread == 0 for spread in prior.spread])
    before = np.array(prior.central)
    # Unknowns are reckoned in their own spreads: figures of any size condition well.
    unit = np.where(held, 0.0, np.array(prior.spread))
    scaled, rest = x * unit, y - x @ before
    scatter = np.full(y.shape[:-1], prior.scatter)
    weight = np.ones_like(y)
    steps = np.zeros((*y.shape[:-1], len(before)))
    for _ in range(ROUNDS):
        new = _solved(scaled, rest, weight, scatter)
        off = rest - np.einsum("...np,...p->...n", scaled, new)
        weight = t_weight(off, scatter[..., None])
        own = np.sum(weight * off**2, axis=-1)
        heads = SCATTER_HEADS + y.shape[-1]
        scatter = np.sqrt((SCATTER_HEADS * prior.scatter**2 + own) / heads)
        moved, steps = np.abs(new - steps), new
        if not np.any(moved > STILL):
            break
    told = np.broadcast_to(INFORMATION, weight.shape)
    spread = np.linalg.inv(_information(scaled, told, scatter))
    return Fit(before + steps * unit, spread * np.outer(unit, unit), scatter, weight)


def _information(x: Figures, weight: Figures, scatter: Figures) -> Figures:
    """What figures and prior rows tell of the unknowns, in their own spreads."""
    told = np.einsum("...np,...n,...nq->...pq", x, weight, x)
    return np.asarray(told / scatter[..., None, None] ** 2 + np.eye(x.shape[-1]))


def _solved(x: Figures, y: Figures, weight: Figures, scatter: Figures) -> Figures:
    """The unknowns of one round, in their own spreads."""
    pulls = np.einsum("...np,...n->...p", x, weight * y) / scatter[..., None] ** 2
    told = _information(x, weight, scatter)
    return np.asarray(np.linalg.solve(told, pulls[..., None])[..., 0])

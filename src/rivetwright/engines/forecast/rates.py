"""The builder's own rates, pulled toward the table as long as the log is thin.

Every line of the log that counted something is one figure: the logarithm of its
minutes over those of the table. What is fitted to them: how this builder differs from
the table in everything, how in each operation, and how much repetition saves. Lines
far off the others count little. Without a log the table's ranges are what comes out.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from math import exp, log, sqrt

import numpy as np
from numpy.typing import NDArray
from scipy.special import stdtrit

from rivetwright.engines.forecast.curve import lot_middle
from rivetwright.engines.learning.robust import Fit, Prior, fit_robust
from rivetwright.engines.work.rates import (
    DEFAULT,
    OWN,
    Logged,
    WorkRate,
    counted_in,
    default_rates,
    operation_named,
)
from rivetwright.standards.forecast import forecast_figure
from rivetwright.standards.source import Status

Figures = NDArray[np.float64]

# A range of 80 % ends where this share lies below.
HIGH = 0.9
# Unknowns before those of the operations: the builder, and what repetition saves.
BUILDER, SLOPE, FIRST = 0, 1, 2
# Student's t of the fit's scatter is this much wider than a normal of that scale.
WIDER = 1.25


@dataclass(frozen=True)
class Lot:
    """So many of what an operation counts, after others of them.

    `minutes` is what a line of the log says; of work to come what the table, or the
    plan, says.
    """

    operation: str
    after: float
    count: float
    minutes: float

    @property
    def usual_minutes(self) -> float:
        """What the table says for it [min]."""
        return default_rates()[self.operation].minutes * self.count


@dataclass(frozen=True)
class OwnRates:
    """What the log says of the builder's rates.

    `lots` are the lines that counted, `done` how many of each operation they counted,
    `beside_minutes` those of lines that belong to no operation.
    """

    lots: tuple[Lot, ...]
    done: Mapping[str, int]
    minutes: float
    beside_minutes: float
    fit: Fit

    @property
    def scatter(self) -> float:
        """Scatter of the logarithm of one line about the rate [-]."""
        return float(self.fit.scatter) * WIDER

    @property
    def slope(self) -> tuple[float, float, float]:
        """Time after doubling over before: low, likely and high of 80 % [-]."""
        middle, spread = self._told(_one(SLOPE))
        half = self.range_ratio * spread
        return exp(middle - half), exp(middle), exp(middle + half)

    @property
    def range_ratio(self) -> float:
        """Half a range of 80 % against the standard deviation [-]."""
        return float(stdtrit(self.fit.freedom, HIGH))

    def own_share(self, operation: str) -> float:
        """How much of a rate rests on the log and not on the table [-].

        By how much narrower it is known than before the first line.
        """
        row = design_row(operation, known_count(operation))
        _, spread = self._told(row)
        before = sqrt(sum(x**2 * s**2 for x, s in zip(row, _spreads(), strict=True)))
        return 1 - (spread / before) ** 2

    def rate(self, operation: str) -> WorkRate:
        """Minutes for each of the next ones; the range is one of 80 % for a lot."""
        usual = default_rates()[operation]
        entries = [one for one in self.lots if one.operation == operation]
        at = max(self.done.get(operation, 0), 1.0)
        # Where nothing was counted yet the table's own unit stands for the next.
        row = design_row(operation, at if entries else known_count(operation))
        middle, spread = self._told(row)
        half = self.range_ratio * sqrt(spread**2 + self.scatter**2)
        return WorkRate(
            operation,
            usual.counted,
            usual.minutes * exp(middle),
            exp(-half),
            exp(half),
            OWN if entries else DEFAULT,
            len(entries),
            self.done.get(operation, 0),
            Status.OWN_TEST if entries else usual.status,
        )

    def _told(self, row: Sequence[float]) -> tuple[float, float]:
        """Middle and standard deviation of what a row of unknowns adds up to."""
        x = np.array(row)
        variance = float(x @ self.fit.covariance @ x)
        return float(x @ self.fit.central), sqrt(variance)

    def draws(self, trials: int, rng: np.random.Generator) -> Figures:
        """Unknowns as they may be, by what is known: shape (trials, unknowns) [-].

        Args:
            trials: how many [-].
            rng: from a given seed.
        """
        size = len(self.fit.central)
        root = np.linalg.cholesky(self.fit.covariance + 1e-12 * np.eye(size))
        freedom = self.fit.freedom
        wide = np.sqrt(freedom / rng.chisquare(freedom, (trials, 1)))
        drawn = rng.standard_normal((trials, size)) @ root.T
        return np.asarray(self.fit.central + wide * drawn)


def rates_from(log: Iterable[Logged]) -> OwnRates:
    """Rates of a builder from the log, in the order in which it was written.

    Args:
        log: lines of the log [min].

    Returns:
        The rates; without a log those of the table with its ranges [min].
    """
    lots: list[Lot] = []
    done: dict[str, int] = {}
    minutes = beside = 0.0
    for line in log:
        name = operation_named(line.operation)
        counted = default_rates()[name].counted if name else ""
        count = counted_in(line, counted) if name else 0
        minutes += line.minutes
        if count and line.minutes > 0:
            lots.append(Lot(name, done.get(name, 0), count, line.minutes))
            done[name] = done.get(name, 0) + count
        else:
            beside += line.minutes
    return OwnRates(tuple(lots), done, minutes, beside, _fitted(lots))


def _fitted(lots: Sequence[Lot]) -> Fit:
    """The unknowns fitted to some lots."""
    rows = [
        design_row(lot.operation, middle)
        for lot, middle in zip(lots, middles(lots), strict=True)
    ]
    seen = [log(lot.minutes / lot.usual_minutes) for lot in lots]
    design = np.array(rows).reshape(len(lots), FIRST + len(operations()))
    central = [0.0] * design.shape[1]
    central[SLOPE] = log(forecast_figure("slope"))
    scatter = forecast_figure("entry scatter")
    return fit_robust(design, seen, Prior(tuple(central), _spreads(), scatter))


def middles(lots: Sequence[Lot]) -> Figures:
    """The unit that stands for each lot [-].

    Args:
        lots: lots of any operations [-].
    """
    after = np.array([lot.after for lot in lots])
    count = np.array([lot.count for lot in lots])
    return lot_middle(after, count, forecast_figure("slope"))


def design_row(operation: str, unit: float) -> list[float]:
    """What each unknown adds to the logarithm of a rate.

    Args:
        operation: a name of the table of rates [-].
        unit: the how-manieth unit it is asked for [-].

    Returns:
        One figure an unknown [-].
    """
    row = [0.0] * (FIRST + len(operations()))
    row[BUILDER] = 1.0
    row[SLOPE] = float(np.log2(unit / known_count(operation)))
    row[FIRST + operations().index(operation)] = 1.0
    return row


@cache
def operations() -> tuple[str, ...]:
    """Names of the table of rates, in its order.

    Source: work_rates.csv.
    """
    return tuple(default_rates())


@cache
def known_count(operation: str) -> float:
    """The unit for which the table's rate of an operation stands [-].

    What is not counted in numbers (an assembly, an inspection) learns nothing.

    Args:
        operation: a name of the table of rates [-].

    Source: forecast_constants.csv, status per row.
    """
    counted = default_rates()[operation].counted
    if counted in ("hole", "rivet", "dimple", "part"):
        return forecast_figure(f"known {counted}")
    return 1.0


@cache
def _spreads() -> tuple[float, ...]:
    """Standard deviations of the unknowns before the first line."""
    common = (forecast_figure("builder spread"), forecast_figure("slope spread"))
    return (*common, *[forecast_figure("operation spread")] * len(operations()))


def _one(k: int) -> list[float]:
    """A row that asks for one unknown."""
    row = [0.0] * (FIRST + len(operations()))
    row[k] = 1.0
    return row

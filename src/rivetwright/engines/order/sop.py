"""Order things one after another: a cost from each to each, and what comes first.

The sequential ordering problem in itself, without holders, rules or choices of
setup: an open path from the first to the last that keeps what comes first, first.
Blocks of a stage are ordered by an exact model; this core orders what is larger, and
public instances with known optima check that cost tables, direction and precedence
are read right.

Two neighbouring segments of the path are exchanged wherever precedence allows and
it pays; from time to time the best path is disturbed and mended again.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Matrix = NDArray[np.int64]

_WARMTH = 1.0  # of the mean step
_TRIES = 40
_KICKS = 2  # exchanges at random before the path is mended again
_LONGEST_KICK = 10  # positions a random exchange may span
SEED = 11


@dataclass(frozen=True)
class Path:
    """An order of all things, and what it costs."""

    order: tuple[int, ...]
    cost: int


@dataclass(frozen=True, eq=False)
class Sequencing:
    """The problem.

    Args:
        cost: from each to each, shape (things, things).
        is_before: whether one has to come before another, closed, (things, things).
    """

    cost: Matrix
    is_before: NDArray[np.bool_]

    @classmethod
    def of(cls, table: Matrix) -> Sequencing:
        """From a table in which -1 at (i, j) says that j comes before i.

        Args:
            table: costs, and -1.

        Returns:
            The problem, its first thing before and its last after all others.
        """
        is_before = (table == -1).T.copy()
        is_before[0, 1:] = True
        is_before[:-1, -1] = True
        np.fill_diagonal(is_before, False)
        for middle in range(len(table)):
            is_before |= np.outer(is_before[:, middle], is_before[middle])
        cost = np.where(table == -1, 0, table).astype(np.int64)
        return cls(cost, is_before)

    def cost_of(self, order: NDArray[np.int64]) -> int:
        """What a path costs."""
        return int(self.cost[order[:-1], order[1:]].sum())

    def keeps(self, order: NDArray[np.int64]) -> bool:
        """Whether a path holds each thing once and keeps what comes first, first."""
        is_whole = np.array_equal(np.sort(order), np.arange(len(self.cost)))
        return is_whole and not np.tril(self.is_before[np.ix_(order, order)]).any()

    def nearest_next(self) -> NDArray[np.int64]:
        """A path by the nearest next that may come."""
        left = self.is_before.sum(axis=0)
        is_open = np.ones(len(self.cost), dtype=np.bool_)
        order = [0]
        for _ in range(len(self.cost) - 1):
            is_open[order[-1]] = False
            left = left - self.is_before[order[-1]]
            ready = np.flatnonzero(is_open & (left == 0))
            order.append(int(ready[np.argmin(self.cost[order[-1], ready])]))
        return np.array(order, dtype=np.int64)


def shortest_path(problem: Sequencing, rounds: int) -> Path:
    """A short path by exchange of neighbouring segments, with kicks.

    The same problem and rounds give the same path.

    Args:
        problem: costs and precedence.
        rounds: how often to disturb the path and mend it.

    Returns:
        The shortest path found.
    """
    rng = np.random.default_rng(SEED)
    order = problem.nearest_next()
    every = range(len(order) - 2)
    mend(problem, order, set(every))
    now, now_cost = order, problem.cost_of(order)
    best, best_cost = now, now_cost
    for turn in range(rounds):
        tried = now.copy()
        touched = _kick(problem, tried, rng)
        mend(problem, tried, touched)
        cost = problem.cost_of(tried)
        if cost < best_cost:
            best, best_cost = tried, cost
        # A little worse is let in, and less of it as the rounds go on.
        warmth = _WARMTH * best_cost / len(order) * (1.0 - turn / rounds)
        if cost <= now_cost + warmth * -math.log(1.0 - rng.random()):
            now, now_cost = tried, cost
    return Path(tuple(best.tolist()), best_cost)


def mend(problem: Sequencing, order: NDArray[np.int64], touched: set[int]) -> None:
    """Exchange neighbouring segments in place until none near a change pays.

    Args:
        problem: costs and precedence.
        order: the path.
        touched: positions from which an exchange is looked for.
    """
    while touched:
        found = _best_from(problem, order, min(touched))
        if found is None:
            touched.discard(min(touched))
            continue
        first, middle, last = found
        _exchange(order, first, middle, last)
        around = range(max(first - 2, 0), min(last + 2, len(order) - 2))
        touched.update(around)


def _best_from(
    problem: Sequencing, order: NDArray[np.int64], first: int
) -> tuple[int, int, int] | None:
    """The exchange that pays most with its left segment behind a position.

    The left segment is first+1 to middle, the right one middle+1 to last.
    """
    cost, tail = problem.cost, order[first:]
    count = len(tail)
    if count < 4:
        return None
    # Places 1 to count-2 of the tail: the path's last thing stays where it is.
    middle = np.arange(1, count - 2)[:, None]
    last = np.arange(2, count - 1)[None, :]
    step = cost[tail[:-1], tail[1:]]
    gain = (
        step[0]
        + step[middle]
        + step[last]
        - cost[tail[0], tail[middle + 1]]
        - cost[tail[last], tail[1]]
        - cost[tail[middle], tail[last + 1]]
    )
    is_pay = (gain > 0) & (last > middle)
    if not is_pay.any():
        return None
    gain = np.where(is_pay & _is_free(problem, tail), gain, 0)
    at = int(np.argmax(gain))
    if gain.flat[at] <= 0:
        return None
    row, column = divmod(at, gain.shape[1])
    return first, first + row + 1, first + column + 2


def _is_free(problem: Sequencing, tail: NDArray[np.int64]) -> NDArray[np.bool_]:
    """Whether nothing of the left segment has to come before any of the right."""
    count = len(tail)
    before = problem.is_before[np.ix_(tail, tail)]
    sums = np.zeros((count + 1, count + 1), dtype=np.int32)
    sums[1:, 1:] = np.cumsum(np.cumsum(before, axis=0, dtype=np.int32), axis=1)
    middle = np.arange(1, count - 2)[:, None]
    last = np.arange(2, count - 1)[None, :]
    held = (
        sums[middle + 1, last + 1]
        - sums[1, last + 1]
        - sums[middle + 1, middle + 1]
        + sums[1, middle + 1]
    )
    return np.asarray(held == 0)


def _exchange(order: NDArray[np.int64], first: int, middle: int, last: int) -> None:
    left, right = order[first + 1 : middle + 1], order[middle + 1 : last + 1]
    order[first + 1 : last + 1] = np.concatenate([right, left])


def _kick(
    problem: Sequencing, order: NDArray[np.int64], rng: np.random.Generator
) -> set[int]:
    """Exchange a few short segments at random, as far as precedence allows."""
    touched: set[int] = set()
    count = len(order)
    done = 0
    for _ in range(_TRIES):
        if done == _KICKS:
            break
        first = int(rng.integers(0, count - 3))
        most = min(_LONGEST_KICK, count - 2 - first)
        middle, last = sorted(int(k) for k in rng.integers(1, most + 1, 2))
        if middle == last:
            continue
        left = order[first + 1 : first + middle + 1]
        right = order[first + middle + 1 : first + last + 1]
        if not problem.is_before[np.ix_(left, right)].any():
            _exchange(order, first, first + middle, first + last)
            touched.update(range(max(first - 2, 0), min(first + last + 2, count - 2)))
            done += 1
    return touched

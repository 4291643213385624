"""Smallest sets, exactly: the smallest union of pieces, the fewest points in intervals.

A set of pieces is a whole number whose bits are pieces. Branch and bound: of the jobs
not yet done the hardest is done first, in each of its ways.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

Interval = tuple[float, float]


def minimal(ways: Iterable[int]) -> tuple[int, ...]:
    """The ways that need no more than another one does, fewest pieces first."""
    kept: list[int] = []
    for way in sorted(set(ways), key=lambda way: (way.bit_count(), way)):
        if not any(way & one == one for one in kept):
            kept.append(way)
    return tuple(kept)


@dataclass
class _Search:
    """The smallest union found so far, and the sets already looked at."""

    jobs: Sequence[tuple[int, ...]]
    best: int | None = None
    seen: set[int] = field(default_factory=set)

    def _more(self, job: tuple[int, ...], have: int) -> int:
        """Pieces that the cheapest way of a job still lacks."""
        return min((way & ~have).bit_count() for way in job)

    def look(self, have: int) -> None:
        """Look at everything that holds the pieces in hand."""
        if have in self.seen:
            return
        self.seen.add(have)
        left = [(self._more(job, have), -len(job), job) for job in self.jobs]
        hardest = max(left, default=(0, 0, ()))
        size = have.bit_count() + hardest[0]
        if self.best is not None and size >= self.best.bit_count():
            return
        if hardest[0] == 0:
            self.best = have
            return
        for way in sorted(hardest[2], key=lambda way: (way & ~have).bit_count()):
            self.look(have | way)


def smallest_union(jobs: Iterable[Iterable[int]]) -> int:
    """The smallest set of pieces that holds one way of every job.

    Args:
        jobs: the ways of each job as sets of pieces; none is empty.

    Returns:
        The set; 0 where there is no job.

    Source: own search, exact.
    """
    search = _Search(sorted({minimal(ways) for ways in jobs}))
    search.look(0)
    assert search.best is not None
    return search.best


def fewest_points(jobs: Sequence[Sequence[Interval]]) -> tuple[float, ...]:
    """The fewest points such that every job has one in one of its intervals.

    A point can always be moved up to the end of an interval without losing a job, so
    only those ends are tried.

    Args:
        jobs: the intervals of each job, from low to high [one unit]; none is empty.

    Returns:
        The points, rising [the same unit].

    Source: own search, exact.
    """
    ends = sorted({high for job in jobs for _, high in job})
    hits = [
        [1 << k for k, at in enumerate(ends) if any(a <= at <= b for a, b in job)]
        for job in jobs
    ]
    chosen = smallest_union(hits)
    return tuple(at for k, at in enumerate(ends) if chosen >> k & 1)

"""How far one walks at the least, over all runs of rivets and of pliers on a face.

A run is a stretch of rivets only, or of holder work only, without a swap and without
coming back from the bench. Within a run one walks; so much is certain:

    walk >= 1/speed * integral over t of max(0, M(t) - runs)

where M(t) adds up, over the groups of holes that lie within steps shorter than t of
one another, how many different runs must touch the group. The proof stands in
`design/order_bound.md`; for one run and every group touched once it is the shortest
tree over the holes.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import coo_array
from scipy.sparse.csgraph import minimum_spanning_tree
from scipy.spatial import Delaunay, QhullError

from rivetwright.engines.order.needs import Needs

_TWICE = 2  # rivets before and after the pliers


@dataclass(frozen=True, eq=False)
class FaceWalk:
    """M(t) of one face as steps: from each length on, up to the next, a count."""

    from_mm: NDArray[np.float64]
    to_mm: NDArray[np.float64]
    touched: NDArray[np.int64]
    speed_mm_s: float

    def least_s(self, runs: int) -> float:
        """Walking at the least in so many runs.

        Args:
            runs: how many runs there are on the face.

        Returns:
            The time [s].
        """
        short = np.maximum(self.touched - runs, 0)
        return float(np.sum((self.to_mm - self.from_mm) * short)) / self.speed_mm_s

    def saved_s(self, runs: int) -> float:
        """What one more run may save at the most, from so many runs on.

        Args:
            runs: how many runs there are on the face.

        Returns:
            The time [s].
        """
        is_short = self.touched > runs
        return float(np.sum((self.to_mm - self.from_mm)[is_short])) / self.speed_mm_s


def tree_edges(
    x_mm: NDArray[np.float64], y_mm: NDArray[np.float64]
) -> list[tuple[float, int, int]]:
    """The shortest tree over places, its edges from the shortest on.

    Args:
        x_mm: places [mm].
        y_mm: places [mm].

    Returns:
        Length and the two places of each edge.
    """
    count = len(x_mm)
    if count < 2:
        return []
    a, b = _neighbours(np.column_stack([x_mm, y_mm]))
    # A sparse matrix drops entries of nought: places upon one another keep a trace.
    length_mm = np.maximum(np.hypot(x_mm[a] - x_mm[b], y_mm[a] - y_mm[b]), 1e-9)
    tree = minimum_spanning_tree(
        coo_array((length_mm, (a, b)), shape=(count, count)).tocsr()
    ).tocoo()
    edges = zip(tree.data.tolist(), tree.row.tolist(), tree.col.tolist(), strict=True)
    return sorted(edges)


def _neighbours(
    places: NDArray[np.float64],
) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """Pairs among which the shortest tree is found."""
    pairs = np.triu_indices(len(places), 1)
    every = pairs[0].astype(np.int64), pairs[1].astype(np.int64)
    if len(places) < 200:
        return every
    try:
        corners = Delaunay(places)
    except QhullError:  # all on one line
        return every
    if len(corners.coplanar):  # places upon one another are left out there
        return every
    sides = np.vstack(
        [corners.simplices[:, [i, j]] for i, j in ((0, 1), (0, 2), (1, 2))]
    )
    sides = np.unique(np.sort(sides, axis=1), axis=0)
    return sides[:, 0].astype(np.int64), sides[:, 1].astype(np.int64)


class _Clusters:
    """Groups of holes that grow together; for each, which classes touch it."""

    def __init__(self, needs: Needs, holes: Sequence[int]) -> None:
        stage = needs.classes.tables.stage
        self.options = [frozenset(c.options) for c in needs.classes.classes]
        self.parent = list(range(len(holes)))
        self.weights: list[dict[int, int]] = [
            {int(needs.classes.class_of[h]): 1} for h in holes
        ]
        self.has_pliers = [bool(stage.holder[h]) for h in holes]
        self.counts = [self._count(k) for k in self.parent]
        self.touched = sum(self.counts)

    def root(self, one: int) -> int:
        """The group a hole belongs to."""
        while self.parent[one] != one:
            self.parent[one] = self.parent[self.parent[one]]
            one = self.parent[one]
        return one

    def merge(self, a: int, b: int) -> None:
        """Two groups become one."""
        a, b = self.root(a), self.root(b)
        self.parent[b] = a
        for number, weight in self.weights[b].items():
            self.weights[a][number] = max(weight, self.weights[a].get(number, 0))
        self.has_pliers[a] |= self.has_pliers[b]
        self.touched -= self.counts[b]
        self._recount(a)

    def hold_window(self, one: int, number: int) -> None:
        """A window lies within the group: rivets, pliers, rivets."""
        one = self.root(one)
        if self.weights[one].get(number) != _TWICE or not self.has_pliers[one]:
            self.weights[one][number] = _TWICE
            self.has_pliers[one] = True
            self._recount(one)

    def _recount(self, one: int) -> None:
        self.touched -= self.counts[one]
        self.counts[one] = self._count(one)
        self.touched += self.counts[one]

    def _count(self, one: int) -> int:
        """Different runs that touch a group: classes with no setup in common."""
        taken: set[int] = set()
        count = int(self.has_pliers[one])
        ranked = sorted(
            self.weights[one].items(),
            key=lambda pair: (-pair[1], len(self.options[pair[0]]), pair[0]),
        )
        for number, weight in ranked:
            if not taken & self.options[number]:
                taken |= self.options[number]
                count += weight
        return count


def face_walk(needs: Needs, face: int) -> FaceWalk:
    """M(t) of one face.

    Args:
        needs: what rule B makes certain.
        face: the face.

    Returns:
        The steps of M(t) over lengths [mm].
    """
    stage = needs.classes.tables.stage
    on_face = needs.classes.tables.wanted & (stage.face == face)
    holes = [int(h) for h in np.flatnonzero(on_face)]
    place = {hole: k for k, hole in enumerate(holes)}
    clusters = _Clusters(needs, holes)
    edges = tree_edges(stage.x_mm[holes], stage.y_mm[holes])
    merges = [(length_mm, 0, a, b) for length_mm, a, b in edges]
    held = [
        (_span_mm(needs, window.holes), 1, place[window.holes[0]], window.number)
        for window in needs.windows
        if stage.face[window.holes[0]] == face
    ]
    steps: list[tuple[float, int]] = [(0.0, clusters.touched)]
    for length_mm, is_window, a, b in sorted(merges + held):
        if is_window:
            clusters.hold_window(a, b)
        else:
            clusters.merge(a, b)
        steps.append((length_mm, clusters.touched))
    from_mm = np.array([s for s, _ in steps])
    # Beyond the longest edge all is one group: nothing is walked on that account.
    to_mm = np.append(from_mm[1:], from_mm[-1])
    touched = np.array([t for _, t in steps], dtype=np.int64)
    return FaceWalk(from_mm, to_mm, touched, stage.costs.speed_mm_s)


def _span_mm(needs: Needs, holes: Sequence[int]) -> float:
    """The widest step from one hole of a window to the next, on the face."""
    stage = needs.classes.tables.stage
    return max((gap for gap in _gaps_mm(stage.x_mm, stage.y_mm, holes)), default=0.0)


def _gaps_mm(
    x_mm: NDArray[np.float64], y_mm: NDArray[np.float64], holes: Sequence[int]
) -> Iterator[float]:
    for a, b in pairwise(holes):
        yield float(np.hypot(x_mm[a] - x_mm[b], y_mm[a] - y_mm[b]))

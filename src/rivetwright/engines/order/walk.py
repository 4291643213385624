"""How far one walks at the least, over all runs of rivets and of pliers on a face.

A run is a stretch of rivets only, or of holder work only, without a swap and without
coming back from the bench. For any time `run_s` that is charged for each run:

    walking + run_s * runs >= 1/speed * integral from 0 to run_s * speed of M(t) dt

where M(t) adds up, over the groups of chosen holes that lie within steps shorter than
t of one another, how many different runs must touch the group. The proof stands in
`design/order_bound.md`. Runs of rivets and runs of pliers are counted apart, and for
rivets the holes may be chosen sparsely: a window asks for two runs, a hole for one.
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

from rivetwright.engines.order.needs import Needs, Window

_TWICE = 2  # rivets before and after the pliers
# How far apart windows are chosen; nought: every hole and every window.
_APART_MM = (0.0, 60.0, 120.0, 250.0, 500.0)
_EVERY_PAIR_MOST = 200
_CHARGES_MOST = 60


@dataclass(frozen=True, eq=False)
class Touching:
    """M(t) as steps: from each length on, so many runs touch the groups."""

    from_mm: NDArray[np.float64]
    runs: NDArray[np.int64]

    def over_mm(self, to_mm: float) -> float:
        """The integral of M(t) from nought.

        Args:
            to_mm: where it ends [mm].

        Returns:
            The integral [mm].
        """
        ends_mm = np.append(self.from_mm[1:], np.inf)
        length_mm = np.clip(np.minimum(ends_mm, to_mm) - self.from_mm, 0.0, None)
        return float(length_mm @ self.runs)


@dataclass(frozen=True, eq=False)
class FaceWalk:
    """Walking on one face: rivets by several choices of holes, pliers by one."""

    rivets: tuple[Touching, ...]
    pliers: Touching
    speed_mm_s: float

    def charged_s(self, run_s: float) -> float:
        """Walking at the least, with so much charged for each run.

        Args:
            run_s: charged for each run [s].

        Returns:
            What walking and charges come to at the least [s].
        """
        to_mm = run_s * self.speed_mm_s
        rivets_mm = max(one.over_mm(to_mm) for one in self.rivets)
        return (rivets_mm + self.pliers.over_mm(to_mm)) / self.speed_mm_s

    def best_charge_s(self, runs: int, most_s: float) -> float:
        """The charge for a run that makes the most of about so many runs.

        Args:
            runs: about how many runs there are.
            most_s: the charge at the most [s].

        Returns:
            The charge [s].
        """
        lengths_mm = [one.from_mm for one in (*self.rivets, self.pliers)]
        choices_s = np.unique(np.concatenate(lengths_mm)) / self.speed_mm_s
        choices_s = choices_s[choices_s <= most_s]
        if len(choices_s) > _CHARGES_MOST:
            picked = np.linspace(0, len(choices_s) - 1, _CHARGES_MOST).astype(int)
            choices_s = choices_s[picked]
        gains_s = [self.charged_s(float(c)) - float(c) * runs for c in choices_s]
        return float(choices_s[int(np.argmax(gains_s))]) if gains_s else 0.0


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
    if len(places) < _EVERY_PAIR_MOST:
        return every
    try:
        corners = Delaunay(places)
    except QhullError:  # all on one line
        return every
    if len(corners.coplanar):  # places upon one another are left out there
        return every
    sides = np.vstack([corners.simplices[:, pair] for pair in ([0, 1], [0, 2], [1, 2])])
    sides = np.unique(np.sort(sides, axis=1), axis=0)
    return sides[:, 0].astype(np.int64), sides[:, 1].astype(np.int64)


class _Clusters:
    """Groups of holes that grow together; for each, which classes touch it."""

    def __init__(self, needs: Needs, holes: Sequence[int]) -> None:
        self.options = [frozenset(c.options) for c in needs.classes.classes]
        self.parent = list(range(len(holes)))
        self.weights: list[dict[int, int]] = [
            {int(needs.classes.class_of[h]): 1} for h in holes
        ]
        self.counts = [1] * len(holes)
        self.runs = len(holes)

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
        self.runs -= self.counts[b]
        self._recount(a)

    def hold_window(self, one: int, number: int) -> None:
        """A window lies within the group: rivets before the pliers and after."""
        one = self.root(one)
        if self.weights[one].get(number) != _TWICE:
            self.weights[one][number] = _TWICE
            self._recount(one)

    def _recount(self, one: int) -> None:
        self.runs -= self.counts[one]
        self.counts[one] = self._count(one)
        self.runs += self.counts[one]

    def _count(self, one: int) -> int:
        """Different runs that touch a group: classes with no setup in common."""
        taken: set[int] = set()
        count = 0
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
    """Walking on one face.

    Args:
        needs: what rule B makes certain.
        face: the face.

    Returns:
        What is certain of runs of rivets and of pliers there.
    """
    tables = needs.classes.tables
    stage = tables.stage
    on_face = tables.wanted & (stage.face == face)
    holes = [int(h) for h in np.flatnonzero(on_face)]
    windows = [w for w in needs.windows if stage.face[w.holes[0]] == face]
    # Windows at the ends of rows are the shortest: they are chosen first.
    windows.sort(key=lambda window: len(window.holes))
    return FaceWalk(
        tuple(_rivets(needs, holes, windows, apart_mm) for apart_mm in _APART_MM),
        _pliers(needs, [h for h in holes if stage.holder[h]]),
        stage.costs.speed_mm_s,
    )


def _rivets(
    needs: Needs, holes: Sequence[int], windows: Sequence[Window], apart_mm: float
) -> Touching:
    """M(t) of runs of rivets, over windows and holes so far apart."""
    stage = needs.classes.tables.stage
    if apart_mm > 0.0:
        windows, holes = _sparse(needs, holes, windows, apart_mm)
    place = {hole: k for k, hole in enumerate(holes)}
    clusters = _Clusters(needs, holes)
    edges = tree_edges(stage.x_mm[list(holes)], stage.y_mm[list(holes)])
    merges = [(length_mm, 0, a, b) for length_mm, a, b in edges]
    held = [
        (_span_mm(needs, window.holes), 1, place[window.holes[0]], window.number)
        for window in windows
    ]
    from_mm, runs = [0.0], [clusters.runs]
    for length_mm, is_window, a, b in sorted(merges + held):
        if is_window:
            clusters.hold_window(a, b)
        else:
            clusters.merge(a, b)
        from_mm.append(length_mm)
        runs.append(clusters.runs)
    return Touching(np.array(from_mm), np.array(runs, dtype=np.int64))


def _sparse(
    needs: Needs, holes: Sequence[int], windows: Sequence[Window], apart_mm: float
) -> tuple[list[Window], list[int]]:
    """Windows, and then single holes, none nearer to another than this."""
    stage = needs.classes.tables.stage
    places = np.column_stack([stage.x_mm, stage.y_mm])
    kept: list[int] = []
    kept_windows: list[Window] = []

    def is_far(new: Sequence[int]) -> bool:
        if not kept:
            return True
        apart = places[list(new), None, :] - places[None, kept, :]
        return bool(np.hypot(apart[..., 0], apart[..., 1]).min() >= apart_mm)

    for window in windows:
        if is_far(window.holes):
            kept_windows.append(window)
            kept += window.holes
    for hole in holes:
        if is_far([hole]):
            kept.append(hole)
    return kept_windows, kept


def _pliers(needs: Needs, holes: Sequence[int]) -> Touching:
    """M(t) of runs of pliers: each holder is taken out in one of them."""
    stage = needs.classes.tables.stage
    edges = tree_edges(stage.x_mm[list(holes)], stage.y_mm[list(holes)])
    from_mm = np.array([0.0, *(length_mm for length_mm, _, _ in edges)])
    runs = len(holes) - np.arange(len(from_mm))
    return Touching(from_mm, runs.astype(np.int64))


def _span_mm(needs: Needs, holes: Sequence[int]) -> float:
    """The widest step from one hole of a window to the next, on the face."""
    stage = needs.classes.tables.stage
    return max(_gaps_mm(stage.x_mm, stage.y_mm, holes), default=0.0)


def _gaps_mm(
    x_mm: NDArray[np.float64], y_mm: NDArray[np.float64], holes: Sequence[int]
) -> Iterator[float]:
    for a, b in pairwise(holes):
        yield float(np.hypot(x_mm[a] - x_mm[b], y_mm[a] - y_mm[b]))

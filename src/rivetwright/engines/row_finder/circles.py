"""Bolt circles: holes evenly round a centre, found from three in a row of it."""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np
from scipy.spatial import KDTree

from rivetwright.engines.row_finder.fits import fit_arc
from rivetwright.engines.row_finder.lines import CIRCLE, NOWHERE, Line
from rivetwright.model.pattern import Places

NEIGHBOURS = 6
COUNT_LEAST, COUNT_MOST = 5, 24


def circles(places_mm: Places, tree: KDTree, tolerance_mm: float) -> Iterator[Line]:
    """Every full circle of 5 to 24 holes; one in six may be missing.

    Three neighbours that lie as in a regular polygon give centre and count; the other
    places are then looked up.  Larger circles come as chains.

    Args:
        places_mm: places of holes, shape (holes, 2) [mm].
        tree: the same places, for looking up the nearest.
        tolerance_mm: how far a hole may be off [mm].

    Yields:
        Circles, each once.
    """
    if len(places_mm) < COUNT_LEAST:
        return
    near = tree.query(places_mm, k=min(NEIGHBOURS + 1, len(places_mm)))[1]
    near = np.asarray(near)[:, 1:]
    one, two = np.triu_indices(near.shape[1], k=1)
    corner = np.repeat(np.arange(len(near)), len(one))
    to_one = places_mm[near[:, one].ravel()] - places_mm[corner]
    to_two = places_mm[near[:, two].ravel()] - places_mm[corner]
    length = np.hypot(*to_one.T)
    is_even = np.abs(np.hypot(*to_two.T) - length) <= 2 * tolerance_mm
    middle = to_one + to_two
    inward = np.hypot(*middle.T)
    # The half angle at a corner of a regular polygon of n is 90 degrees - 180/n.
    half = np.arccos(np.clip(inward / (2 * np.maximum(length, 1e-9)), 0.0, 1.0))
    count = np.rint(math.pi / np.maximum(math.pi / 2 - half, 1e-3)).astype(np.int64)
    fits = is_even & (count >= COUNT_LEAST) & (count <= COUNT_MOST) & (inward > 1e-6)
    seen: set[tuple[int, ...]] = set()
    for n in np.unique(count[fits]).tolist():
        chosen = np.flatnonzero(fits & (count == n))
        radius = length[chosen] / (2 * math.sin(math.pi / n))
        spoke = middle[chosen] / inward[chosen, None] * radius[:, None]
        hub = places_mm[corner[chosen]] + spoke
        yield from _looked_up(hub, -spoke, n, places_mm, tree, tolerance_mm, seen)


def _looked_up(
    hub: Places,
    spoke: Places,
    n: int,
    places_mm: Places,
    tree: KDTree,
    tolerance_mm: float,
    seen: set[tuple[int, ...]],
) -> Iterator[Line]:
    """Circles of one count whose places really hold holes."""
    angle = 2 * math.pi * np.arange(n) / n
    cosine, sine = np.cos(angle), np.sin(angle)
    u = spoke[:, :1] * cosine - spoke[:, 1:] * sine
    v = spoke[:, :1] * sine + spoke[:, 1:] * cosine
    miss, hole = tree.query(hub[:, None] + np.stack((u, v), axis=-1))
    hole = np.where(miss <= 4 * tolerance_mm, hole, NOWHERE)
    for round_hub in hole[(hole == NOWHERE).sum(axis=1) <= n // 6]:
        positions = tuple(int(one) for one in round_hub)
        key = tuple(sorted(positions))
        if key in seen:
            continue
        seen.add(key)
        line = Line(CIRCLE, _gap_last(positions))
        fit = fit_arc(places_mm[list(line.holes)], line.numbers())
        is_distinct = len(set(line.holes)) == len(line.holes)
        if is_distinct and fit is not None and fit.off_mm.max() <= tolerance_mm:
            yield line


def _gap_last(positions: tuple[int, ...]) -> tuple[int, ...]:
    """The same ring begun at a hole."""
    first = next(k for k, hole in enumerate(positions) if hole != NOWHERE)
    return positions[first:] + positions[:first]

"""Chains of holes that follow one another at one distance, straight or turning a bit.

A link is a step from a hole to one of its neighbours.  Its successor is the step of
the same length that goes on from there; links put one after another make chains.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.spatial import KDTree

from rivetwright.model.pattern import Places

Ints = NDArray[np.int64]

# Neighbours looked at: enough for two rows that run close beside a third.
NEIGHBOURS = 12
# Three places that are each off by the tolerance miss the fourth by four times that.
SLACK = 4.0
# A chain may turn by about 30 degrees a step: sin 15 degrees is a quarter.
TURN_RATIO_MOST = 0.5


@dataclass(frozen=True)
class Links:
    """Steps from hole to hole: from, to, and the link that goes on, or -1."""

    start: Ints
    end: Ints
    onward: Ints


def link_holes(places_mm: Places, tree: KDTree, tolerance_mm: float) -> Links:
    """Join every hole with its neighbours and find which link goes on from which.

    Args:
        places_mm: places, shape (holes, 2) [mm].
        tree: the same places, for looking up the nearest.
        tolerance_mm: how far a place may be off [mm].

    Returns:
        Links in order of start and end; a link is the successor of one link at most.
    """
    count = len(places_mm)
    near = tree.query(places_mm, k=min(NEIGHBOURS + 1, count))[1].reshape(count, -1)
    start = np.repeat(np.arange(count), near.shape[1])
    end = near.ravel()
    start, end = start[start != end], end[start != end]
    order = np.lexsort((end, start))
    start, end = start[order], end[order]
    step = places_mm[end] - places_mm[start]
    pitch = np.hypot(*step.T)
    miss, after = map(np.asarray, tree.query(places_mm[end] + step))
    following = np.hypot(*(places_mm[after] - places_mm[end]).T)
    goes_on = (miss <= SLACK * tolerance_mm) | (
        (np.abs(following - pitch) <= SLACK * tolerance_mm)
        & (miss <= TURN_RATIO_MOST * pitch)
    )
    goes_on &= (after != end) & (after != start)
    key, wanted = start * count + end, end * count + after
    at = np.minimum(np.searchsorted(key, wanted), len(key) - 1)
    goes_on &= key[at] == wanted
    onward = np.full(len(start), -1, dtype=np.int64)
    # Where two links lead into one, the straighter of them does.
    from_link = np.flatnonzero(goes_on)
    from_link = from_link[np.lexsort((from_link, miss[from_link], at[from_link]))]
    _, first = np.unique(at[from_link], return_index=True)
    onward[from_link[first]] = at[from_link[first]]
    return Links(start, end, onward)


def chains(links: Links) -> Iterator[tuple[int, ...]]:
    """Every chain of holes, each once whichever way it is walked.

    Args:
        links: links with their successors.

    Yields:
        Holes in order; the shortest chains have two.
    """
    onward = links.onward.tolist()
    start, end = links.start.tolist(), links.end.tolist()
    begins = np.ones(len(onward), dtype=bool)
    begins[links.onward[links.onward >= 0]] = False
    walked = bytearray(len(onward))
    seen: set[tuple[int, ...]] = set()
    # Rings have no beginning: they are walked last, from their first link.
    for link in [*np.flatnonzero(begins).tolist(), *range(len(onward))]:
        if walked[link]:
            continue
        holes = [start[link]]
        while link >= 0 and not walked[link]:
            walked[link] = 1
            holes.append(end[link])
            link = onward[link]
        if len(holes) > 3 and holes[0] == holes[-1]:
            holes.pop()
        chain = tuple(holes) if holes[0] < holes[-1] else tuple(reversed(holes))
        if chain not in seen:
            seen.add(chain)
            yield chain

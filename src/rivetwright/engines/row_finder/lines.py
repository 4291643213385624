"""Lines that may be rows: chains that lie straight or on a circle, also over gaps."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray
from scipy.spatial import KDTree

from rivetwright.engines.row_finder.fits import (
    ArcFit,
    StraightFit,
    fit_arc,
    fit_straight,
)
from rivetwright.model.pattern import Places

STRAIGHT, ARC, CIRCLE, EDGE = "straight", "arc", "circle", "along an edge"
NOWHERE = -1

STRAIGHT_LEAST = 3
STRAIGHT_LEAST_WITH_GAPS = 4
ARC_LEAST = 5
# Holes that may be missing one after another inside a row (judgement).
GAP_MOST = 3


@dataclass(frozen=True)
class Line:
    """Holes by position along a line; `NOWHERE` where a position has none."""

    kind: str
    positions: tuple[int, ...]

    @cached_property
    def holes(self) -> tuple[int, ...]:
        """The holes it has, in order."""
        return tuple(hole for hole in self.positions if hole != NOWHERE)

    @property
    def gap_count(self) -> int:
        """Positions without a hole."""
        return len(self.positions) - len(self.holes)

    @property
    def is_whole(self) -> bool:
        """Whether it has enough holes for what it claims to be."""
        if self.kind != STRAIGHT:
            return len(self.holes) >= ARC_LEAST and self.gap_count * 3 <= len(
                self.holes
            )
        least = STRAIGHT_LEAST_WITH_GAPS if self.gap_count else STRAIGHT_LEAST
        return len(self.holes) >= least and self.gap_count * 2 <= len(self.holes)

    def numbers(self) -> NDArray[np.float64]:
        """Position of each hole, counted from 0, shape (holes,)."""
        found = [k for k, hole in enumerate(self.positions) if hole != NOWHERE]
        return np.array(found, dtype=np.float64)

    def fit(self, places_mm: Places) -> StraightFit | ArcFit | None:
        """The straight line or the circle through its holes."""
        fit = fit_straight if self.kind == STRAIGHT else fit_arc
        return fit(places_mm[list(self.holes)], self.numbers())


def lines_of(
    chain: tuple[int, ...], places_mm: Places, tolerance_mm: float
) -> Iterator[Line]:
    """Cut a chain where it bends until every piece is straight or on a circle.

    Args:
        chain: holes in order.
        places_mm: places of all holes, shape (holes, 2) [mm].
        tolerance_mm: how far a hole may be off [mm].

    Yields:
        Straight lines of three holes or more, and arcs of five or more.
    """
    waiting = [chain]
    while waiting:
        holes = waiting.pop()
        if len(holes) < STRAIGHT_LEAST:
            continue
        spots = places_mm[list(holes)]
        position = np.arange(len(holes), dtype=np.float64)
        straight = fit_straight(spots, position)
        if straight.off_mm.max() <= tolerance_mm:
            yield Line(STRAIGHT, holes)
            continue
        arc = fit_arc(spots, position) if len(holes) >= ARC_LEAST else None
        if arc is not None and arc.off_mm.max() <= tolerance_mm:
            yield closed(holes, arc)
            continue
        worst = int(straight.off_mm.argmax())
        if worst in (0, len(holes) - 1):
            waiting.append(holes[1:] if worst == 0 else holes[:-1])
        else:
            waiting += [holes[: worst + 1], holes[worst:]]


def closed(holes: tuple[int, ...], arc: ArcFit) -> Line:
    """An arc, or a circle where its last hole is one step before its first.

    Args:
        holes: holes in order.
        arc: the circle they lie on.
    """
    turned = abs(arc.turn_rad) * len(holes)
    is_closed = abs(turned - math.tau) < 0.2 * abs(arc.turn_rad)
    return Line(CIRCLE if is_closed else ARC, holes)


def stretched(
    pieces: Iterable[tuple[int, ...]],
    places_mm: Places,
    tree: KDTree,
    tolerance_mm: float,
) -> Iterator[Line]:
    """Carry straight lines on over gaps, as far as holes are found.

    Args:
        pieces: holes that lie straight and evenly; two are enough to try.
        places_mm: places of all holes, shape (holes, 2) [mm].
        tree: the same places, for looking up the nearest.
        tolerance_mm: how far a hole may be off [mm].

    Yields:
        Lines with gaps, those alone that grew.
    """
    trying = list(pieces)
    if not trying:
        return
    first = places_mm[[holes[0] for holes in trying]]
    last = np.array([len(holes) - 1.0 for holes in trying])[:, None]
    step = (places_mm[[holes[-1] for holes in trying]] - first) / last
    beyond = np.arange(1.0, GAP_MOST + 2)
    ahead = np.concatenate((last + beyond, -beyond + 0 * last), axis=1)
    miss, _ = tree.query(first[:, None] + ahead[..., None] * step[:, None])
    is_there = np.asarray(miss) <= 2 * tolerance_mm
    # A hole right at the next position means that a longer chain has this piece in it.
    goes_on = is_there[:, 0] | is_there[:, GAP_MOST + 1]
    walked: set[tuple[int, int]] = set()
    # Two holes alone need two more near by to be a row with gaps at all.
    wanted = np.where(last[:, 0] > 1, 1, STRAIGHT_LEAST_WITH_GAPS - 2)
    for k in np.flatnonzero((is_there.sum(axis=1) >= wanted) & ~goes_on):
        piece = trying[k]
        if piece[:2] in walked:
            continue
        line = Line(STRAIGHT, _grown(piece, places_mm, tree, tolerance_mm))
        # Other pieces of a line that was walked would give the same line again.
        walked.update(pairwise(line.holes))
        walked.update(pairwise(line.holes[::-1]))
        if line.is_whole and line.positions != piece and len(line.holes) > len(piece):
            off_mm = fit_straight(places_mm[list(line.holes)], line.numbers()).off_mm
            if off_mm.max() <= tolerance_mm:
                yield line


def _grown(
    piece: tuple[int, ...], places_mm: Places, tree: KDTree, tolerance_mm: float
) -> tuple[int, ...]:
    """Positions of a piece carried on at both ends, as far as holes are found."""
    positions = list(piece)
    gaps = 0
    beyond = np.arange(1.0, GAP_MOST + 2)[:, None]
    for _ in range(2):
        positions.reverse()
        # What has more gaps than holes will be no row, however far it goes.
        while 2 * gaps <= len(positions):
            last = places_mm[positions[-1]]
            step = (last - places_mm[positions[0]]) / (len(positions) - 1)
            miss, holes = tree.query(last + beyond * step)
            near = np.flatnonzero(np.asarray(miss) <= 2 * tolerance_mm)
            if not len(near) or int(np.asarray(holes)[near[0]]) in positions:
                break
            gaps += int(near[0])
            positions += [NOWHERE] * int(near[0])
            positions.append(int(np.asarray(holes)[near[0]]))
    return tuple(positions)

"""Which lines become rows: the longest first, and each hole in one row alone."""

from __future__ import annotations

import heapq
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

import numpy as np

from rivetwright.engines.row_finder.lines import (
    ARC,
    CIRCLE,
    GAP_MOST,
    NOWHERE,
    STRAIGHT,
    Line,
)
from rivetwright.model.pattern import Places

# A line this near in length to the row that took its holes was as good a choice.
RIVAL_RATIO = 0.9


@dataclass
class Chosen:
    """A line taken as a row; `rivals` counts other rows that were as likely."""

    line: Line
    rivals: int = 0


def choose_lines(lines: Iterable[Line], places_mm: Places) -> list[Chosen]:
    """Take the line with most holes, cut the others where holes are gone, go on.

    Of two with equally many holes the one with fewer gaps, then the closer pitch, then
    the one that begins further down and left is taken.

    Args:
        lines: all lines that were found, also those that share holes.
        places_mm: places of holes, shape (holes, 2) [mm].

    Returns:
        Rows in the order they were taken.
    """
    chosen: list[Chosen] = []
    owner: dict[int, int] = {}
    waiting = [_ranked(line, len(line.holes), places_mm) for line in set(lines)]
    heapq.heapify(waiting)
    while waiting:
        *_, once, line = heapq.heappop(waiting)
        taken = [hole for hole in line.holes if hole in owner]
        if not taken:
            owner.update(dict.fromkeys(line.holes, len(chosen)))
            chosen.append(Chosen(line))
            continue
        if len(line.holes) == once:
            for row in {owner[hole] for hole in taken}:
                is_rival = once >= RIVAL_RATIO * len(chosen[row].line.holes)
                chosen[row].rivals += is_rival
        for piece in pieces(line, set(taken)):
            heapq.heappush(waiting, _ranked(piece, 0, places_mm))
    return chosen


def _ranked(
    line: Line, once: int, places_mm: Places
) -> tuple[int, int, float, int, tuple[int, ...], int, Line]:
    """A line with what decides its turn; `once` is how many holes it began with."""
    ends = places_mm[line.holes[-1]] - places_mm[line.holes[0]]
    pitch = round(float(np.hypot(*ends)) / (len(line.positions) - 1), 3)
    kind = (CIRCLE, STRAIGHT, ARC).index(line.kind)
    return (-len(line.holes), line.gap_count, pitch, kind, line.positions, once, line)


def pieces(line: Line, taken: set[int]) -> Iterator[Line]:
    """What is left of a line without some of its holes, cut at long gaps.

    Args:
        line: the line.
        taken: holes that belong to another row.

    Yields:
        Lines that are still enough for a row.
    """
    left = [NOWHERE if hole in taken else hole for hole in line.positions]
    kind = ARC if line.kind == CIRCLE else line.kind
    if line.kind == CIRCLE:
        # Begin behind the last hole that is gone, so that the ring opens there.
        opens = max(k for k, hole in enumerate(left) if hole == NOWHERE)
        left = left[opens + 1 :] + left[: opens + 1]
    begun: list[int] = []
    gap = 0
    for hole in [*left, *(GAP_MOST + 1) * [NOWHERE]]:
        gap = gap + 1 if hole == NOWHERE else 0
        begun.append(hole)
        if gap > GAP_MOST:
            piece = Line(kind, _trimmed(begun))
            if piece.is_whole:
                yield piece
            begun = []


def _trimmed(positions: list[int]) -> tuple[int, ...]:
    """Positions from the first hole to the last."""
    held = [k for k, hole in enumerate(positions) if hole != NOWHERE]
    return tuple(positions[held[0] : held[-1] + 1]) if held else ()

"""One gap for several stacks: the fewest gaps that hold the head of each in its band.

Every stack alone gets the gap that is best for it. Set in one go, stacks whose bands
overlap may share one: a change of shims and its proof rivet cost more than the best
head is worth. A shared gap keeps as clear of the limits as each stack's own one does.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from rivetwright.engines.rules import Column
from rivetwright.engines.squeeze.batch import Batch, heads_of
from rivetwright.engines.squeeze.choosing import NO, Rule
from rivetwright.engines.squeeze.stacking import Ints
from rivetwright.units.tolerance import TOLERANCE_MM


def share_gaps(batch: Batch, rows: Ints) -> Batch:
    """The batch with as few gaps as do for some of its rows.

    Bands are gone through by their upper ends. Each that no gap chosen before holds
    gets the widest gap of the pieces owned inside it; so no fewer gaps would do, and
    heads come out no thinner than they must. Rows that stay alone keep their own, and
    so do those turned out of a threaded holder, which reaches every gap.

    Args:
        batch: the set-ups of classes in one yoke of one squeezer.
        rows: which of them are set in one go [-].

    Returns:
        The batch, in which rows that share a gap have the same pieces.

    Source: own search, exact.
    """
    index = batch.index.copy()
    for group in dict.fromkeys(batch.group(row) for row in rows.tolist()):
        mine = [row for row in rows.tolist() if _may_share(batch, group, row)]
        for shared, inside in _shared(batch, group, mine):
            if len({int(batch.index[row]) for row in inside}) > 1:
                index[inside] = shared
    return _laid(batch, index)


def at_gap(batch: Batch, gap_mm: float) -> Batch:
    """The batch with one gap for all rows for which the pieces owned leave it.

    Args:
        batch: the set-ups of classes in one yoke of one squeezer.
        gap_mm: the closed gap [mm].

    Returns:
        The batch; rows for which nothing leaves that gap keep their own.

    Source: own search, exact.
    """
    index = batch.index.copy()
    for row in range(len(batch)):
        if index[row] == NO or batch.turned_mm[row]:
            continue
        gaps = batch.found[batch.group(row)].gap_mm
        nearest = int(np.argmin(np.abs(gaps - gap_mm)))
        if abs(gaps[nearest] - gap_mm) <= _SAID_TO_MM:
            index[row] = nearest
    return _laid(batch, index)


# A gap is passed on in thousandths of a millimetre.
_SAID_TO_MM = 0.0006


def _may_share(batch: Batch, group: tuple[int, bool], row: int) -> bool:
    """Whether a row's head is held by pieces that another row may have too."""
    holds = batch.index[row] != NO and batch.rule[row] <= Rule.THICKER
    return bool(holds and not batch.turned_mm[row] and batch.group(row) == group)


def _shared(
    batch: Batch, group: tuple[int, bool], rows: list[int]
) -> list[tuple[int, list[int]]]:
    """Combinations that hold several rows, and which: the fewest there can be."""
    if not rows:
        return []
    gap_mm = batch.found[group].gap_mm
    low, high = _bands_mm(batch, np.array(rows, dtype=np.int64))
    left = sorted(range(len(rows)), key=lambda k: (high[k], low[k], rows[k]))
    found = []
    while left:
        first = left[0]
        top = int(np.searchsorted(gap_mm, high[first] + TOLERANCE_MM, "right")) - 1
        inside = [k for k in left if low[k] - TOLERANCE_MM <= gap_mm[top]]
        # What the first has by itself needs fewer changes, if it does for all.
        own = int(batch.index[rows[first]])
        is_enough = gap_mm[own] >= max(low[k] for k in inside) - TOLERANCE_MM
        found.append((own if is_enough else top, [rows[k] for k in inside]))
        left = [k for k in left if k not in inside]
    return found


def _bands_mm(batch: Batch, rows: Ints) -> tuple[Column, Column]:
    """Between which gaps each row's head is as good as with its own [mm]."""
    asked = batch.needs.part(rows).asked(batch.spring.mm_n, batch.offset_mm[rows])
    is_clear = batch.rule[rows] == Rule.THICKER_CLEAR
    return (
        np.where(is_clear, asked.clear_low_mm, asked.low_mm),
        np.where(is_clear, asked.clear_high_mm, asked.high_mm),
    )


def _laid(batch: Batch, index: Ints) -> Batch:
    """The batch with other pieces put in, and the heads that they make."""
    gap_mm = batch.gap_mm.copy()
    for row in np.flatnonzero(index != batch.index).tolist():
        gap_mm[row] = batch.found[batch.group(row)].gap_mm[index[row]]
    heads, forces = heads_of(batch.needs, batch.spring, gap_mm, batch.offset_mm)
    return replace(batch, index=index, gap_mm=gap_mm, head_mm=heads, force_n=forces)

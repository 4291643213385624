"""Which row and hole of one revision is which of another: by id, by name, by place."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from rivetwright.model.columns import Holes
from rivetwright.units.tolerance import TOLERANCE_MM

Ints = NDArray[np.int64]
NONE = -1
# So much of a row must lie where the other's holes lie (JUDGEMENT: more than half).
SAME_SHARE = 0.5


class By(StrEnum):
    """What says that two rows are the same; name and place are to be confirmed."""

    ID = "id"
    NAME = "name"
    PLACE = "place"


@dataclass(frozen=True)
class RowMatch:
    """A row of both revisions, by its places in the two plans."""

    old: int
    new: int
    by: By


@dataclass(frozen=True)
class Matching:
    """Rows and holes of two revisions put side by side.

    `new_of`, shape (old holes,), and `old_of`, shape (new holes,): the other's hole,
    -1 where there is none.
    """

    rows: tuple[RowMatch, ...]
    new_of: Ints
    old_of: Ints


def match(old: Holes, new: Holes, lineage: Mapping[str, str]) -> Matching:
    """Put rows and holes of two revisions side by side.

    Args:
        old: holes of the earlier revision.
        new: holes of the later one.
        lineage: row ids that a person said became others, old to new.

    Source: permanent ids first; then names; then places.
    """
    rows = _rows(old, new, lineage)
    new_of = np.full(len(old), NONE, dtype=np.int64)
    old_of = np.full(len(new), NONE, dtype=np.int64)
    for one in rows:
        numbers = {int(new.number[k]): k for k in _holes(new, one.new)}
        for hole in _holes(old, one.old):
            other = numbers.get(int(old.number[hole]))
            if other is not None:
                new_of[hole], old_of[other] = other, hole
    return Matching(rows, new_of, old_of)


def _holes(holes: Holes, row: int) -> range:
    return range(int(holes.row_start[row]), int(holes.row_start[row + 1]))


def _rows(old: Holes, new: Holes, lineage: Mapping[str, str]) -> tuple[RowMatch, ...]:
    """Rows that are the same."""
    left = dict(enumerate(old.plan.rows))
    there = dict(enumerate(new.plan.rows))
    found: list[RowMatch] = []

    def take(keys: Mapping[int, object], others: Mapping[object, int], by: By) -> None:
        for k, key in keys.items():
            other = others.get(key)
            if other in there:
                found.append(RowMatch(k, other, by))
                del left[k], there[other]

    ids = {k: lineage.get(row.id, row.id) for k, row in left.items()}
    take(ids, {row.id: k for k, row in there.items()}, By.ID)
    names = {k: row.name for k, row in left.items()}
    take(names, {row.name: k for k, row in there.items()}, By.NAME)
    for k in list(left):
        other = _same_place(old, k, new, there)
        if other is not None:
            found.append(RowMatch(k, other, By.PLACE))
            del left[k], there[other]
    return tuple(sorted(found, key=lambda one: one.old))


def _same_place(
    old: Holes, row: int, new: Holes, others: Mapping[int, object]
) -> int | None:
    """A row of the same face most of whose holes lie where this row's do."""
    here = _places(old, row)
    for other in others:
        if old.plan.rows[row].face != new.plan.rows[other].face:
            continue
        there = _places(new, other)
        shared = min(len(here), len(there))
        if not shared:
            continue
        apart = np.hypot(*(here[:shared] - there[:shared]).T)
        if np.mean(apart <= TOLERANCE_MM) > SAME_SHARE:
            return other
    return None


def _places(holes: Holes, row: int) -> NDArray[np.float64]:
    """Places of a row, shape (holes of the row, 2) [mm]."""
    span = slice(int(holes.row_start[row]), int(holes.row_start[row + 1]))
    return np.column_stack((holes.x_mm[span], holes.y_mm[span]))

"""Sheet holders of a stage: where they are, where they should be, how many are left.

Where the record names holders in a row they are what there is; else every second hole
and both ends should have one. Too few of a size are set farther apart as long as their
row is held; what then still lacks is left out, so that the order finds the loose row.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rivetwright.engines.order.holders import every_second
from rivetwright.engines.order.rows import RowRules
from rivetwright.engines.order.stage import Tables
from rivetwright.model.shop import Shop
from rivetwright.model.stage import BARE, Stage

Flags = NDArray[np.bool_]
# Sheet holders to spare where the shop does not say how many it has.
SPARE_UNKNOWN = 10


@dataclass(frozen=True)
class Placed:
    """Holders as a stage begins, shape (holes,); those to put in; how many to spare.

    A stage counts its spare holders as one: those of the size that is shortest.
    """

    holder: Flags
    added: tuple[int, ...]
    spare: int


def place_holders(
    stage: Stage,
    recorded: Flags,
    sizes: Sequence[int],
    free: Mapping[int, int],
    reminders: Sequence[int],
) -> Placed:
    """Where holders are and should be.

    Args:
        stage: the stage, without holders.
        recorded: holes with a holder by the record.
        sizes: size of the holder of each hole [1/32 in].
        free: holders in the box now, by size [1/32 in: count]; empty: not known.
        reminders: holes that keep a holder until their turn.
    """
    holder = recorded & ~stage.is_set
    for row in Tables(stage).rows:
        if not row or recorded[list(row)].any():
            continue
        if len([h for h in row if not stage.is_deferred[h]]) > 1:
            for rank in every_second(len(row)):
                holder[row[rank]] = not stage.is_set[row[rank]]
    for hole in reminders:
        holder[hole] = not stage.is_set[hole]
    is_open = [after != BARE and not stage.done[after] for after in stage.row_after]
    wave = np.where(is_open, stage.row_after, BARE)[stage.row]
    for size, count in sorted(free.items()):
        mine = np.array([one == size for one in sizes], dtype=bool) & ~recorded
        # Rows that come later are held when those before them hold by rivets.
        for one in sorted(set(wave.tolist())):
            _thin(stage, holder, holder & mine & (wave == one), max(0, count))
    placed = np.flatnonzero(holder & ~recorded).tolist()
    left = [
        count - sum(sizes[h] == size and wave[h] == BARE for h in placed)
        for size, count in free.items()
    ]
    return Placed(holder, tuple(placed), max(0, min(left, default=SPARE_UNKNOWN)))


def _thin(stage: Stage, holder: Flags, added: Flags, most: int) -> None:
    """Leave out holders of one size until there are enough of them."""
    over = int(added.sum()) - most
    if over <= 0:
        return
    rules = RowRules(Tables(stage))
    fast = (holder | stage.is_set).tolist()
    for row in rules.rows:
        for hole in row:
            if over and added[hole]:
                fast[hole] = False
                if rules.is_held_without(hole, fast):
                    holder[hole], over = False, over - 1
                else:
                    fast[hole] = True
    for hole in reversed(np.flatnonzero(added & holder).tolist()):
        if over:
            holder[hole], over = False, over - 1


def reminder_holes(stage: Stage, callouts: Sequence[str]) -> list[int]:
    """Holes that get another rivet than most of their row.

    Args:
        stage: the stage.
        callouts: callout of each hole.
    """
    found = []
    for row in Tables(stage).rows:
        inside = [callouts[hole] for hole in row]
        usual = max(dict.fromkeys(inside), key=inside.count, default="")
        found += [h for h in row if callouts[h] != usual and not stage.is_set[h]]
    return found


def free_holders(
    shop: Shop | None,
    sizes: Sequence[int],
    recorded: Flags,
    elsewhere: Mapping[int, int],
) -> dict[int, int]:
    """Holders of each size that are in the box now; empty where it is not known.

    Args:
        shop: how many are owned.
        sizes: size of the holder of each hole [1/32 in].
        recorded: holes with a holder by the record.
        elsewhere: holders in other holes [1/32 in: count].
    """
    owned = {one.diameter_32nds: one.count for one in shop.holders} if shop else {}
    if not owned:
        return {}
    here = [sizes[hole] for hole in np.flatnonzero(recorded).tolist()]
    return {
        size: owned.get(size, 0) - here.count(size) - elsewhere.get(size, 0)
        for size in sorted(set(sizes))
    }

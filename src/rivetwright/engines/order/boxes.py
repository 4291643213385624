"""The box of sheet holders, size by size, from the first holder to the last rivet."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass

from rivetwright.engines.order.from_plan import Staged
from rivetwright.engines.order.steps import Steps
from rivetwright.model.stage import BARE, Kind


@dataclass(frozen=True)
class Box:
    """Sheet holders of one size in the course of an order.

    Args:
        diameter_32nds: which holes they fit [1/32 in].
        free: in the box as it is now; None: the shop does not say how many it has.
        first: put in before the first rivet, those of parts that come later included.
        most: in holes at one time, what is in them now counted.
        least: left in the box when it is emptiest; None: not known.
    """

    diameter_32nds: int
    free: int | None
    first: int
    most: int
    least: int | None

    @property
    def short(self) -> int:
        """How many are missing when the box is emptiest."""
        return 0 if self.least is None else max(0, -self.least)


def boxes_of(staged: Staged, steps: Steps) -> tuple[Box, ...]:
    """How many holders of each size are in holes and in the box.

    Args:
        staged: the stage and the way back.
        steps: an order of it.

    Returns:
        A box for each size that the stage has holes for.
    """
    stage = staged.stage
    added = {staged.holes.index(hole) for hole in staged.to_put_in}
    held = [k for k, one in enumerate(stage.holder.tolist()) if one]
    at_first = Counter(staged.sizes[k] for k in held if k not in added)
    first = Counter(staged.sizes[k] for k in added)
    found = []
    for size in sorted(set(staged.sizes)):
        levels = list(_levels(staged, steps, size, at_first[size]))
        free = staged.free.get(size) if staged.free else None
        most = max(levels)
        least = None if free is None else free - (most - at_first[size])
        found.append(Box(size, free, first[size], most, least))
    return tuple(found)


def _levels(staged: Staged, steps: Steps, size: int, at_first: int) -> Iterator[int]:
    """Holders of a size in holes, after each thing done."""
    stage = staged.stage
    after = stage.row_after.tolist()
    added = {staged.holes.index(hole) for hole in staged.to_put_in}
    waits: Counter[int] = Counter()
    for k in added:
        if staged.sizes[k] == size:
            part = after[stage.row[k]]
            is_there = part == BARE or bool(stage.done[part])
            waits[BARE if is_there else part] += 1
    count = at_first + waits[BARE]
    yield count
    for kind, index in steps:
        if kind == Kind.MILESTONE:
            count += waits[index]
        elif kind in (Kind.OUT, Kind.IN) and staged.sizes[index] == size:
            count += 1 if kind == Kind.IN else -1
        yield count

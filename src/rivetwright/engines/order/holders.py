"""Where sheet holders go before riveting, how many of each size, and if they suffice.

Every second hole of a row and both its ends. For match-drilling every row is held, for
the final assembly the rows from one step to the next inspection.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from rivetwright.engines.worked import Worked
from rivetwright.model.columns import preceding_steps
from rivetwright.model.shop import Shop

MM_PER_32ND = 25.4 / 32
MATCH_DRILLING, ASSEMBLY = "match-drilling", "assembly"


@dataclass(frozen=True)
class HolderCount:
    """Holders of one size: wanted, owned, in use elsewhere.

    `wanted` is one to every second hole; `placed` also holds both ends of each row.
    `owned` is None where the shop does not say.
    """

    diameter_32nds: int
    wanted: int
    placed: int
    owned: int | None
    elsewhere: int = 0

    @property
    def free(self) -> int | None:
        """How many are not in use elsewhere; None: not known."""
        return None if self.owned is None else max(0, self.owned - self.elsewhere)

    @property
    def short(self) -> int:
        """How many are missing for every second hole."""
        return 0 if self.free is None else max(0, self.wanted - self.free)


@dataclass(frozen=True)
class HolderPlan:
    """Holders for one purpose: the steps it is for, each size, the holes they go in."""

    purpose: str
    steps: tuple[str, ...]
    counts: tuple[HolderCount, ...]
    holes: tuple[int, ...]

    @property
    def is_enough(self) -> bool:
        """Whether there are enough of every size."""
        return not any(count.short for count in self.counts)


def size_of(worked: Worked, hole: int) -> int:
    """Size of the sheet holder that fits a hole [1/32 in].

    Args:
        worked: the worked-out plan.
        hole: index of the hole.
    """
    shank_mm = float(worked.of_holes("shank_diameter_mm")[hole])
    if not np.isfinite(shank_mm):
        return 0
    return round(shank_mm / MM_PER_32ND)


def every_second(count: int) -> tuple[int, ...]:
    """Ranks that are held in a row of so many holes: every second, and both ends.

    A row of one hole is held by its neighbours, one of two by its first hole.

    Args:
        count: holes of the row.
    """
    if count < 2:
        return ()
    if count == 2:
        return (0,)
    return tuple(k for k in range(count) if k % 2 == 0 or k == count - 1)


def steps_together(worked: Worked, step: str) -> tuple[str, ...]:
    """A step and those that follow it up to the next inspection, in their order.

    Args:
        worked: the worked-out plan.
        step: name of the step.
    """
    plan = worked.plan
    index = {one.name: k for k, one in enumerate(plan.steps)}
    if step not in index:
        return ()
    before = preceding_steps(plan)
    ends = [k for k, one in enumerate(plan.steps) if one.is_inspection]
    start = index[step]
    found = [
        k
        for k in range(len(plan.steps))
        if before[k, start]
        and not any(before[k, end] and before[end, start] for end in ends)
    ]
    return tuple(plan.steps[k].name for k in found)


def holes_together(worked: Worked, step: str = "") -> tuple[int, ...]:
    """Holes that are held at the same time.

    Args:
        worked: the worked-out plan.
        step: from this step to the next inspection; empty: all, for match-drilling.
    """
    holes = worked.holes
    if not step:
        return tuple(range(len(holes)))
    names = {one.name: k for k, one in enumerate(worked.plan.steps)}
    row_step = [names.get(row.step, -1) for row in worked.plan.rows]
    asked = [names[name] for name in steps_together(worked, step)]
    of_row = np.array(row_step, dtype=np.int64)[holes.row]
    here = np.isin(of_row, asked) | np.isin(holes.step, asked)
    return tuple(np.flatnonzero(here).tolist())


def holder_plan(
    worked: Worked,
    shop: Shop | None,
    step: str = "",
    elsewhere: Mapping[int, int] | None = None,
) -> HolderPlan:
    """Where holders go and whether there are enough.

    Args:
        worked: the worked-out plan.
        shop: how many are owned; None: not known.
        step: for the final assembly from this step on; empty: for match-drilling.
        elsewhere: how many of each size are in other assemblies [1/32 in: count].

    Source: common practice, every second hole and both ends.
    """
    chosen = holes_together(worked, step)
    return HolderPlan(
        ASSEMBLY if step else MATCH_DRILLING,
        steps_together(worked, step) if step else (),
        _counts(worked, shop, chosen, elsewhere or {}),
        _places(worked, chosen),
    )


def _places(worked: Worked, chosen: Iterable[int]) -> tuple[int, ...]:
    by_row: dict[int, list[int]] = {}
    for hole in chosen:
        by_row.setdefault(int(worked.holes.row[hole]), []).append(hole)
    return tuple(
        row[rank] for row in by_row.values() for rank in every_second(len(row))
    )


def _counts(
    worked: Worked,
    shop: Shop | None,
    chosen: Sequence[int],
    elsewhere: Mapping[int, int],
) -> tuple[HolderCount, ...]:
    by_size: dict[int, int] = {}
    for hole in chosen:
        size = size_of(worked, hole)
        by_size[size] = by_size.get(size, 0) + 1
    placed: dict[int, int] = {}
    for hole in _places(worked, chosen):
        size = size_of(worked, hole)
        placed[size] = placed.get(size, 0) + 1
    owned = {one.diameter_32nds: one.count for one in shop.holders} if shop else {}
    is_said = bool(owned)
    return tuple(
        HolderCount(
            size,
            (count + 1) // 2,
            placed.get(size, 0),
            owned.get(size, 0) if is_said else None,
            elsewhere.get(size, 0),
        )
        for size, count in sorted(by_size.items())
    )

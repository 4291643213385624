"""What the holes of a plan ask of a tool: rivet, surroundings, ways in."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, fields, replace

import numpy as np
from numpy.typing import NDArray

from rivetwright.engines.reach.outlines import WaysIn
from rivetwright.engines.reach.surroundings import surroundings
from rivetwright.engines.rules import Column
from rivetwright.engines.worked import Worked

BACK_RIVET = "back-rivet"


@dataclass(frozen=True)
class Asked:
    """What each hole asks, shape (holes,) each; infinite: open, NaN: not known.

    `gap_behind_mm` is the depth as it is now, `gap_if_second_mm` when the rivet on the
    flange opposite is set first. `on_plate`: the plan back-rivets it. `doubt_mm` is how
    far its place may be off. `ways` count their holes from 0.
    """

    shank_mm: Column
    length_mm: Column
    tail_mm: Column
    grip_mm: Column
    head_height_mm: Column
    is_solid: NDArray[np.bool_]
    is_flush: NDArray[np.bool_]
    gap_behind_mm: Column
    gap_if_second_mm: Column
    wall_shop_mm: Column
    wall_head_mm: Column
    has_both_sides: NDArray[np.bool_]
    least_entry_mm: Column
    is_known: NDArray[np.bool_]
    on_plate: NDArray[np.bool_]
    doubt_mm: Column
    ways: WaysIn

    def __len__(self) -> int:
        """Number of holes."""
        return len(self.shank_mm)

    def at(self, hole: int) -> Asked:
        """What one hole asks."""
        low, high = np.searchsorted(self.ways.hole, (hole, hole + 1))
        ways = self.ways.at(np.arange(low, high))
        ways = replace(ways, hole=np.zeros(high - low, dtype=np.int64))
        names = [one.name for one in fields(self) if one.name != "ways"]
        return replace(self, ways=ways, **{n: getattr(self, n)[[hole]] for n in names})


def asked_of(worked: Worked) -> Asked:
    """What every hole of a plan asks of a tool.

    Source: the plan's columns; own geometry.
    """
    found = surroundings(worked)
    around = found.used
    takes = found.opposite_takes_mm
    is_set = worked.holes.is_set & (worked.holes.x_mm == worked.holes.x_mm)
    first = (found.opposite >= 0) & is_set[found.opposite]
    solid = worked.of_holes("is_solid")
    head = worked.of_holes("head_height_mm")
    return Asked(
        shank_mm=worked.of_holes("shank_diameter_mm"),
        length_mm=worked.of_holes("length_mm"),
        tail_mm=np.where(solid, worked.of_holes("tail_mm"), 0.0),
        grip_mm=worked.of_holes("grip_mm"),
        head_height_mm=np.where(worked.of_holes("is_flush"), 0.0, head),
        is_solid=solid,
        is_flush=worked.of_holes("is_flush"),
        gap_behind_mm=around.gap_behind_mm - np.where(first, takes, 0.0),
        gap_if_second_mm=around.gap_behind_mm - takes,
        wall_shop_mm=around.wall_shop_mm,
        wall_head_mm=around.wall_head_mm,
        has_both_sides=around.has_both_sides,
        least_entry_mm=around.least_entry_mm(),
        is_known=around.is_known,
        on_plate=_on_plate(worked),
        doubt_mm=np.where(found.is_by_hand, 0.0, worked.holes.place_tolerance_mm),
        ways=around.ways,
    )


def planned_tools(worked: Worked) -> Iterator[tuple[int, tuple[str, ...]]]:
    """Each row that names tools, and the tools it names.

    Source: the plan.
    """
    for k, row in enumerate(worked.plan.rows):
        if row.access is not None and row.access.tools:
            yield k, row.access.tools


def step_tools(worked: Worked) -> Iterator[tuple[int, tuple[str, ...]]]:
    """Each step that needs tools, and the tools it needs.

    Source: the plan.
    """
    for k, step in enumerate(worked.plan.steps):
        names = tuple(need.name for need in step.needs if need.kind == "tool")
        if names:
            yield k, names


def _on_plate(worked: Worked) -> NDArray[np.bool_]:
    """Whether the plan names a back-rivet tool for the row or its step."""
    tools = worked.shop.tools if worked.shop else ()
    plates = {tool.id for tool in tools if tool.kind == BACK_RIVET}
    rows = np.zeros(len(worked.plan.rows) + 1, dtype=bool)
    steps = np.zeros(len(worked.plan.steps) + 1, dtype=bool)
    for marks, named in ((rows, planned_tools(worked)), (steps, step_tools(worked))):
        for k, names in named:
            marks[k] = bool(plates & set(names))
    # Index -1 reads the entry past the last: no step, no plate.
    return rows[worked.holes.row] | steps[worked.holes.step]

"""The ways a hole can be set; hands, helper and noise belong to the way."""

from __future__ import annotations

from dataclasses import dataclass

from rivetwright.engines.reach.fit import ToolFit, tools_at
from rivetwright.engines.reach.throat import YOKE
from rivetwright.engines.worked import Worked
from rivetwright.model.shop import Shop, Tool
from rivetwright.standards.reach import Way, squeezer_way, ways_of_kind
from rivetwright.standards.source import Looked


@dataclass(frozen=True)
class WayToSet:
    """One way to set a hole: the tool that gets there, and what the way asks."""

    tool: ToolFit
    way: Looked[Way]


def ways_of(tool: Tool, shop: Shop) -> tuple[Looked[Way], ...]:
    """The ways a tool serves with what the shop has beside it.

    A yoke goes on each kind of squeezer owned; without any named it is not said on
    which.

    Args:
        tool: a tool that sets rivets [-].
        shop: its squeezers [-].

    Raises:
        OutsideTable: the table has no such kind of tool or squeezer.

    Source: ways.csv, status per row.
    """
    kinds = dict.fromkeys(one.kind for one in shop.squeezers)
    if tool.kind == YOKE and kinds:
        return tuple(squeezer_way(kind) for kind in kinds)
    return ways_of_kind(tool.kind)


def ways_at(worked: Worked, hole: int) -> tuple[WayToSet, ...]:
    """Every way to set a hole, in the shop's order; empty where no tool gets there.

    Source: own geometry; ways.csv.
    """
    shop = worked.shop
    if shop is None:
        return ()
    return tuple(
        WayToSet(fit, way)
        for fit in tools_at(worked, hole)
        if fit.gets_there
        for way in ways_of(fit.tool, shop)
    )

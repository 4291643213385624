"""How high a flange a yoke takes in its throat."""

from __future__ import annotations

import numpy as np

from rivetwright.model.shop import Shop, Tool
from rivetwright.standards.reach import reach_margin_mm

YOKE = "yoke"


def room_over_flange_mm(tool: Tool) -> float:
    """How much deeper than the flange its throat must be; 0 where it jumps one [mm].

    Source: reach_margins.csv.
    """
    if tool.jumps_flange_mm is not None:
        return 0.0
    return float(reach_margin_mm("room over a flange").value)


def throat_mm(tool: Tool) -> float:
    """The highest flange that a yoke takes, its margin kept [mm].

    Source: the shop; reach_margins.csv.
    """
    if tool.jumps_flange_mm is not None:
        return tool.jumps_flange_mm
    gap = np.inf if tool.gap_mm is None else tool.gap_mm
    return gap - room_over_flange_mm(tool)


def flange_max_mm(shop: Shop | None) -> float:
    """The highest flange that any yoke of the shop takes [mm].

    Source: the shop; reach_margins.csv.
    """
    yokes = [tool for tool in (shop.tools if shop else ()) if tool.kind == YOKE]
    return max([throat_mm(tool) for tool in yokes], default=np.inf)

"""Tools and air as JSON: plain values with the unit in each key, and a format version.

A range is written as its low, usual and high figure; what is not known, or without
end, is null.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from typing import Any

from rivetwright.bench.air import AirNow
from rivetwright.bench.tools import RowTools, ToolAtHole, row_tools, tools_at_hole
from rivetwright.engines.air_faults import Suspect
from rivetwright.engines.air_line import Drop
from rivetwright.engines.figure import Figure
from rivetwright.engines.plan import WorkedPlan
from rivetwright.engines.reach.fit import ToolFit
from rivetwright.model.shop import Tool
from rivetwright.standards.spread import Spread

TOOLS_FORMAT, AIR_FORMAT = "rivetwright tools 1", "rivetwright air 1"
DIGITS = 6


def tools_result(worked_plan: WorkedPlan, hole: int | None = None) -> dict[str, Any]:
    """The tools of every row of a plan, or every tool at one hole."""
    plan = worked_plan.worked.plan
    told: dict[str, Any] = {
        "format": TOOLS_FORMAT,
        "assembly": plan.id,
        "revision": plan.revision,
    }
    if hole is None:
        rows = row_tools(worked_plan)
        return told | {"rows": [_row(worked_plan, row) for row in rows]}
    at = tools_at_hole(worked_plan, hole)
    every = (*at.there, *at.others) if at else ()
    return told | {
        "hole": worked_plan.worked.holes.name(hole),
        "tools": [_tool_at(one) for one in every],
        "preparing": [
            {
                "part": work.part,
                "operation": work.operation,
                "tools": [_fit(one) for one in work.tools],
            }
            for work in (at.preparing if at else ())
        ],
    }


def _row(worked_plan: WorkedPlan, row: RowTools) -> dict[str, Any]:
    """Holes that the same tools get to."""
    return {
        "holes": [worked_plan.worked.holes.name(hole) for hole in row.holes],
        "planned": list(row.planned),
        "verdict": row.verdict,
        "clear": [_tool(one) for one in row.clear],
        "tight": [_tool(one) for one in row.tight],
        "not_judged": [_tool(one) for one in row.unjudged],
        "nearest": _fit(row.nearest) if row.nearest else None,
        "takes_two": row.takes_two,
    }


def _tool(tool: Tool) -> dict[str, Any]:
    """A tool with where its delivery stands."""
    due = tool.due.isoformat() if tool.due else None
    return {"id": tool.id, "state": tool.state, "due": due}


def _fit(fit: ToolFit) -> dict[str, Any]:
    """How a tool fits, and the one thing that decides."""
    return {
        "tool": fit.tool.id,
        "fit": fit.fit,
        "limit": fit.limit or None,
        "has_mm": _number(fit.has_mm),
        "needs_mm": _number(fit.needs_mm),
    }


def _tool_at(one: ToolAtHole) -> dict[str, Any]:
    """A tool at a hole with the ways it is used."""
    tool = one.fit.tool
    return {
        **_fit(one.fit),
        "state": tool.state,
        "due": tool.due.isoformat() if tool.due else None,
        "planned": one.is_planned,
        "ways": [
            {
                "way": way.name,
                "both_hands": way.needs_both_hands,
                "takes_two": way.takes_two,
                "noisy": way.is_noisy,
            }
            for way in one.ways
        ],
    }


def air_result(now: AirNow) -> dict[str, Any]:
    """The air of a shop: its figures, what bounds it, the line, what may starve it."""
    supply = now.supply
    return {
        "format": AIR_FORMAT,
        "shop": now.shop.id,
        "squeezer": now.squeezer.title if now.squeezer else None,
        "is_enough": supply.is_enough,
        "is_over": supply.is_over,
        "missing": list(supply.missing),
        "figures": {name: _figure(one) for name, one in now.figures.items()},
        "limits": [
            {
                "name": one.name,
                "place": one.place,
                "holds": one.holds,
                "gives_kpa": _spread(one.figure.value),
            }
            for one in supply.limits
        ],
        "still": _drops(supply.still),
        "flowing": _drops(supply.flowing),
        "flow_m3_s": _number(supply.flow_m3_s),
        "suspects": [_suspect(one) for one in now.suspects],
    }


def _figure(one: Figure) -> dict[str, Any]:
    """A figure in the unit that its name ends in."""
    return {
        "value": _spread(one.value),
        "unit": one.unit,
        "status": str(one.status),
        "formula": one.formula or None,
        "inputs": list(one.inputs),
    }


def _drops(drops: Sequence[Drop]) -> list[dict[str, Any]]:
    """Where the pressure goes, piece by piece."""
    return [
        {
            "place": one.place,
            "kind": one.stretch.kind,
            "title": one.stretch.piece.title,
            "before_kpa": _spread(one.before_kpa),
            "after_kpa": _spread(one.after_kpa),
            "loss_kpa": _spread(one.loss_kpa),
        }
        for one in drops
    ]


def _suspect(one: Suspect) -> dict[str, Any]:
    """One thing that may starve the tool."""
    return {
        "cause": one.cause,
        "first": one.first,
        "last": one.last,
        "loss_kpa": _spread(one.loss_kpa),
        "is_measured": one.measured,
        "is_lasting": one.lasting,
        "test": one.test,
    }


def _spread(value: Spread | None) -> list[float | None] | None:
    """Low, usual and high; null where there is no such figure."""
    if value is None or math.isnan(value.central):
        return None
    return _numbers((value.low, value.central, value.high))


def _numbers(values: Iterable[float]) -> list[float | None]:
    """Some figures as JSON takes them."""
    return [_number(one) for one in values]


def _number(value: float) -> float | None:
    """A figure to six digits; null where it is not known or without end."""
    if not math.isfinite(value):
        return None
    return float(f"{value:.{DIGITS}g}")

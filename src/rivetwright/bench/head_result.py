"""The heads of an assembly as JSON: plain values with the unit in each key."""

from __future__ import annotations

from typing import Any

from rivetwright.bench.head_groups import HeadGroup
from rivetwright.bench.head_table import HeadLine, HeadTable
from rivetwright.engines.learning.capability import OfHundred
from rivetwright.engines.learning.told import Raised
from rivetwright.standards.spread import Spread

FORMAT = "rivetwright heads 1"
DIGITS = 6


def heads_result(table: HeadTable) -> dict[str, Any]:
    """Every look at a head of an assembly, and what the heads show together.

    A range is written as its low, usual and high figure; what is not known is null.
    """
    plan = table.worked_plan.worked.plan
    return {
        "format": FORMAT,
        "assembly": plan.id,
        "revision": plan.revision,
        "heads": [_line(one) for one in table.lines],
        "groups": [_group(one) for one in table.groups],
    }


def _line(line: HeadLine) -> dict[str, Any]:
    """One look at a head."""
    made, judged = line.made, line.judged
    seen = made.seen
    settled = judged.settled
    return {
        "hole": made.name,
        "looked_at": seen.at,
        "set_at": seen.set_at or None,
        "callout": seen.callout or None,
        "squeezer": seen.body.squeezer or None,
        "yoke": made.made_by.yoke or None,
        "die_gap_mm": _figure(seen.body.die_gap_mm),
        "width_mm": _figure(seen.width_mm),
        "height_mm": _figure(seen.height_mm),
        "looks": list(seen.looks),
        "overall": judged.verdict.overall.name.lower() if judged.verdict else None,
        "advised": str(judged.decision.action) if judged.decision else None,
        "decided": settled.body.decision if settled else None,
        "reason": settled.body.reason if settled else None,
        "is_taken_out": made.is_out,
        "teaches_nothing_because": made.teaches or None,
        "note": seen.note,
    }


def _group(group: HeadGroup) -> dict[str, Any]:
    """Heads of one tool and one kind of rivet."""
    made_by, wear = group.made_by, group.told.wear
    return {
        "tool": made_by.tool,
        "yoke": made_by.yoke,
        "kind": group.kind,
        "is_dimpled": made_by.is_dimpled,
        "heads_count": len(group.heads),
        "counted": len(group.counted),
        "limit_set": group.limit_set,
        "height_limits_mm": [
            _figure(group.height.least_mm),
            _figure(group.height.aim_mm),
            _figure(group.height.most_mm),
        ],
        "width_limits_mm": [
            _figure(group.width.least_mm),
            _figure(group.width.most_mm),
        ],
        "rests_on": str(group.taught.basis),
        "own_heads_count": group.taught.heads_count,
        "offset_mm": _figure(group.taught.offset_mm),
        "offset_spread_mm": _figure(group.taught.offset_spread_mm),
        "lift_mm": _figure(group.lift_mm[0]) if group.lift_mm else None,
        "of_hundred_heights": _of_hundred(group.heights),
        "of_hundred_widths": _of_hundred(group.widths),
        "alarms": [_alarm(one) for one in group.told.alarms],
        "wear_mm_per_1000": _spread(wear.per_1000_mm) if wear else None,
    }


def _of_hundred(one: OfHundred | None) -> dict[str, Any] | None:
    """How many of a hundred heads would be out on either side."""
    if one is None:
        return None
    return {
        "too_small": _spread(one.too_small),
        "too_large": _spread(one.too_large),
        "middle_mm": _figure(one.middle_mm),
        "scatter_mm": _figure(one.scatter_mm),
    }


def _alarm(one: Raised) -> dict[str, Any]:
    """One alarm."""
    return {
        "at": one.at,
        "since": one.since,
        "by_mm": _figure(one.alarm.by_mm),
        "stands": one.stands,
    }


def _spread(spread: Spread) -> list[float | None]:
    """A range: low, usual, high."""
    return [_figure(one) for one in (spread.low, spread.central, spread.high)]


def _figure(value: float | None) -> float | None:
    """A figure without noise at its end; null where it is not known."""
    return None if value is None or value != value else round(value, DIGITS)

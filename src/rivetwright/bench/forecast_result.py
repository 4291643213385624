"""The forecast as JSON: hours in h, days as dates, ranges of four futures in five."""

from __future__ import annotations

from datetime import date
from typing import Any

from rivetwright.bench.forecast import Outlook
from rivetwright.bench.step_network import step_network
from rivetwright.engines.forecast.trials import Range

FORMAT = "rivetwright forecast 1"


def forecast_result(found: Outlook) -> dict[str, Any]:
    """Everything the page about hours shows.

    Args:
        found: what is told of hours and dates.
    """
    low, likely, high = found.days
    return {
        "format": FORMAT,
        "day": found.today.isoformat(),
        "spent_h": round(found.spent_hours, 2),
        "left_h": _hours(found.told.hours),
        "done": _days(low, likely, high),
        "is_own": found.is_own,
        "week_h": round(found.told.known.pace.week_minutes / 60, 2),
        "idle_sittings": found.course.idle,
        "assemblies": _assemblies(found),
        "operations": _operations(found),
        "steps": _steps(found),
        "without_date": [
            {"assembly": one.assembly, "step": one.step}
            for one in found.told.ahead.left_out
        ],
        "replay": {
            "held_count": found.replay.held_count,
            "line_count": len(found.replay.lines),
        },
    }


def _assemblies(found: Outlook) -> list[dict[str, Any]]:
    return [
        {
            "key": one.key,
            "spent_h": round(one.spent_hours, 2),
            "left_h": _hours(one.left_hours),
            "done": _days(*(found.day(day) for day in vars(one.end_day).values())),
        }
        for one in found.assemblies
    ]


def _operations(found: Outlook) -> list[dict[str, Any]]:
    return [
        {
            "operation": one.operation,
            "counted": one.counted,
            "done_count": one.done,
            "spent_h": round(one.spent_hours, 2),
            "left_count": round(one.left_count),
            "left_h": round(one.left_hours, 2),
            "each_min": round(one.rate.minutes, 3),
            "usual_min": one.usual_minutes,
            "basis": one.rate.basis,
            "own_share": round(one.own_share, 3),
        }
        for one in found.operations
    ]


def _steps(found: Outlook) -> list[dict[str, Any]]:
    return [
        {
            "assembly": assembly.key,
            "step": step.name,
            "state": step.state,
            "needs": list(step.needs),
            "is_chain": step.is_chain,
            "left_h": _hours(step.hours) if step.hours else None,
            "done": _days(*step.ends) if step.ends else None,
            "waits": [f"{wait.kind} {wait.name}".strip() for wait in step.waits],
        }
        for assembly in step_network(found)
        for step in assembly.steps
    ]


def _hours(hours: Range) -> list[float]:
    """Low, likely and high."""
    return [round(hours.low, 2), round(hours.likely, 2), round(hours.high, 2)]


def _days(*days: date | None) -> list[str | None]:
    """Low, likely and high; null where there is no day."""
    return [day.isoformat() if day else None for day in days]

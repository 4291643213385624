"""The page of tools: which get to each row, and what is in the way."""

from __future__ import annotations

from typing import Any

from rivetwright.bench.tools import RowTools, row_tools
from rivetwright.engines.plan import WorkedPlan
from rivetwright.engines.reach.tool_columns import NONE, ON_ORDER
from rivetwright.paper.lists import system_of
from rivetwright.paper.words import NARROW, breakable, hole_ranges, say
from rivetwright.texts.tool_words import say_fit, say_tools


def tools_by_row(worked_plan: WorkedPlan) -> list[dict[str, Any]]:
    """A line for holes of a row that the same tools get to; none without a shop."""
    return [_line(worked_plan, row) for row in row_tools(worked_plan)]


def _line(worked_plan: WorkedPlan, row: RowTools) -> dict[str, Any]:
    """One line; what decides is told where no owned tool is clear."""
    why = ""
    severity = ""
    if not row.owned_clear:
        is_weak = row.verdict == ON_ORDER or bool(row.owned_tight)
        severity = "stop" if row.verdict == NONE else "check" if is_weak else ""
        why = say_fit(row.nearest, system_of(worked_plan)).main if row.nearest else ""
    if row.takes_two:
        why = f"{why}; {say('tools.two')}" if why else say("tools.two")
    return {
        "severity": severity,
        "cells": [
            breakable(hole_ranges(worked_plan.worked.holes, row.holes), NARROW),
            ", ".join(row.planned),
            say_tools(row.owned_clear),
            say_tools(row.owned_tight),
            say_tools(row.on_order),
            why,
        ],
    }

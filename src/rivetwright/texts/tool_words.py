"""Tools in words: what is in the way of one, how a way of riveting is, its sizes."""

from __future__ import annotations

from rivetwright.engines.reach.fit import ToolFit, limit_written
from rivetwright.model.shop import Tool
from rivetwright.standards.reach import Way
from rivetwright.texts.catalogue import catalogue
from rivetwright.texts.say import Said, System, say_value

TOOL = "tool"


def say_fit(fit: ToolFit, system: System) -> Said:
    """The one thing that decides for a tool, with its figures; empty for none."""
    written = limit_written(fit.tool.id, fit.limit, fit.has_mm, fit.needs_mm)
    return say_value("in_the_way", written, system) if written else Said("")


def say_way(way: Way) -> str:
    """A way of riveting and what it asks: both hands, a second person, ears."""
    asks = [
        catalogue().word(TOOL, key)
        for key, holds in (
            ("both_hands", way.needs_both_hands),
            ("second_person", way.takes_two),
            ("noisy", way.is_noisy),
        )
        if holds
    ]
    name = catalogue().word("tool_way", way.name)
    return f"{name}: {', '.join(asks)}" if asks else name


def say_state(tool: Tool) -> str:
    """Owned, or on order with the day it is due."""
    if tool.state == "owned":
        return catalogue().word(TOOL, "owned")
    key = "due" if tool.due else "no_date"
    return catalogue().word(TOOL, key).format(due=tool.due)

"""Tools in words: what is in the way of one, how a way of riveting is, its sizes."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable

from rivetwright.engines.reach.fit import OWNED, ToolFit, limit_written
from rivetwright.model.shop import Die, Tool
from rivetwright.standards.reach import Way
from rivetwright.texts.catalogue import catalogue
from rivetwright.texts.say import Said, System, say_value
from rivetwright.units.wording import show_length

TOOL = "tool"
MM_PER_32ND = 25.4 / 32
FIGURE = re.compile(r"\{(has|needs)\}")


def say_fit(fit: ToolFit, system: System) -> Said:
    """The one thing that decides for a tool; its figures in the other unit beside."""
    written = limit_written(fit.tool.id, fit.limit, fit.has_mm, fit.needs_mm)
    if not written:
        return Said("")
    sentence = catalogue().word("in_the_way", fit.limit)
    figures = {"has": fit.has_mm, "needs": fit.needs_mm}
    other: System = "mm" if system == "in" else "in"
    beside = [
        show_length(figures[name], system=other, style="decimal", with_unit=True)
        for name in FIGURE.findall(sentence)
        if not math.isnan(figures[name])
    ]
    return Said(say_value("in_the_way", written, system).main, ", ".join(beside))


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
    if tool.state == OWNED:
        return catalogue().word(TOOL, "owned")
    key = "due" if tool.due else "no_date"
    return catalogue().word(TOOL, key).format(due=tool.due)


def say_size(size_mm: float | None, system: System, nothing: str = "open") -> Said:
    """A size of a tool as the trade writes it; open where nothing limits it."""
    if size_mm is None:
        return Said(catalogue().word(TOOL, nothing))
    other: System = "mm" if system == "in" else "in"
    return Said(
        show_length(size_mm, system=system, with_unit=True),
        show_length(size_mm, system=other, with_unit=True),
    )


def say_largest(most_32nds: int | None) -> str:
    """The largest rivet of a tool: a fraction of an inch in either system."""
    if most_32nds is None:
        return catalogue().word(TOOL, "any")
    return f"{show_length(most_32nds * MM_PER_32ND, style='fraction')} in"


def say_tools(tools: Iterable[Tool]) -> str:
    """Ids of some tools, those on order with the day they are due."""
    return ", ".join(
        one.id if one.state == OWNED else f"{one.id} ({say_state(one)})"
        for one in tools
    )


def say_die(die: Die) -> str:
    """A die's kind and the rivet it fits; how many where there are some."""
    words = catalogue().word("die_kind", die.kind)
    if die.diameter_32nds is not None:
        words = f"{words} {say_largest(die.diameter_32nds).removesuffix(' in')}"
    return f"{words} x {die.count}" if die.count > 1 else words

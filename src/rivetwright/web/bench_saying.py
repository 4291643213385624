"""Small words of the bench screen: set-ups, tools and needs as a person says them."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from rivetwright.bench.needs import STEP, Lacking
from rivetwright.bench.runs import Setup
from rivetwright.model.shop import Shop, Tool
from rivetwright.record.kinds import PART, TOOL
from rivetwright.texts.bench_words import place_words
from rivetwright.texts.counting import ordinal
from rivetwright.web.sayings import Sayings


def bench_words(say: Sayings, shop: Shop | None) -> dict[str, Callable[..., Any]]:
    """What the templates of the bench call, by name."""
    tools = {tool.id: tool for tool in shop.tools} if shop else {}

    def tool_words(name: str) -> str:
        return named_tool(tools[name]) if name in tools else name

    def setup_words(setup: Setup) -> str:
        named = (setup.callout, setup.stack, *map(tool_words, setup.tools))
        return ", ".join(filter(None, named))

    def setup_key_words(key: str, callout: str) -> str:
        # A set-up's key holds callout, stack and tools; the rivet used may be another.
        _, stack, ids = (*key.split("|"), "", "", "")[:3]
        return ", ".join(
            filter(None, (callout, stack, *map(tool_words, ids.split(","))))
        )

    def say_lacking(one: Lacking) -> str:
        return lacking_words(one, say)

    return {
        "tool_words": tool_words,
        "setup_words": setup_words,
        "setup_key_words": setup_key_words,
        "say_lacking": say_lacking,
        "place_words": place_words,
        "ordinal": ordinal,
    }


def named_tool(tool: Tool) -> str:
    """A tool by its id and what it is: `Y2, deep yoke`."""
    if not tool.title or tool.kind in tool.title:
        return f"{tool.id}, {tool.title or tool.kind}"
    if " " not in tool.title:
        return f"{tool.id}, {tool.title} {tool.kind}"
    return f"{tool.id}, {tool.kind}: {tool.title}"


def lacking_words(one: Lacking, say: Sayings) -> str:
    """What a step needs and where that stands: `aileron-4: 24 of 36 set`."""
    state = one.state or say("bench.lacking.unknown")
    if one.kind == STEP and one.hole_count and one.set_count < one.hole_count:
        counts = {"done": one.set_count, "of": one.hole_count}
        return say("bench.lacking.step", name=one.name, **counts)
    if one.kind == PART:
        return say("bench.lacking.part", name=one.name, state=state)
    if one.kind == TOOL:
        return say("bench.lacking.tool", name=one.name, state=state)
    return say("bench.lacking.bare", name=one.name, state=state)

"""The card of the second person: by which way rivets are set, with which tools.

Values only; what that person does and says is in `texts.bench_words`.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from rivetwright.bench.runs import Setup
from rivetwright.model.shop import Shop
from rivetwright.model.step import Step

YOKE, BAR, BACK_RIVET, PULLER = "yoke", "bar", "back-rivet", "puller"
WAYS = (BAR, BACK_RIVET, YOKE, PULLER)


@dataclass(frozen=True)
class Card:
    """One way of setting at a step; `tools` are those planned for what is left.

    `is_needed`: the step cannot be done alone; `why` as the plan notes it.
    """

    way: str
    is_needed: bool
    why: str
    tools: tuple[str, ...]


def cards_of(
    step: Step | None, setups: Iterable[Setup], shop: Shop | None
) -> tuple[Card, ...]:
    """Cards for what is left to set at a step, gun and bar first.

    Gun and bar without a tool named only where no other way is known.
    """
    need = next((n for n in step.needs if n.kind == "helper"), None) if step else None
    kinds = {tool.id: tool.kind for tool in shop.tools} if shop else {}
    tools: dict[str, list[str]] = {}
    for setup in setups:
        for tool in setup.tools if setup.runs else ():
            named = tools.setdefault(kinds.get(tool, ""), [])
            if tool not in named:
                named.append(tool)
    if not tools.keys() & set(WAYS):
        tools.setdefault(BAR, [])
    return tuple(
        Card(way, need is not None, need.note if need else "", tuple(tools[way]))
        for way in WAYS
        if way in tools
    )

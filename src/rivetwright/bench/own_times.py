"""Seconds a rivet by way of setting, from the runs that the builder timed."""

from __future__ import annotations

from collections.abc import Mapping
from statistics import median

from rivetwright.bench.rates import rates
from rivetwright.engines.order.figures import OwnTime
from rivetwright.model.shop import Shop
from rivetwright.record.state import State

SQUEEZER, HAND_SQUEEZER, YOKE = "squeezer", "hand squeezer", "yoke"
WAY_OF_KIND = {
    YOKE: SQUEEZER,
    "bar": "gun and bar",
    "back-rivet": "back-riveting",
    "puller": "puller",
}


def own_times(state: State, shop: Shop | None) -> Mapping[str, OwnTime]:
    """Seconds a rivet by way of setting, from the runs that were timed."""
    kinds = _kinds(shop) if shop else {}
    found: dict[str, list[tuple[float, int]]] = {}
    for one in rates(state.runs):
        tools = one.setup.rpartition("|")[2].split(",")
        ways = {kinds.get(tool, "") for tool in tools} - {""}
        if HAND_SQUEEZER in ways:
            ways.discard(SQUEEZER)  # the yoke that it holds
        if len(ways) == 1:
            found.setdefault(ways.pop(), []).append((one.rivet_s, one.runs))
    return {
        way: OwnTime(median(s for s, _ in known), sum(runs for _, runs in known))
        for way, known in found.items()
    }


def _kinds(shop: Shop) -> dict[str, str]:
    """The way that each tool of a shop sets rivets, by what a run names it."""
    found = {tool.id: WAY_OF_KIND.get(tool.kind, "") for tool in shop.tools}
    found |= {one.title: HAND_SQUEEZER for one in shop.squeezers if one.kind == "hand"}
    return found

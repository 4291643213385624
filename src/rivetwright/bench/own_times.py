"""Seconds a rivet by way of setting, from the runs that the builder timed."""

from __future__ import annotations

from collections.abc import Mapping
from statistics import median

from rivetwright.bench.rates import rates
from rivetwright.engines.order.figures import OwnTime
from rivetwright.model.shop import Shop
from rivetwright.record.state import State

YOKE_WAYS = ("squeezer", "hand squeezer")
WAY_OF_KIND = {"bar": "gun and bar", "back-rivet": "back-riveting", "puller": "puller"}


def own_times(state: State, shop: Shop | None) -> Mapping[str, OwnTime]:
    """Seconds a rivet by way of setting, from the runs that were timed."""
    kinds = {tool.id: tool.kind for tool in shop.tools} if shop else {}
    found: dict[str, list[tuple[float, int]]] = {}
    for one in rates(state.runs):
        tools = one.setup.rpartition("|")[2].split(",")
        ways = {_way(kinds.get(tool, ""), one.setup) for tool in tools} - {""}
        if len(ways) == 1:
            found.setdefault(ways.pop(), []).append((one.rivet_s, one.runs))
    return {
        way: OwnTime(median(s for s, _ in known), sum(runs for _, runs in known))
        for way, known in found.items()
    }


def _way(kind: str, setup: str) -> str:
    if kind == "yoke":
        return YOKE_WAYS["hand" in setup.partition("|")[0]]
    return WAY_OF_KIND.get(kind, "")

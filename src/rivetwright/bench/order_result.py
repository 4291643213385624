"""The order of a step as JSON: cards, presses, holders, seconds."""

from __future__ import annotations

from typing import Any

from rivetwright.bench.order import StepOrder
from rivetwright.engines.order.said import Card, Press
from rivetwright.engines.order.stage import BARE

FORMAT = "rivetwright order 1"


def order_result(order: StepOrder) -> dict[str, Any]:
    """An order in plain values, times in seconds, lengths in mm."""
    names = order.worked_plan.worked.holes.name
    plan = order.plan
    return {
        "format": FORMAT,
        "step": order.step,
        "holes": order.hole_count,
        "set": order.done_count,
        "waits": [names(hole) for hole in order.waiting],
        "without_tool": [names(hole) for hole in order.without],
        "kit_minutes": order.kit_minutes,
        "time_s": plan.time_s if plan else None,
        "bound_s": plan.ordered.bound_s if plan and plan.ordered.bound_s else None,
        "gap_percent": plan.gap_percent if plan else None,
        "status": order.figures.status.value,
        "holders": _holders(order),
        "cards": [_card(order, card) for card in order.cards],
    }


def _holders(order: StepOrder) -> dict[str, Any]:
    return {
        "steps": list(order.holders.steps),
        "sizes": [
            {
                "diameter_32nds": one.diameter_32nds,
                "wanted": one.wanted,
                "placed": one.placed,
                "free": one.free,
                "short": one.short,
            }
            for one in order.holders.counts
        ],
        "boxes": [
            {
                "diameter_32nds": one.diameter_32nds,
                "free": one.free,
                "first": one.first,
                "most": one.most,
                "least": one.least,
            }
            for one in order.boxes
        ],
        "elsewhere": [
            {
                "assembly": one.assembly,
                "diameter_32nds": one.diameter_32nds,
                "count": one.count,
            }
            for one in order.uses
        ],
    }


def _card(order: StepOrder, card: Card) -> dict[str, Any]:
    way = order.set_by(card)
    return {
        "face": order.face_name(card),
        "time_s": card.time_s,
        "setup": None
        if way is None
        else {
            "way": way.way,
            "tool": way.tool,
            "yoke": way.yoke,
            "gap_mm": way.gap_mm,
            "callout": way.callout,
            "people": way.people,
            "is_tight": way.is_tight,
            "holds_band": way.holds,
        },
        "presses": [_press(order, press) for press in card.presses],
    }


def _press(order: StepOrder, press: Press) -> dict[str, Any]:
    holes = order.worked_plan.worked.holes
    return {
        "kind": press.kind,
        "row": "" if press.row == BARE else holes.plan.rows[press.row].name,
        "holes": [holes.name(hole) for hole in press.holes],
        "reason": press.reason,
        "time_s": press.time_s,
        "open_s": press.open_s,
        "against": [holes.name(hole) for hole in press.against],
    }

"""Step cards on paper: set-ups, runs to tick, sheet holders, minutes."""

from __future__ import annotations

from typing import Any

from rivetwright.bench.holders import holder_plans
from rivetwright.bench.order import StepOrder, order_of_step, steps_with_holes
from rivetwright.engines.plan import WorkedPlan
from rivetwright.errors import Refusal
from rivetwright.paper.words import hole_ranges, say
from rivetwright.record.state import State
from rivetwright.texts.holder_words import HolderLines, say_holder_plan
from rivetwright.texts.order_card import (
    OrderCard,
    PressWords,
    holder_words,
    say_order,
    time_words,
)


def step_cards(worked_plan: WorkedPlan) -> list[dict[str, Any]]:
    """A card for every step with something left to set.

    None where the plan was worked out without a shop.
    """
    if worked_plan.worked.shop is None:
        return []
    orders = (_order(worked_plan, step.name) for step in steps_with_holes(worked_plan))
    return [_card(order) for order in orders if order is not None]


def holder_lines(worked_plan: WorkedPlan) -> list[dict[str, Any]]:
    """Where sheet holders go, for match-drilling and from each step on.

    None where the plan was worked out without a shop.
    """
    shop = worked_plan.worked.shop
    if shop is None:
        return []
    plans = holder_plans(worked_plan, shop, State())
    return [_held(say_holder_plan(worked_plan, one)) for one in plans.values()]


def _held(lines: HolderLines) -> dict[str, Any]:
    names = ["size", "wanted", "placed", "free", "verdict"]
    return {
        "title": lines.purpose,
        "steps": lines.steps,
        "sizes": [[getattr(one, name) for name in names] for one in lines.sizes],
        "rows": list(lines.rows),
    }


def _order(worked_plan: WorkedPlan, step: str) -> StepOrder | None:
    """The order of a step from what the plan says; None where there is none."""
    try:
        order = order_of_step(worked_plan, worked_plan.worked.shop, State(), step)
    except Refusal:
        return None
    return order if order.plan else None


def _card(order: StepOrder) -> dict[str, Any]:
    holes = order.worked_plan.worked.holes
    leaves = hole_ranges(holes, order.waiting) if order.waiting else ""
    without = hole_ranges(holes, order.without) if order.without else ""
    return {
        "title": f"{order.step}  {order.title}".strip(),
        "times": " ".join(time_words(order)),
        "holders": " ".join(holder_words(order)),
        "leaves": say("order.leaves", holes=leaves) if leaves else "",
        "without": say("order.without", holes=without) if without else "",
        "cards": [_set_up(card) for card in say_order(order)],
    }


def _set_up(card: OrderCard) -> dict[str, Any]:
    beside = (card.face, card.minutes, *card.notes)
    return {
        "title": f"{card.number}  {card.heading}",
        "under": ", ".join(text for text in beside if text),
        "presses": [_press(press) for press in card.presses],
    }


def _press(press: PressWords) -> dict[str, Any]:
    holes = press.holes if press.row else ""
    return {
        "number": str(press.number),
        "row": f"{press.row}." if press.row else "",
        "words": press.words,
        "leave": press.leave,
        "why": "; ".join(text for text in (press.reason, holes) if text),
        "minutes": press.minutes,
    }

"""What the minutes of an order rest on, figure by figure."""

from __future__ import annotations

from dataclasses import dataclass

from rivetwright.engines.order.figures import DRAWING, RECORD, SHOP, Figures
from rivetwright.standards.order import (
    order_cost,
    order_cost_names,
    order_cost_unit,
    order_cost_what,
)
from rivetwright.texts.order_words import order_word


@dataclass(frozen=True)
class FigureLine:
    """One figure: its name in the shop file, what it is, how much, whose it is."""

    name: str
    what: str
    value: str
    where: str


def say_figures(figures: Figures) -> list[FigureLine]:
    """Every figure of the order of work."""
    return [
        FigureLine(
            name,
            order_cost_what(name),
            f"{figures[name]:.4g} {order_cost_unit(name)}",
            _where(figures, name),
        )
        for name in order_cost_names()
    ]


def _where(figures: Figures, name: str) -> str:
    known = figures.known_from[name]
    if known == RECORD:
        return order_word("from_runs", runs=figures.own[name].runs)
    if known == DRAWING:
        return order_word("from_drawing")
    if known == SHOP:
        return order_word("from_shop")
    return str(order_cost(name).source.status)

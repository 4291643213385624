"""An order as the page shows it: its cards in words, each with a way to its set-up."""

from __future__ import annotations

from dataclasses import dataclass

from rivetwright.bench.open import Assembly
from rivetwright.bench.order import StepOrder
from rivetwright.engines.order.stage import BARE
from rivetwright.texts.order_card import OrderCard, say_order
from rivetwright.web.addresses import gap_asked, gun_address, set_up_address

GUN_WAYS = ("gun and bar", "back-riveting")


@dataclass(frozen=True)
class CardLine:
    """A card in words; `address` leads to the card of what is rigged, `key` says it."""

    words: OrderCard
    address: str
    key: str


def card_lines(assembly: Assembly, order: StepOrder) -> list[CardLine]:
    """Every card of an order."""
    return [
        CardLine(card, *_address(assembly, order, card)) for card in say_order(order)
    ]


def _address(assembly: Assembly, order: StepOrder, card: OrderCard) -> tuple[str, str]:
    """Where the card of a way of setting stands, and the key of its words."""
    way = card.way
    if way is None or card.example == BARE:
        return "", ""
    name = order.worked_plan.worked.holes.name(card.example)
    if way.yoke:
        asked = {"yoke": way.yoke, "squeezer": way.tool, "gap": gap_asked(way)}
        return set_up_address(assembly.key, name, **asked), "order.set_up_card"
    if way.way in GUN_WAYS:
        return gun_address(assembly.key, name), "order.gun_card"
    return "", ""

"""How facts about stock, deliveries and hours change the state."""

from __future__ import annotations

from bisect import insort
from collections.abc import Callable
from typing import Any

from rivetwright.record.kinds import (
    STOCK,
    Counted,
    Delivered,
    HoursBegun,
    HoursBooked,
    HoursEnded,
    OpeningTaken,
    Ordered,
    Received,
)
from rivetwright.record.order import read_utc
from rivetwright.record.state import Booked, DeliveryNow, StockNow, Timer
from rivetwright.record.telling import Telling

ON_HAND, ON_ORDER = "on hand", "on order"


def _delivered(told: Telling, body: Delivered) -> None:
    key = (body.what, body.named)
    there = told.state.deliveries.get(key)
    received = there.received if there else 0
    still = there.ordered if there and body.state != ON_HAND else 0
    told.state.deliveries[key] = DeliveryNow(
        body.state, body.due, body.note, received, told.at, still
    )


def _ordered(told: Telling, body: Ordered) -> None:
    key = (body.what, body.named)
    there = told.state.deliveries.get(key) or DeliveryNow("")
    told.state.deliveries[key] = DeliveryNow(
        ON_ORDER,
        body.due,
        body.note,
        there.received,
        told.at,
        there.ordered + body.count,
    )


def _received(told: Telling, body: Received) -> None:
    key = (body.what, body.named)
    if body.what == STOCK:
        told.state.stock.setdefault(key, StockNow()).received += body.count
    there = told.state.deliveries.get(key) or DeliveryNow("")
    received = there.received + body.count
    still = max(0, there.ordered - body.count)
    due = there.due if still else ""
    told.state.deliveries[key] = DeliveryNow(
        ON_HAND, due, body.note, received, told.at, still
    )


def _counted(told: Telling, body: Counted) -> None:
    key = (body.what, body.named)
    there = told.state.stock.get(key)
    spoilt = there.spoilt if there else 0
    told.state.stock[key] = StockNow(body.count, told.at, spoilt=spoilt)


def _begun(told: Telling, body: HoursBegun) -> None:
    _stop_timer(told)
    told.state.timers[told.fact.person] = Timer(
        told.fact.id, body.operation, told.fact.assembly, told.at, body.is_bench
    )


def _ended(told: Telling, body: HoursEnded) -> None:
    _stop_timer(told)


def _stop_timer(told: Telling) -> None:
    """What the person was at is booked up to now."""
    timer = told.state.timers.pop(told.fact.person, None)
    if timer is None:
        return
    spent = read_utc(told.at) - read_utc(timer.since)
    _book(
        told,
        Booked(
            timer.fact,
            told.fact.person,
            timer.assembly,
            timer.operation,
            int(spent.total_seconds()),
            timer.is_bench,
            began=timer.since,
        ),
    )


def _booked(told: Telling, body: HoursBooked) -> None:
    """Time written afterwards; it takes the place of the timer it corrects."""
    person, assembly = told.fact.person, told.fact.assembly
    if body.instead_of:
        timers, booked = told.state.timers, told.state.booked
        timer = timers.get(person)
        if timer is not None and timer.fact == body.instead_of:
            assembly = timer.assembly
            del timers[person]
        for one in [one for one in booked if one.fact == body.instead_of]:
            assembly = one.assembly
            booked.remove(one)
    _book(
        told,
        Booked(
            told.fact.id,
            person,
            assembly,
            body.operation,
            body.minutes * 60,
            body.is_bench,
            day=body.day,
            count=body.count,
            counted=body.counted,
            note=body.note,
        ),
    )


def _book(told: Telling, one: Booked) -> None:
    """Time in the order of its day or beginning, in whatever order it came."""
    insort(
        told.state.booked, one, key=lambda other: (other.day or other.began, other.fact)
    )


def _opening(told: Telling, body: OpeningTaken) -> None:
    told.state.openings.append(told.fact.assembly or "shop")


SHOP_KINDS: dict[type, Callable[[Telling, Any], None]] = {
    Ordered: _ordered,
    Delivered: _delivered,
    Received: _received,
    Counted: _counted,
    HoursBegun: _begun,
    HoursEnded: _ended,
    HoursBooked: _booked,
    OpeningTaken: _opening,
}

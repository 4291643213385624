"""Stock by the record: what arrives, what a kit brought, what was set and lost."""

from __future__ import annotations

from datetime import date

from rivetwright.bench.stock import stock_of, weight_of
from rivetwright.engines.stock.need import Arrival
from rivetwright.record.kinds import PART, STOCK
from tests.unit.bench.conftest import Phone

KIT_CODE = "MS20470AD4-5"
CODE = "MS20426AD3-3"


def test_a_kit_that_came_is_to_be_counted(phone: Phone) -> None:
    """621 is here, so 20 of -5 should be: a count is asked until they are booked in."""
    phone.record("received", key="", what=PART, named="621", count=1)
    stock = stock_of(phone.workshop)
    (kit,) = stock.kits
    assert (kit.bulletin, kit.code, kit.count) == ("SB-07", KIT_CODE, 20)
    need = stock.need(KIT_CODE)
    assert need is not None
    # Nobody saw the twenty yet: six there, eight needed, five spare.
    assert (need.drawer.arrivals, need.short) == ((), 7)
    phone.record("received", key="", what=STOCK, named=KIT_CODE, count=20)
    after = stock_of(phone.workshop)
    need = after.need(KIT_CODE)
    assert need is not None
    assert (after.kits, need.drawer.on_hand, need.short) == ((), 26, 0)


def test_what_was_ordered_is_coming(phone: Phone) -> None:
    """100 ordered for 2026-12-04: nothing more to order, and it serves wing-7."""
    order = {"what": STOCK, "named": CODE, "count": 100, "due": "2026-12-04"}
    phone.record("ordered", key="", **order)
    need = stock_of(phone.workshop).need(CODE)
    assert need is not None
    assert need.drawer.arrivals == (Arrival(100, date(2026, 12, 4)),)
    assert (need.short, need.bites) == (0, None)


def test_rivets_set_are_used_and_no_longer_needed(phone: Phone) -> None:
    """A17's six: 134 on hand, 156 needed, six used; one of the tray of eight is gone.

    Eight were in the tray, one was left over: 140 - 6 - 1 = 133.
    """
    tray = {"callout": CODE, "tray_count": 8, "left_over": 1}
    phone.record("rivets-set", "A17:1-6", **tray)
    need = stock_of(phone.workshop).need(CODE)
    assert need is not None
    assert (need.needed, need.drawer.on_hand, need.drawer.used) == (156, 133, 6)


def test_a_rivet_of_another_code_is_wanted_again(phone: Phone) -> None:
    """A17:1 set with -3.5 for a reason may stay; taken out it is wanted, and spoilt."""
    other = {"callout": "MS20426AD3-3.5", "reason": "the supplier wrote so"}
    phone.record("rivets-set", "A17:1", **other)
    need = stock_of(phone.workshop).need(CODE)
    assert need is not None
    assert need.needed == 161
    phone.record("rivet-removed", "A17:1", reason="leans")
    stock = stock_of(phone.workshop)
    need, longer = stock.need(CODE), stock.need("MS20426AD3-3.5")
    assert need is not None
    assert longer is not None
    assert (need.needed, longer.drawer.spoilt) == (162, 1)


def test_only_solid_rivets_are_weighed() -> None:
    """A kit's blind code has no drawing of its head here."""
    assert weight_of("BD4-2") is None
    assert weight_of(CODE) is not None

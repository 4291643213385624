"""Spare, shortage, where a code runs out, and the order list, on small numbers."""

from __future__ import annotations

from datetime import date

import pytest

from rivetwright.engines.stock.need import (
    Arrival,
    Drawer,
    OrderRules,
    code_needs,
    order_lines,
    spare_of,
)
from rivetwright.engines.stock.times import When
from rivetwright.engines.stock.wants import Sureness, Wanted

TODAY = date(2026, 11, 25)
CODE = "MS20470AD4-4"
RULES = OrderRules(0.10, 5, 100, 9)
NOW = When(False, TODAY, 0)
FAR = When(True, TODAY, 3, "wing kit")


def wanted(count: int, when: When = NOW, sureness: Sureness = Sureness.SURE) -> Wanted:
    """So many holes that take the code."""
    return Wanted(0, "s", tuple(range(count)), CODE, sureness, "", when)


@pytest.mark.parametrize(
    ("count", "spare"), [(0, 0), (1, 5), (50, 5), (51, 6), (162, 17), (170, 17)]
)
def test_spare(count: int, spare: int) -> None:
    """10 % rounded up, at least 5, nothing for nothing: 16.2 is 17, 17.0 is 17."""
    assert spare_of(count, RULES) == spare


def test_short_counts_the_spare_and_what_is_coming() -> None:
    """60 holes, 6 spare; 40 there and 20 on order: 6 short."""
    drawer = Drawer(CODE, 40, arrivals=(Arrival(20),))
    (need,) = code_needs([wanted(60)], {CODE: drawer}, RULES)
    assert (need.needed, need.spare, need.short, need.over) == (60, 6, 6, 0)


def test_what_came_too_late_does_not_serve_the_first_step() -> None:
    """12 there; 10 go at once, then 5 of which 3 go without; 100 come too late."""
    arrivals = (Arrival(100, date(2026, 12, 20)),)
    wants = [wanted(10), wanted(5, When(False, date(2026, 12, 9), 1, "621"))]
    drawers = {CODE: Drawer(CODE, 12, arrivals=arrivals)}
    (need,) = code_needs(wants, drawers, RULES)
    assert need.short == 0
    assert need.bites is not None
    assert (need.bites.missing, need.bites.wanted.count) == (3, 5)


def test_arrival_of_the_same_day_serves() -> None:
    """Part and rivets come on one day."""
    day = date(2026, 12, 9)
    drawers = {CODE: Drawer(CODE, 0, arrivals=(Arrival(20, day),))}
    (need,) = code_needs([wanted(8, When(False, day, 1, "621"))], drawers, RULES)
    assert need.bites is None


def test_last_day_to_order() -> None:
    """Nine days before the step's day; none where no day is known; today when late."""
    cases = {
        When(False, date(2026, 12, 18), 2, "709B"): date(2026, 12, 9),
        When(False, date(2026, 11, 28), 2, "BB3"): TODAY,
        When(False, TODAY, 4): None,
        FAR: None,
        NOW: TODAY,
    }
    for when, by in cases.items():
        needs = code_needs([wanted(3, when)], {CODE: Drawer(CODE, 0)}, RULES)
        (line,) = order_lines(needs, RULES, TODAY)
        assert (line.count, line.short, line.by) == (100, 8, by)


def test_a_doubt_orders_nothing_for_sure() -> None:
    """28 holes if the answer says so, 20 there: 8 + 5 short, and only if so."""
    wants = [wanted(28, sureness=Sureness.IF_SO)]
    needs = code_needs(wants, {CODE: Drawer(CODE, 20)}, RULES)
    (line,) = order_lines(needs, RULES, TODAY)
    assert (needs[0].short, line.short, line.is_sure) == (0, 13, False)


def test_only_the_spare_is_short() -> None:
    """42 holes and 42 there: five short, none goes without."""
    needs = code_needs([wanted(42)], {CODE: Drawer(CODE, 42)}, RULES)
    (line,) = order_lines(needs, RULES, TODAY)
    assert (line.short, line.for_spare, line.bites) == (5, True, None)


def test_pressing_first() -> None:
    """By the last day to order; then what no day is known of; doubts last."""
    needs = [
        *code_needs([wanted(1, FAR)], {CODE: Drawer(CODE, 0)}, RULES),
        *code_needs(
            [wanted(1, sureness=Sureness.IF_SO)], {CODE: Drawer(CODE, 0)}, RULES
        ),
        *code_needs([wanted(1)], {CODE: Drawer(CODE, 0)}, RULES),
    ]
    lines = order_lines(needs, RULES, TODAY)
    assert [(one.is_sure, one.by) for one in lines] == [
        (True, TODAY),
        (True, None),
        (False, TODAY),
    ]


def test_never_counted_is_none_there() -> None:
    """A drawer nobody counted serves no hole."""
    (need,) = code_needs([wanted(4)], {CODE: Drawer(CODE)}, RULES)
    assert (need.short, need.drawer.on_hand) == (9, None)

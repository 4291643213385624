"""Laws of counting stock, whatever is needed, there, or on its way."""

from __future__ import annotations

from datetime import date, timedelta

from hypothesis import given
from hypothesis import strategies as st

from rivetwright.engines.stock.need import (
    Arrival,
    CodeNeed,
    Drawer,
    OrderRules,
    code_needs,
    order_lines,
)
from rivetwright.engines.stock.times import When
from rivetwright.engines.stock.wants import Sureness, Wanted

TODAY = date(2026, 11, 25)
CODE = "MS20470AD4-4"
days = st.integers(0, 60).map(lambda n: TODAY + timedelta(days=n))
whens = st.builds(When, st.booleans(), days, st.integers(0, 5), st.just("621"))
wants = st.lists(
    st.builds(
        Wanted,
        st.integers(0, 2),
        st.sampled_from(("s1", "s2")),
        st.integers(1, 40).map(lambda n: tuple(range(n))),
        st.just(CODE),
        st.sampled_from(list(Sureness)),
        st.just(""),
        whens,
    ),
    max_size=8,
)
arrivals = st.lists(
    st.builds(Arrival, st.integers(1, 100), st.none() | days), max_size=3
)
drawers = st.builds(
    Drawer,
    st.just(CODE),
    st.none() | st.integers(0, 200),
    arrivals=arrivals.map(tuple),
)
rules = st.builds(
    OrderRules,
    st.sampled_from((0.0, 0.1, 0.15)),
    st.integers(0, 10),
    st.none() | st.just(100),
    st.none() | st.just(9),
)


def counted(some: list[Wanted], drawer: Drawer, by: OrderRules) -> CodeNeed:
    """The one code that there is."""
    (need,) = code_needs(some, {CODE: drawer}, by)
    return need


@given(wants, drawers, rules)
def test_short_and_over_exclude_each_other(
    some: list[Wanted], drawer: Drawer, by: OrderRules
) -> None:
    """What is short is not to spare; in doubt at least as much is short."""
    need = counted(some, drawer, by)
    assert not (need.short and need.over)
    assert need.short_at_most >= need.short
    assert need.at_most >= need.needed


@given(wants, drawers, rules)
def test_it_runs_out_exactly_where_holes_outnumber_what_is_there(
    some: list[Wanted], drawer: Drawer, by: OrderRules
) -> None:
    """Holes go without as soon as all up to them are more than is there by then."""
    need = counted(some, drawer, by)
    sure = [one for one in need.wants if one.sureness is Sureness.SURE]
    taken = 0
    first = None
    for one in sure:
        taken += one.count
        if first is None and taken > need.drawer.by(one):
            first = one
    assert (need.bites.wanted if need.bites else None) is first
    if need.bites:
        assert 0 < need.bites.missing <= need.bites.wanted.count


@given(wants, drawers, rules)
def test_more_in_the_drawer_never_orders_more(
    some: list[Wanted], drawer: Drawer, by: OrderRules
) -> None:
    """Ten more pieces: as much or less short, and it runs out no sooner."""
    less = counted(some, drawer, by)
    more = counted(some, Drawer(CODE, drawer.there + 10, arrivals=drawer.arrivals), by)
    assert more.short == max(0, less.short - 10)
    if less.bites is None:
        assert more.bites is None


@given(wants, drawers, rules)
def test_an_order_covers_what_is_short(
    some: list[Wanted], drawer: Drawer, by: OrderRules
) -> None:
    """At least as much, at least the smallest order, and not before today."""
    lines = order_lines([counted(some, drawer, by)], by, TODAY)
    for line in lines:
        assert line.count >= max(line.short, by.order_least or 0)
        assert line.by is None or line.by >= TODAY

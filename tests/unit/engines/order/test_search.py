"""Orders of visits: what they must keep, and what a move may make of them."""

from __future__ import annotations

from rivetwright.engines.order.blocks import Classes, greedy_visits, with_milestones
from rivetwright.engines.order.construct import Builder, Stop
from rivetwright.engines.order.search import Search, Visits, tidy
from rivetwright.engines.order.stage import Tables
from tests.unit.engines.order.made import (
    LONGER_RIVET,
    SHORT,
    before,
    row_stage,
)

# Holes 0-5 take the short rivet and come first, 6-11 the longer one.
STAGE = row_stage(
    12,
    [0, 3, 6, 9, 11],
    setups=(SHORT, LONGER_RIVET),
    options=[(0, 1)] * 6 + [(1,)] * 6,
    holders_spare=3,
)
FIRST, THEN = Stop(0, 0, 1), Stop(1, 0, 2)


def test_visits_that_meet_with_the_same_setup_become_one() -> None:
    """An empty visit between them falls away first."""
    assert tidy([FIRST, THEN._replace(units=0), Stop(0, 0, 4)]) == [Stop(0, 0, 5)]


def test_what_comes_first_is_kept() -> None:
    """Group 0 before group 1: the other way round is seen."""
    groups = row_stage(1, []).group
    stage = row_stage(
        12,
        [0, 3, 6, 9, 11],
        setups=(SHORT, LONGER_RIVET),
        options=[(0,)] * 6 + [(1,)] * 6,
        group=(STAGE.s_mm > 140.0).astype(groups.dtype),
        precedence=(before("g0", "g1"),),
    )
    visits = Visits(Builder(Classes(Tables(stage))))
    assert visits.is_kept([FIRST, THEN])
    assert not visits.is_kept([THEN, FIRST])


def test_visits_cost_changes_and_rivets() -> None:
    """Bare bench: 45 + 40 + 90 + 60 + 20 s; other bin 20 s; twelve rivets 144 s."""
    visits = Visits(Builder(Classes(Tables(STAGE))))
    assert visits.cost_s([FIRST, THEN]) == 255.0 + 20.0 + 144.0


def test_one_setup_is_found_to_do_for_all() -> None:
    """The longer rivet goes into every hole: one visit, no second bin."""
    tables = Tables(STAGE)
    classes = Classes(tables)
    builder = Builder(classes)
    found = Search(builder).run([[FIRST, THEN]], 2000)
    assert [stop.setup for stop in found.stops] == [1]
    greedy = builder.stops(with_milestones(classes, greedy_visits(tables, classes)))
    assert found.cost_s <= builder.build(greedy).cost_s

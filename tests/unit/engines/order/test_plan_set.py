"""Sets of stages: which comes first, sharing out, interruption."""

from __future__ import annotations

from itertools import count

from rivetwright.engines.order.plan import order
from rivetwright.engines.order.plan_set import SetProgress, order_set
from rivetwright.model.stage import StageSet
from tests.unit.engines.order.made import row_stage

SMALL = StageSet(
    "three rows",
    (row_stage(6, [0, 3, 5]), row_stage(9, [0, 4, 8]), row_stage(5, [0, 2, 4])),
    ((2, 0), (0, 1)),
)
LARGE = StageSet(
    "enough to share out", tuple(row_stage(40, range(0, 40, 3)) for _ in range(8)), ()
)


def test_stages_come_in_a_turn_that_keeps_what_is_first() -> None:
    """Stage 2 before stage 0 before stage 1."""
    assert order_set(SMALL, work=0.1).turn == (2, 0, 1)


def test_costs_and_bounds_add_up() -> None:
    """Each stage is paid on its own."""
    found = order_set(SMALL, work=0.1)
    alone = [order(stage, work=0.1) for stage in SMALL.stages]
    assert found.cost_s == sum(one.cost.objective_s for one in alone)
    assert found.bound_s == sum(one.bound_s for one in alone)


def test_two_processes_find_what_one_finds() -> None:
    """The same orders, however they are shared out."""
    two = order_set(LARGE, work=0.05, processes=2)
    one = order_set(LARGE, work=0.05, processes=1)
    assert [found.steps for found in two.orders] == [f.steps for f in one.orders]


def test_a_stopped_set_has_an_order_for_every_stage() -> None:
    """Stopped after the first stage: the others come with their first order."""
    asked = count()
    told: list[SetProgress] = []
    found = order_set(
        SMALL, work=0.1, stop=lambda: next(asked) >= 4, progress=told.append
    )
    assert found.is_stopped
    assert len(found.orders) == 3
    assert 1 <= len(told) < 3


def test_a_stopped_set_of_two_processes_too() -> None:
    """The stages at work are finished, the others come with their first order."""
    found = order_set(LARGE, work=0.05, stop=lambda: True)
    assert found.is_stopped
    assert len(found.orders) == len(LARGE.stages)

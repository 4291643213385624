"""Laws of an order: allowed from any state, what comes first first, never loose.

The checker shares no code with what makes the orders; the stages are made by chance.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from rivetwright.engines.order.blocks import Classes
from rivetwright.engines.order.bound import BoundedOrder, bounded_order
from rivetwright.engines.order.checker import check_plan
from rivetwright.engines.order.construct import Way
from rivetwright.engines.order.moving import Moving
from rivetwright.engines.order.plan import Ordered, order
from rivetwright.engines.order.polish import Polish
from rivetwright.engines.order.rows import RowRules
from rivetwright.engines.order.stage import Tables
from rivetwright.engines.order.steps import Steps, cost_of
from rivetwright.engines.order.timeline import Timeline
from rivetwright.model.stage import Kind, Stage
from tests.property.order_made import after_steps, random_stage

FIRST_ORDERS = 1200
REPLANS = 500
WORKED = 60


def quick_bound(stage: Stage) -> BoundedOrder:
    """A bound without the solver: quick, and it does for laws."""
    return bounded_order(Tables(stage), with_solver=False)


def worked(stage: Stage, work: float = 0.3) -> Ordered:
    """An order with a little search and polish."""
    return order(stage, work=work, bound=quick_bound(stage))


def test_first_orders_are_allowed() -> None:
    """Rules A and B hold throughout, for every stage that chance makes."""
    for seed in range(FIRST_ORDERS):
        stage = random_stage(seed)
        assert check_plan(stage, order(stage, work=0.0).steps).is_allowed, seed


def test_an_order_is_found_from_any_state_on_the_way() -> None:
    """After any number of steps of a plan the rest is planned anew and allowed."""
    for seed in range(REPLANS):
        stage = random_stage(seed)
        first = order(stage, work=0.0)
        rng = np.random.default_rng(seed)
        part = after_steps(stage, first.steps, int(rng.integers(0, len(first.steps))))
        assert check_plan(part, order(part, work=0.0).steps).is_allowed, seed


def test_a_hole_suddenly_held_stays_open() -> None:
    """Half-way one hole is put off: the rest is allowed, and that hole is not set."""
    for seed in range(100):
        stage = random_stage(seed)
        first = order(stage, work=0.0)
        part = after_steps(stage, first.steps, len(first.steps) // 2)
        left = np.flatnonzero(~(part.is_set | part.is_deferred))
        if not len(left):
            continue
        held = part.is_deferred.copy()
        held[left[0]] = True
        part = replace(part, is_deferred=held)
        again = order(part, work=0.0)
        assert all(one.rule in ("held", "end held") for one in again.breaches), seed
        assert (int(Kind.SET), int(left[0])) not in list(again.steps), seed


def test_worked_orders_are_allowed_and_cost_no_more() -> None:
    """Search and polish keep the rules, and never make an order dearer."""
    for seed in range(WORKED):
        stage = random_stage(seed)
        found = worked(stage)
        first_s = order(stage, work=0.0).cost.objective_s
        assert check_plan(stage, found.steps).is_allowed, seed
        assert found.cost.objective_s <= first_s + 1e-6, seed
        assert found.cost.objective_s >= found.bound_s - 1e-6, seed


def test_the_same_stage_gives_the_same_order() -> None:
    """Twice the same work, twice the same steps."""
    for seed in range(0, 40, 4):
        stage = random_stage(seed)
        assert worked(stage).steps == worked(stage).steps, seed


@pytest.mark.parametrize("way", [Way(from_middle=True), Way(ends_first=True)])
def test_ways_of_working_are_allowed(way: Way) -> None:
    """Middle outward and ends first keep rules A and B like any order."""
    for seed in range(100):
        stage = random_stage(seed)
        found = order(stage, work=0.0, way=way)
        assert check_plan(stage, found.steps).is_allowed, seed


def test_what_the_polish_counts_is_what_the_plan_costs() -> None:
    """The cost saved, added up move by move, is the difference of the two plans."""
    for seed in range(60):
        stage = random_stage(seed)
        tables = Tables(stage)
        classes, rules = Classes(tables), RowRules(tables)
        first = order(stage, work=0.0).steps
        polish = Polish(classes, rules, list(first))
        last = Steps.of(polish.run(600))
        saved_s = cost_of(tables, first).objective_s - cost_of(tables, last).objective_s
        assert saved_s == pytest.approx(polish.best_s, abs=1e-6), seed


def test_a_move_taken_back_leaves_the_plan_as_it_was() -> None:
    """Moves by chance, each taken back: steps, moments and breaches stay."""
    for seed in range(60):
        stage = random_stage(seed)
        tables = Tables(stage)
        classes, rules = Classes(tables), RowRules(tables)
        steps = list(order(stage, work=0.0).steps)
        line = Timeline(classes, rules, steps)
        moving = Moving(line)
        movable = [k for k in range(line.count) if line.hole[k] >= 0]
        rng = np.random.default_rng(seed)
        for _ in range(200 if movable else 0):
            chain = moving.chain(int(rng.choice(movable)), int(rng.integers(1, 4)))
            to = int(rng.choice([*movable, line.head]))
            if to in chain:
                continue
            known = list(line.breached)
            move = moving.attempt(
                chain, to, is_turned=bool(rng.random() < 0.5), most_s=50.0
            )
            if move:
                assert check_plan(stage, Steps.of(line.steps())).is_allowed, seed
                moving.undo(move)
                assert list(line.steps()) == steps, seed
                assert line.breached == known, seed

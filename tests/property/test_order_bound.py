"""No plan of a stage goes below its proven bound; the checker agrees with the rules.

The cheapest plan of tiny random stages is found by looking at every state, in code
that shares nothing with the engine. Costs are drawn so that odd plans pay: changes
for next to nothing, dear swaps and holders.
"""

from __future__ import annotations

import json
from functools import cache
from pathlib import Path

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from rivetwright.engines.order.bound import bounded_order
from rivetwright.engines.order.checker import check_plan, check_start
from rivetwright.engines.order.stage import Tables
from rivetwright.engines.order.steps import Steps, cost_of
from rivetwright.intake.order_file import read_stages
from rivetwright.model.stage import Stage
from tests.property.exact_order import Exact
from tests.property.tiny_stages import tiny_stage

INSTANCES = Path(__file__).parents[2] / "benchmarks" / "order"
TINY = ("tiny-rib-12-s21", "tiny-rib-12-s22", "tiny-rib-12-s23", "tiny-rib-12-s24")
HAIR_S = 1e-6


@cache
def solved(seed: int) -> tuple[Stage, float, Steps] | None:
    """A tiny stage with its cheapest plan; None where there is none."""
    stage = tiny_stage(seed, holes=5)
    exact = Exact(stage)
    best = exact.best() if exact.is_start_held() else None
    return None if best is None else (stage, best[0], Steps.of(best[1]))


@settings(max_examples=60, deadline=None, derandomize=True)
@given(seed=st.integers(0, 100_000), with_solver=st.booleans())
def test_no_plan_goes_below_the_bound(seed: int, with_solver: bool) -> None:
    """The cheapest plan of all costs at least the bound, with the solver or without."""
    found = solved(seed)
    assume(found is not None)
    assert found is not None
    stage, cost_s, _ = found
    bound = bounded_order(Tables(stage), with_solver=with_solver)
    assert bound.bound_s <= cost_s + HAIR_S


@settings(max_examples=40, deadline=None, derandomize=True)
@given(seed=st.integers(0, 100_000))
def test_checker_and_cost_agree_with_the_rules(seed: int) -> None:
    """The cheapest plan is allowed, costs what the search over states says, and a
    start that is not held together is seen by both."""
    stage = tiny_stage(seed, holes=5)
    assert Exact(stage).is_start_held() == (not check_start(stage))
    found = solved(seed)
    assume(found is not None)
    assert found is not None
    stage, cost_s, steps = found
    verdict, cost = check_plan(stage, steps), cost_of(stage, steps)
    assert verdict.is_allowed
    assert cost.objective_s == pytest.approx(cost_s, abs=HAIR_S)
    assert len(verdict.zipped) == len(cost.breaches)


@pytest.mark.parametrize("name", TINY)
def test_twelve_holes_stay_above_the_bound(name: str) -> None:
    """The proven optimum of each stage of twelve holes is at least its bound, and the
    bound is nearer to it than rivets, changes and one tree over the holes alone."""
    known = json.loads((INSTANCES / "known.json").read_text("utf-8"))[name]
    stage = read_stages(INSTANCES / f"{name}.json")
    assert isinstance(stage, Stage)
    bound = bounded_order(Tables(stage))
    assert bound.is_proven
    assert known["lower_bound_s"] < bound.bound_s <= known["optimum_s"] + HAIR_S


def test_the_same_stage_gives_the_same_order_and_bound() -> None:
    """Limits are units of work: a second run ends at the same place."""
    stage = read_stages(INSTANCES / "dev2-ladder-50.json")
    assert isinstance(stage, Stage)
    first, second = (bounded_order(Tables(stage)) for _ in range(2))
    assert first == second

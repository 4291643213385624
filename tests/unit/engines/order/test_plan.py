"""From a stage to a checked order: work, interruption, progress, known stages."""

from __future__ import annotations

import json
from itertools import count
from pathlib import Path
from typing import Any

import pytest

from rivetwright.engines.order.bound import bounded_order
from rivetwright.engines.order.checker import check_plan
from rivetwright.engines.order.plan import Progress, order
from rivetwright.engines.order.stage import Tables
from rivetwright.intake.order_file import read_stages
from rivetwright.model.stage import Stage
from tests.unit.engines.order.made import LONGER_RIVET, SHORT, row_stage

INSTANCES = Path("benchmarks/order")
KNOWN: dict[str, dict[str, Any]] = json.loads(
    (INSTANCES / "known.json").read_text(encoding="utf-8")
)
RATIO_MOST = 1.05
EXACT_MOST = 1.003
TWO_KINDS = row_stage(
    12,
    [0, 3, 6, 9, 11],
    setups=(SHORT, LONGER_RIVET),
    options=[(0,)] * 6 + [(1,)] * 6,
    holders_spare=3,
)


def known_stage(name: str) -> Stage:
    """One of the stages of the development set."""
    stage = read_stages(INSTANCES / f"{name}.json")
    assert isinstance(stage, Stage)
    return stage


@pytest.mark.parametrize("name", [n for n in KNOWN if n.startswith("dev")])
def test_development_stages_come_within_their_goal(name: str) -> None:
    """Without the solver too: 1.05 of the known bound, two breaches at the most."""
    stage = known_stage(name)
    bound = bounded_order(Tables(stage), with_solver=False)
    found = order(stage, work=1.0, bound=bound)
    assert not found.breaches
    assert found.cost.objective_s / KNOWN[name]["lower_bound_s"] <= RATIO_MOST
    assert len(found.cost.breaches) <= 2


@pytest.mark.parametrize("name", [n for n in KNOWN if n.startswith("tiny")])
def test_stages_of_a_dozen_holes_come_near_the_optimum(name: str) -> None:
    """At most 0.3 % above the optimum proven by looking at every order."""
    found = order(known_stage(name), work=3.0)
    assert found.cost.objective_s <= KNOWN[name]["optimum_s"] * EXACT_MOST


def test_work_is_done_unless_it_is_stopped() -> None:
    """Asked to stop at the n-th look, an allowed order comes out, with the part."""
    parts = set()
    for looks in (0, 1, 2, 3, 5, 8, 13):
        asked = count()
        found = order(
            TWO_KINDS,
            work=0.5,
            stop=lambda asked=asked, looks=looks: next(asked) >= looks,
        )
        assert check_plan(TWO_KINDS, found.steps).is_allowed
        parts.add(found.stopped_at)
    assert "first" in parts
    assert order(TWO_KINDS, work=0.5).stopped_at == "done"


def test_progress_goes_through_the_parts_and_never_gets_dearer() -> None:
    """First order, then search and polish; the best cost only falls."""
    told: list[Progress] = []
    order(TWO_KINDS, work=0.5, progress=told.append)
    assert told[0].part == "first"
    assert {one.part for one in told} >= {"search", "polish"}
    costs = [one.cost_s for one in told if one.part == "search"]
    assert costs == sorted(costs, reverse=True)


def test_nothing_to_do_is_an_empty_order() -> None:
    """Every hole set, no holder in it: no steps, ratio one."""
    stage = row_stage(4, [])
    done = order(row_stage(4, [], is_set=stage.face == 0), work=0.5)
    assert len(done.steps) == 0
    assert done.ratio == 1.0

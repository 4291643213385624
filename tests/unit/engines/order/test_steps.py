"""What steps cost, part by part, worked out by hand."""

from __future__ import annotations

from dataclasses import replace

import pytest

from rivetwright.engines.order.stage import change_s
from rivetwright.engines.order.steps import cost_of
from rivetwright.model.stage import Setup
from tests.unit.engines.order.made import (
    COSTS,
    LONGER_RIVET,
    OTHER_GAP,
    SHORT,
    row_stage,
    steps,
)


@pytest.mark.parametrize(
    ("before", "after", "expected_s"),
    [
        (None, SHORT, 45 + 40 + 90 + 60 + 20),
        (SHORT, SHORT, 0),
        (SHORT, LONGER_RIVET, 20),
        (SHORT, OTHER_GAP, 90 + 60 + 20),
        (SHORT, replace(SHORT, dies="U3"), 40 + 90 + 60),
        (SHORT, replace(SHORT, yoke="long"), 180 + 90 + 60),
        (SHORT, replace(SHORT, yoke="long", dies="U3"), 180 + 40 + 90 + 60),
        (
            SHORT,
            Setup("gun", None, "U4", None, "U4-4", 2, 25.0),
            45 + 40 + 60 + 180,
        ),
        (Setup("gun", None, "U4", None, "U4-4", 2, 25.0), SHORT, 45 + 40 + 90 + 60),
    ],
)
def test_a_change_costs_what_has_to_be_done_again(
    before: Setup | None, after: Setup, expected_s: float
) -> None:
    """Tool 45, yoke 180, dies 40, gap 90, proof 60, bin 20, second person 180 s."""
    assert change_s(COSTS, before, after) == expected_s


def test_each_part_of_a_plan_is_paid() -> None:
    """255 s to rig; four rivets 48 s; two holders out 6 s; two swaps 8 s.

    One walks from 1 to 2 (25 mm), to 0 (50), to 3 (75), to 0 (75), to 3 (75):
    300 mm at 250 mm/s are 1.2 s.
    """
    cost = cost_of(row_stage(4, [0, 3]), steps("S0 R1 R2 O0 O3 R0 R3"))
    assert (cost.setup_s, cost.rivet_s) == (255.0, 48.0)
    assert (cost.holder_s, cost.swap_s) == (6.0, 8.0)
    assert cost.walk_s == pytest.approx(1.2)
    assert cost.objective_s == cost.time_s == pytest.approx(318.2)


def test_coming_back_from_the_bench_costs_no_walk_and_no_swap() -> None:
    """A turn there and back, 60 s each, between a rivet and a holder 75 mm off."""
    cost = cost_of(row_stage(4, [0, 3]), steps("S0 R1 F1 F0 O3"))
    assert (cost.turn_s, cost.walk_s, cost.swap_s) == (120.0, 0.0, 0.0)


def test_rigging_what_is_rigged_changes_nothing() -> None:
    """The hand keeps the squeezer: the holder still costs a swap."""
    cost = cost_of(row_stage(4, [0, 3]), steps("S0 R1 S0 F0 O0"))
    assert (cost.setup_s, cost.swap_s) == (255.0, 4.0)
    assert cost.walk_s == pytest.approx(0.1)


def test_a_rivet_against_rule_c_weighs_sixty_seconds() -> None:
    """Hole 1 beside hole 0 alone, in a row of 200 mm."""
    cost = cost_of(row_stage(9, []), steps("S0 R0 R1"))
    assert cost.breaches == (1,)
    assert cost.objective_s - cost.time_s == 60.0

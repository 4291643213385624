"""Fresh stages are the same again and begin held; the rivals keep the rules."""

from __future__ import annotations

import numpy as np
import pytest

from benchmarks.order_rivals import follow, nearest_next, routing, row_at_a_time
from benchmarks.order_stages import KINDS, fresh_airframe, fresh_stage
from rivetwright.engines.order.blocks import Classes
from rivetwright.engines.order.checker import check_plan, check_start
from rivetwright.engines.order.stage import Tables


@pytest.mark.parametrize("kind", list(KINDS))
def test_a_fresh_stage_is_the_same_again_and_begins_held(kind: str) -> None:
    """Kind, size and seed decide every hole; rule B holds before the first step."""
    first, second = (fresh_stage(kind, 120, 3) for _ in range(2))
    assert first.options == second.options
    assert np.array_equal(first.x_mm, second.x_mm)
    assert abs(len(first) - 120) <= 2
    assert check_start(first) == ()
    assert fresh_stage(kind, 120, 4).options != first.options


def test_an_airframe_comes_to_its_holes() -> None:
    """600 holes in stages of 12 and more, each after an earlier one."""
    airframe = fresh_airframe(600, 1)
    assert sum(len(stage) for stage in airframe.stages) == 600
    assert all(first < then for first, then in airframe.precedence)


@pytest.mark.parametrize("kind", list(KINDS))
def test_rivals_make_plans_that_are_allowed(kind: str) -> None:
    """Nearest next, a row at a time, and routing: rules A and B are kept by each."""
    stage = fresh_stage(kind, 50, 5)
    classes = Classes(Tables(stage))
    for sequence in (
        nearest_next(classes),
        row_at_a_time(classes),
        routing(classes, seconds=0.2),
    ):
        assert check_plan(stage, follow(classes, sequence)).is_allowed

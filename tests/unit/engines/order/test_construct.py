"""First orders of rows that can be followed by hand."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from rivetwright.engines.order.blocks import Classes, greedy_visits, with_milestones
from rivetwright.engines.order.construct import Builder, HoldersShort, Way
from rivetwright.engines.order.stage import Tables
from rivetwright.engines.order.steps import Steps, cost_of
from rivetwright.model.stage import Clamp, Kind, Stage
from tests.unit.engines.order.made import (
    LONGER_RIVET,
    SHORT,
    before,
    row_stage,
    with_milestone,
)


def built(stage: Stage, way: Way | None = None) -> Steps:
    """The first order, with what the builder counts held against the full count."""
    tables = Tables(stage)
    classes = Classes(tables)
    builder = Builder(classes, way=way)
    blocks = with_milestones(classes, greedy_visits(tables, classes))
    made = builder.build(builder.stops(blocks))
    if way is None:
        cost_s = cost_of(tables, Steps.of(made.steps)).objective_s
        assert made.cost_s == pytest.approx(cost_s)
    return Steps.of(made.steps)


def kinds(steps: Steps) -> str:
    """The kinds of step in a row, by their letters."""
    return "".join("SFMROI"[kind] for kind, _ in steps)


def test_a_row_takes_rivets_then_holders_then_rivets() -> None:
    """Thirteen holes, a holder in every fourth: one way each, two swaps."""
    steps = built(row_stage(13, [0, 4, 8, 12]))
    assert kinds(steps).count("O") == 4
    assert kinds(steps).replace("RR", "R").count("OR") == 1
    assert not cost_of(row_stage(13, [0, 4, 8, 12]), steps).breaches


def test_without_a_holder_to_spare_it_is_said() -> None:
    """Nothing holds the row together, and the box is empty."""
    stage = row_stage(9, [], holders_spare=0)
    with pytest.raises(HoldersShort, match="row 0"):
        built(stage)


def test_a_loose_row_is_held_first() -> None:
    """Nothing holds the row: holders go in before the first rivet."""
    steps = built(row_stage(9, [], holders_spare=4))
    first_rivet = kinds(steps).index("R")
    assert kinds(steps)[:first_rivet].count("I") >= 2


def test_a_row_that_comes_loose_with_its_part_is_held_first() -> None:
    """The same after the milestone that brings the row."""
    steps = built(replace(with_milestone(9, []), holders_spare=4))
    assert kinds(steps).startswith("MI")


def test_middle_outward_begins_in_the_middle() -> None:
    """Of the open holes 1 to 7 the middle one, hole 4, is set first."""
    steps = built(row_stage(9, [0, 8], clamp=Clamp(200.0, 38.0)), Way(from_middle=True))
    rivets = [index for kind, index in steps if kind == Kind.SET]
    assert rivets[0] == 4


def test_ends_first_sets_the_outer_open_holes_first() -> None:
    """Of the open holes 1 to 7 the first and the last come before the rest."""
    steps = built(row_stage(9, [0, 8], clamp=Clamp(200.0, 38.0)), Way(ends_first=True))
    rivets = [index for kind, index in steps if kind == Kind.SET]
    assert set(rivets[:2]) == {1, 7}


def test_a_holder_goes_in_first_where_only_that_keeps_the_row_together() -> None:
    """Hole 4 alone wants the other rivet and comes first; 1-3 and 5-7 are open.

    Open itself, it would leave 175 mm between the holders in 0 and 8.
    """
    options = [(0,)] * 9
    options[4] = (1,)
    stage = row_stage(
        9,
        [0, 4, 8],
        setups=(SHORT, LONGER_RIVET),
        options=options,
        group=np.array([1, 1, 1, 1, 0, 1, 1, 1, 1], dtype=np.int32),
        precedence=(before("g0", "g1"),),
        holders_spare=2,
    )
    steps = kinds(built(stage))
    assert steps.index("I") < steps.index("O") < steps.index("R")

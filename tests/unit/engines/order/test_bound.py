"""Blocks, what rule B makes certain, and bounds worked out by hand."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from rivetwright.engines.order.blocks import (
    Classes,
    block_time_s,
    greedy_visits,
    with_milestones,
)
from rivetwright.engines.order.bound import bounded_order, gap_share
from rivetwright.engines.order.needs import Needs
from rivetwright.engines.order.stage import Tables
from rivetwright.engines.order.walk import tree_edges
from rivetwright.model.stage import BARE, Stage, Token
from tests.unit.engines.order.made import OTHER_GAP, SHORT, row_stage, with_milestone

TWO = (SHORT, OTHER_GAP)


def needs_of(stage: Stage) -> Needs:
    """What rule B makes certain of a stage."""
    return Needs(Classes(Tables(stage)))


def test_holes_that_wait_alike_are_one_class() -> None:
    """Six holes, the last two want the longer rivet: two classes of four and two."""
    stage = row_stage(6, [0, 3, 5], setups=TWO, options=[(0,)] * 4 + [(1,)] * 2)
    classes = Classes(Tables(stage)).classes
    assert [one.holes for one in classes] == [(0, 1, 2, 3), (4, 5)]


def test_a_set_hole_belongs_to_no_class() -> None:
    """Hole 0 is set already: three are left to set."""
    stage = row_stage(4, [3], is_set=np.array([True, False, False, False]))
    classes = Classes(Tables(stage))
    assert classes.class_of.tolist() == [BARE, 0, 0, 0]


def test_a_milestone_stands_before_the_row_it_brings() -> None:
    """Fit the bracket, then its four holes."""
    classes = Classes(Tables(with_milestone(4, [0, 3])))
    blocks = with_milestones(classes, greedy_visits(classes.tables, classes))
    assert [one.milestone for one in blocks] == [0, BARE]
    # 240 s for the milestone, 255 s to rig, four rivets of 12 s.
    assert block_time_s(classes.tables, classes, blocks) == 240 + 255 + 48


def test_batches_wait_through_a_milestone() -> None:
    """Group 0 before the milestone, the milestone before group 1: 0 before 1."""
    stage = replace(
        with_milestone(4, [0, 3]),
        row_after=np.array([BARE], dtype=np.int32),
        group=np.array([0, 0, 1, 1], dtype=np.int32),
        precedence=(
            (Token(False, 0), Token(True, 0)),
            (Token(True, 0), Token(False, 1)),
        ),
    )
    assert Classes(Tables(stage)).is_before.tolist() == [[False, True], [False, False]]


def test_windows_are_as_short_as_can_be() -> None:
    """Within a row three open holes are 75 mm from a far one, four are 100: four.

    At an end the second open hole lies 50 mm beyond what is fast, over 38: two.
    """
    windows = needs_of(row_stage(9, [0, 4, 8])).windows
    lengths = {window.holes[0]: len(window.holes) for window in windows}
    assert lengths == {0: 2, 1: 4, 2: 4, 3: 4, 4: 4, 5: 4, 6: 3, 7: 2}


def test_a_row_of_two_has_no_window() -> None:
    """Rule B exempts it."""
    assert needs_of(row_stage(2, [0, 1])).windows == ()


def test_a_holder_is_put_in_where_the_neighbours_come_later() -> None:
    """Eight holes, holders at 0, 3 and 7; 4 to 7 want the other setup.

    When 3 is set its next fast hole may lie up to 76 mm on: 4, 5 or 6, not 7 (100).
    One of them must be set by then, or get a holder.
    """
    options = [(0,)] * 4 + [(1,)] * 4
    stage = row_stage(8, [0, 3, 7], setups=TWO, options=options)
    (need,) = needs_of(stage).put_ins
    assert need.hole == 3
    assert need.ways == (frozenset({1}),)
    assert need.places == (4, 5, 6)


def test_bound_of_one_row_by_hand() -> None:
    """Four holes, one setup: 255 s to rig, 48 s of rivets, two holders out 6 s.

    The row is a window: rivets, pliers, rivets are two swaps, 8 s. Walking: the four
    holes once and the outer two again; little is certain, and not over 1.2 s, which
    the plan of test_steps.py takes.
    """
    bound = bounded_order(Tables(row_stage(4, [0, 3])))
    assert bound.is_proven
    assert 255 + 48 + 6 + 8 <= bound.bound_s <= 318.2


@pytest.mark.parametrize("with_solver", [True, False])
def test_a_stage_with_nothing_to_set_is_bounded_by_nought(with_solver: bool) -> None:
    """All set: no blocks, no time."""
    stage = row_stage(4, [], is_set=np.ones(4, dtype=np.bool_))
    bound = bounded_order(Tables(stage), with_solver=with_solver)
    assert (bound.blocks, bound.bound_s) == ((), 0.0)


def test_without_the_solver_the_bound_still_stands() -> None:
    """Rivets, the way in and the holders: 255, 48 and 6 s, less credited runs."""
    stage = row_stage(4, [0, 3], turn_s=np.zeros((1, 1)))
    weak = bounded_order(Tables(stage), with_solver=False)
    assert not weak.is_proven
    assert 300 <= weak.bound_s <= bounded_order(Tables(stage)).bound_s


def test_the_shortest_tree_over_a_corner() -> None:
    """Three places at right angles, 3 and 4 apart: the tree leaves the 5 out."""
    edges = tree_edges(np.array([0.0, 3.0, 0.0]), np.array([0.0, 0.0, 4.0]))
    assert [length for length, _, _ in edges] == [3.0, 4.0]


def test_a_tree_over_many_places_is_the_same_by_neighbours() -> None:
    """A grid of 15 by 15 at 10 mm: 224 edges of 10 mm."""
    x_mm, y_mm = (10.0 * one.ravel() for one in np.mgrid[0:15, 0:15])
    assert {length for length, _, _ in tree_edges(x_mm, y_mm)} == {10.0}


def test_gap_is_the_share_above_the_bound() -> None:
    """110 s above a bound of 100 s: a tenth."""
    assert gap_share(110.0, 100.0) == pytest.approx(0.1)
    assert gap_share(0.0, 0.0) == 0.0

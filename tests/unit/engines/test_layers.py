"""Which layers a hole goes through, and which are there when it is set."""

from __future__ import annotations

import numpy as np

from rivetwright.engines.layers import (
    find_pairs,
    is_inside,
    near_box,
    placed_layers,
    split_by_presence,
)
from rivetwright.model.columns import expand
from rivetwright.model.outline import CutOut
from rivetwright.model.plan import HoleRange, OpenHoles, Plan
from tests.unit.engines.small import box, plan_of, row


def parts_at(plan: Plan, hole: str) -> tuple[list[str], list[str]]:
    """Names of the parts there when a hole is set, and of those that come later."""
    holes, layers = expand(plan), placed_layers(plan)
    pairs = find_pairs(plan, holes)
    both = split_by_presence(plan, holes, layers, pairs)
    here = holes.index(hole)
    present, later = (
        [layers[k].layer.part for k in some.layer[some.hole == here]] for some in both
    )
    return present, later


def test_layers_come_from_near_to_far() -> None:
    """The hole at (10, 10) lies in all three, in the order of the face."""
    layers = [box("c"), box("a"), box("b", (0, 20))]
    plan = plan_of(row("R", "MS20470AD4-4", (10, 10), (50, 10)), layers=layers)
    assert parts_at(plan, "R:1") == (["c", "a", "b"], [])
    assert parts_at(plan, "R:2") == (["c", "a"], [])


def test_cut_out_has_no_metal() -> None:
    """In a round hole and in a square notch there is no sheet; on its rim there is."""
    round_cut, notch = (
        CutOut((20, 20), 5.0),
        CutOut(corners_mm=((40, 0), (50, 0), (50, 9))),
    )
    layer = box("1", cuts=(round_cut, notch))
    u = np.array([20.0, 24.9, 25.1, 49.0, 60.0])
    v = np.array([20.0, 20.0, 20.0, 1.0, 1.0])
    assert is_inside(layer, u, v).tolist() == [False, False, True, False, True]


def test_rim_of_an_outline_is_outside() -> None:
    """A place on the very edge holds no rivet."""
    u, v = np.array([0.0, 0.1, 100.0]), np.array([10.0, 10.0, 10.0])
    assert is_inside(box("1"), u, v).tolist() == [False, True, False]


def test_notch_may_run_over_the_edge() -> None:
    """A notch open to the side takes its corner out, and no more."""
    notch = CutOut(corners_mm=((-10, 20), (10, 20), (10, 30), (-10, 30)))
    layer = box("1", cuts=(notch,))
    u, v = np.array([5.0, 5.0, 15.0]), np.array([25.0, 35.0, 25.0])
    assert is_inside(layer, u, v).tolist() == [False, True, True]


def test_box_is_looked_in_with_reach() -> None:
    """3 mm beside the box is near with a reach of 3 and not with 2."""
    u, v = np.array([-3.0, 50.0]), np.array([10.0, 10.0])
    assert near_box(box("1"), u, v, 3.0).tolist() == [0, 1]
    assert near_box(box("1"), u, v, 2.0).tolist() == [1]


def test_layer_from_a_step_is_there_from_it_on() -> None:
    """Step 2 needs 1: a layer from 2 is later for a hole of 1, there for one of 2."""
    layers = [box("skin"), box("late", from_step="2"), box("early", from_step="1")]
    rows = [
        row("A", "MS20470AD4-4", (10, 10), step="1"),
        row("B", "MS20470AD4-4", (20, 10), step="2"),
    ]
    plan = plan_of(*rows, layers=layers)
    assert parts_at(plan, "A:1") == (["skin", "early"], ["late"])
    assert parts_at(plan, "B:1") == (["skin", "late", "early"], [])


def test_layer_for_open_holes_is_there_for_them_alone() -> None:
    """The cap comes with hole 2, which waits for it; hole 1 is set without."""
    layers = [box("skin"), box("cap", for_open="later")]
    opened = OpenHoles("later", (HoleRange("R", 2, 2),), "cap comes later")
    plan = plan_of(
        row("R", "MS20470AD4-4", (10, 10), (30, 10)),
        layers=layers,
        open_holes=(opened,),
    )
    assert parts_at(plan, "R:1") == (["skin"], ["cap"])
    assert parts_at(plan, "R:2") == (["skin", "cap"], [])


def test_row_without_places_lies_on_no_layer() -> None:
    """A count alone has no pairs."""
    plan = plan_of(row("R", count=3, stack=[("1", "plain")]), layers=[box("1")])
    assert len(find_pairs(plan, expand(plan)).hole) == 0

"""Random plans in random states: their stages begin legal, their orders are allowed.

The checker judges; it shares no code with what makes stages and orders.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rivetwright.engines.order.checker import START, check_plan, check_start
from rivetwright.engines.order.construct import HoldersShort
from rivetwright.engines.order.figures import figures_of
from rivetwright.engines.order.from_plan import (
    AtBench,
    Choices,
    Staged,
    nothing_done,
    stage_of,
)
from rivetwright.engines.order.holders import every_second, size_of
from rivetwright.engines.order.said import FIRST, IN, OUT, SET, said_places
from rivetwright.engines.order.step_plan import StepPlan, plan_steps
from rivetwright.engines.worked import Worked
from rivetwright.model.shop import Holders, Shop
from tests.property.strategies import STEPS, plans

SOME = settings(max_examples=60, deadline=None)


@st.composite
def worked_plans(draw: st.DrawFn) -> Worked:
    """A plan, its holes expanded."""
    return Worked(draw(plans()))


@st.composite
def benches(draw: st.DrawFn, worked: Worked) -> AtBench:
    """Any state: some set, some that wait, some with a holder and no rivet."""
    count = len(worked.holes)
    some = st.lists(st.booleans(), min_size=count, max_size=count)
    is_set = np.array(draw(some), dtype=bool)
    waits = np.array(draw(some), dtype=bool) & ~is_set
    held = np.array(draw(some), dtype=bool) & ~is_set
    return replace(
        nothing_done(worked), is_set=is_set, must_wait=waits, has_holder=held
    )


@st.composite
def staged(draw: st.DrawFn) -> Staged:
    """A stage of one step or both, as the person may want it."""
    worked = draw(worked_plans())
    steps = draw(st.sampled_from([STEPS[:1], STEPS[1:], STEPS]))
    choices = Choices(
        draw(st.sampled_from(["", "middle", "ends", "skip"])),
        as_reminders=draw(st.booleans()),
    )
    shop = Shop("s", "s", "mm", holders=tuple(Holders(k, 400) for k in range(1, 13)))
    at_bench = draw(benches(worked))
    return stage_of(worked, shop, at_bench, steps, figures_of(shop), choices)


def planned(one: Staged) -> StepPlan:
    """Its first order."""
    return plan_steps(one, work=0.0)


@given(worked_plans())
@SOME
def test_stage_of_an_untouched_plan_is_held_together(worked: Worked) -> None:
    """Every second hole and both ends: no row is loose before the first step."""
    figures = figures_of(None)
    for step in STEPS:
        one = stage_of(worked, None, nothing_done(worked), [step], figures)
        assert check_start(one.stage) == ()


@given(staged())
@SOME
def test_order_of_any_state_is_allowed(one: Staged) -> None:
    """Rules A and B from the first step on; only the start may lie loose."""
    plan = planned(one)
    verdict = check_plan(plan.staged.stage, plan.ordered.steps)
    assert [b for b in verdict.stopped if b.step != START] == []


@given(staged())
@SOME
def test_cards_say_every_step_once(one: Staged) -> None:
    """Rivets, holders out and in of the cards are those of the order, no more."""
    plan = planned(one)
    letters = {3: SET, 4: OUT, 5: IN}
    told: dict[str, list[int]] = {SET: [], OUT: [], IN: []}
    for card in plan.cards:
        for press in card.presses:
            if press.kind in told:
                told[press.kind] += press.holes
    wanted: dict[str, list[int]] = {SET: [], OUT: [], IN: []}
    for kind, index in plan.ordered.steps:
        if kind in letters:
            wanted[letters[kind]].append(plan.staged.holes[index])
    assert told == wanted


@given(staged())
@SOME
def test_minutes_of_the_cards_are_those_of_the_order(one: Staged) -> None:
    """Together the presses take what the order costs, and the holders put in first."""
    plan = planned(one)
    presses = [press for card in plan.cards for press in card.presses]
    first_s = sum(press.time_s for press in presses if press.kind == FIRST)
    assert plan.time_s - first_s == pytest.approx(plan.ordered.cost.time_s)


@given(staged())
@SOME
def test_same_stage_gives_the_same_order(one: Staged) -> None:
    """Worked out twice it is the same, step by step."""
    assert planned(one).ordered.steps == planned(one).ordered.steps


@given(st.lists(st.integers(1, 60), min_size=1, max_size=30, unique=True))
def test_patterns_hold_exactly_the_places(places: list[int]) -> None:
    """What is said of a run names each of its holes once, in order."""
    found = said_places(places, 60)
    assert [place for one in found for place in one.places] == places


@given(st.integers(0, 400))
def test_every_second_hole_and_both_ends(count: int) -> None:
    """No two open neighbours, ends held, about half of the row."""
    held = every_second(count)
    if count > 2:
        assert held[0] == 0
        assert held[-1] == count - 1
        assert all(b - a <= 2 for a, b in pairwise(held))
    assert len(held) <= count // 2 + 1


@given(worked_plans(), st.integers(0, 3))
@SOME
def test_with_few_holders_it_is_held_or_told(worked: Worked, count: int) -> None:
    """Never an order with more holders than there are; else it says which row."""
    shop = Shop("s", "s", "mm", holders=tuple(Holders(k, count) for k in range(1, 13)))
    one = stage_of(worked, shop, nothing_done(worked), STEPS, figures_of(shop))
    try:
        plan = planned(one)
    except HoldersShort:
        assert count < len(one.stage)
        return
    # Rows of the later step are held when those of the first hold by rivets.
    assert all(
        size_count <= 2 * count
        for size_count in Counter(
            size_of(worked, hole) for hole in plan.staged.to_put_in
        ).values()
    )
    verdict = check_plan(plan.staged.stage, plan.ordered.steps)
    assert [b for b in verdict.stopped if b.step != START] == []

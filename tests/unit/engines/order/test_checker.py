"""Each rule kept by one plan, and broken once by another, worked out by hand."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from rivetwright.engines.order.checker import END, START, check_plan, check_start
from rivetwright.model.stage import Clamp
from tests.unit.engines.order.made import (
    OTHER_GAP,
    SHORT,
    before,
    row_stage,
    steps,
    with_milestone,
)

# Four holes, holders in the outer two: 1 and 2 are open, 25 and 50 mm from a holder.
FOUR = row_stage(4, [0, 3])
GOOD = "S0 R1 R2 O0 O3 R0 R3"


def first_rule(stage: object, text: str) -> tuple[str, int, int]:
    """The first thing the checker has against a plan."""
    verdict = check_plan(stage, steps(text))  # type: ignore[arg-type]
    one = verdict.stopped[0]
    return one.rule, one.step, one.about


def test_a_plan_that_keeps_all_rules_is_allowed() -> None:
    """Inner two set; then the outer holders come out, each 25 mm beyond a rivet."""
    verdict = check_plan(FOUR, steps(GOOD))
    assert verdict.is_allowed
    assert verdict.zipped == ()


@pytest.mark.parametrize(
    ("text", "rule", "step", "about"),
    [
        ("S0 R0", "holder in it", 1, 0),
        ("R1", "other setup", 0, 1),
        ("S0 R1 R1", "set twice", 2, 1),
        ("S1", "setup", 0, 1),
        ("F2", "face", 0, 2),
        ("M0", "milestone", 0, 0),
        ("S0 R4", "hole", 1, 4),
        ("S0 F1 R1", "other face", 2, 1),
        ("O1", "no holder", 0, 1),
        ("I0", "not empty", 0, 0),
        ("I1 I2", "none to spare", 1, 2),
        ("S0 R1 R2 O0 R0 O3", "not set", END, 3),
        ("S0 R1 R2 O0 R0 R3", "holder in it", 5, 3),
    ],
)
def test_rule_a_is_broken_once(text: str, rule: str, step: int, about: int) -> None:
    """One step of each kind that is not legal, and what is left at the end."""
    assert first_rule(FOUR, text) == (rule, step, about)


def test_a_holder_left_in_is_seen() -> None:
    """The plan puts a holder into hole 1, sets all the others, and ends."""
    text = "I1 S0 R2 O0 O3 R0 R3"
    rules = {one.rule for one in check_plan(FOUR, steps(text)).stopped}
    assert rules == {"not set", "holder left"}


def test_a_hole_that_stays_open_is_not_set() -> None:
    """Hole 1 is deferred: a rivet in it is refused."""
    stage = replace(FOUR, is_deferred=np.array([False, True, False, False]))
    assert first_rule(stage, "S0 R1") == ("stays open", 1, 1)


def test_what_comes_first_is_kept() -> None:
    """Group 0 before group 1: hole 2 of group 1 must wait for holes 0, 1 and 3.

    It lies open 50 mm past hole 1 when 3 is opened: a holder goes into it first.
    """
    stage = replace(
        FOUR, group=np.array([0, 0, 1, 0]), precedence=(before("g0", "g1"),)
    )
    assert first_rule(stage, "S0 R2") == ("too early", 1, 2)
    assert check_plan(stage, steps("S0 R1 O0 R0 I2 O3 R3 O2 R2")).is_allowed


def test_a_milestone_waits_and_brings_its_row() -> None:
    """No work on the row before its part is fitted; fitted twice is refused."""
    stage = with_milestone(4, [0, 3])
    assert first_rule(stage, "S0 R1") == ("not fitted", 1, 1)
    assert first_rule(stage, "S0 M0 M0") == ("milestone", 2, 0)
    assert check_plan(stage, steps("S0 M0 R1 R2 O0 O3 R0 R3")).is_allowed
    waiting = replace(stage, precedence=(before("g0", "m0"),))
    assert first_rule(waiting, "S0 M0") == ("too early", 1, 0)


def test_a_milestone_left_undone_is_seen() -> None:
    """Nothing was done at all: four holes and the milestone are left."""
    stage = with_milestone(4, [0, 3])
    rules = [one.rule for one in check_plan(stage, steps("")).stopped]
    assert rules == ["not set"] * 4 + ["milestone left"]


def test_rule_b_is_broken_between_two_holders() -> None:
    """Nine holes, holders at 0, 4, 8: without 4 the next is 175 mm off, over 76."""
    stage = row_stage(9, [0, 4, 8])
    assert check_start(stage) == ()
    assert first_rule(stage, "O4") == ("held", 0, 0)


def test_rule_b_is_broken_at_the_end() -> None:
    """Holders at 1 and 4 of five: without 4 hole 4 is 75 mm past 1, over 38."""
    stage = row_stage(5, [1, 4])
    assert first_rule(stage, "O4") == ("end held", 0, 0)


def test_rule_b_is_broken_when_nothing_is_fast() -> None:
    """Three holes and one holder in the middle: it comes out."""
    stage = row_stage(3, [1])
    assert check_start(stage) == ()
    assert first_rule(stage, "O1") == ("held", 0, 0)


def test_rule_b_holds_at_its_limit() -> None:
    """Holders at 0 and 4, reach 75 mm: holes 1 and 3 are 75 mm from the far one."""
    assert check_start(row_stage(5, [0, 4], clamp=Clamp(75.0, 38.0))) == ()
    tight = check_start(row_stage(5, [0, 4], clamp=Clamp(74.9, 38.0)))
    assert [(one.rule, one.step) for one in tight] == [("held", START)]


def test_rows_of_two_holes_need_no_holder() -> None:
    """Fewer than three holes to set: rule B exempts the row."""
    assert check_start(row_stage(2, [])) == ()


def test_rule_c_is_counted_and_not_refused() -> None:
    """Nine holes (200 mm): 1 is set 25 mm beside 0 with nothing on its other side."""
    stage = row_stage(9, [4, 8])
    verdict = check_plan(stage, steps("S0 R0 R1"))
    assert [(one.step, one.about) for one in verdict.zipped] == [(2, 1)]
    assert not any(one.step in (1, 2) for one in verdict.stopped)


def test_rule_c_lets_ends_skips_and_brackets() -> None:
    """The end; 75 mm from any set one; between two 200 mm apart: all may be set."""
    stage = row_stage(9, [])
    assert check_plan(stage, steps("S0 R0 R3 R8 R1 R4")).zipped == ()


def test_rule_c_exempts_a_short_row() -> None:
    """Seven holes are 150 mm long: no longer than a short row."""
    assert check_plan(row_stage(7, []), steps("S0 R1 R2 R3")).zipped == ()


def test_a_plan_goes_on_from_what_is_set_and_rigged() -> None:
    """Holes 1 and 2 are set and the squeezer is rigged: four steps are left."""
    stage = replace(FOUR, is_set=np.array([False, True, True, False]), rigged=0)
    assert check_plan(stage, steps("O0 O3 R0 R3")).is_allowed


def test_a_setup_that_a_hole_does_not_admit_is_refused() -> None:
    """Hole 3 wants the longer rivet."""
    options = [(0,), (0,), (0,), (1,)]
    stage = row_stage(4, [0, 3], setups=(SHORT, OTHER_GAP), options=options)
    assert first_rule(stage, "S0 R1 R2 O0 O3 R0 R3") == ("other setup", 6, 3)

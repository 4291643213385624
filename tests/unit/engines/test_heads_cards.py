"""Removal card, sampling, holes off square, blind rivets."""

from __future__ import annotations

from typing import Any

import pytest

from rivetwright.engines.heads.blind import (
    BlindHead,
    BlindLook,
    blind_suspects,
    judge_blind,
)
from rivetwright.engines.heads.decide import Action, History, decide_blind
from rivetwright.engines.heads.removal import removal_card
from rivetwright.engines.heads.sampling import (
    Conditions,
    SamplingPlan,
    SetHead,
    Why,
    changes,
    heads_due,
    sampling_plan,
)
from rivetwright.engines.heads.seen import Level
from rivetwright.engines.heads.square import (
    lean_of_shift_deg,
    lean_of_tip_deg,
    off_square,
)
from rivetwright.engines.heads.suspect import Cause
from rivetwright.standards.source import Status
from tests.unit.engines.heads_made import IN, called
from tests.unit.engines.small import blind

CODE = blind("BD4-2", ".063", ".125")


# --- taking one out -------------------------------------------------------------------


def test_only_the_head_is_drilled_to_its_depth() -> None:
    """1/8 universal: No. 30 (.1285), .054 deep; the shank only where it sticks.

    1/32 under 1/8 is 3/32.
    """
    steps = {one.key: one for one in removal_card(called()).steps}
    drill = steps["drill the head alone"].figures
    assert drill["drill_name"] == "No. 30"
    assert drill["depth_mm"] == pytest.approx(0.054 * IN)
    pilot = steps["relieve the shank"]
    assert pilot.is_only_if
    assert pilot.figures["drill_mm"] == pytest.approx(3 / 32 * IN)
    assert steps["measure the hole"].figures["most_mm"] == pytest.approx(0.1315 * IN)


def test_the_card_goes_from_support_to_record() -> None:
    """Support, mark, drill, snap off, punch out, relieve, measure, look, write."""
    keys = [one.key for one in removal_card(called()).steps if not one.is_caution]
    assert keys == [
        "support behind",
        "centre mark",
        "drill the head alone",
        "watch the head turn",
        "snap the head off",
        "punch the shank out",
        "relieve the shank",
        "measure the hole",
        "look for cracks and burrs",
        "write it down",
    ]


def test_the_card_knows_damage_flush_heads_and_a_second_removal() -> None:
    """A damaged head gets a flat, a flush one a stop, a second removal a caution."""
    flush = called("MS20426AD3-3", 0.020, 0.020, how="dimple")
    steps = removal_card(flush, is_damaged=True, removed_count=1).steps
    keys = [one.key for one in steps]
    assert {"file a flat", "head stop", "second in this hole"} <= set(keys)
    assert "watch the head turn" not in keys
    assert [one.key for one in steps if one.is_caution] == [
        "eyes and ears",
        "second in this hole",
        "never into the sheet",
    ]


# --- which to measure -----------------------------------------------------------------


def heads(count: int, *measured: int, off: int = 0) -> list[SetHead]:
    """So many heads, those numbered measured, one of them off."""
    return [
        SetHead(f"{k}", k in measured or k == off, k == off)
        for k in range(1, count + 1)
    ]


def names(found: Any) -> list[str]:
    """Names of the heads that are due."""
    return [one.name for one in found]


def test_the_plan_is_three_then_one_in_ten() -> None:
    """First three heads, then one in ten; our own judgement."""
    plan = sampling_plan()
    assert (plan.first_count, plan.one_in) == (3, 10)
    assert plan.source.status is Status.JUDGEMENT


def test_the_first_three_are_asked_for() -> None:
    """Of two set, both; of five with the first measured, the second and third."""
    assert names(heads_due(heads(2))) == ["1", "2"]
    assert names(heads_due(heads(5, 1))) == ["2", "3"]
    assert {one.why for one in heads_due(heads(2))} == {Why.FIRST}


def test_then_one_of_each_ten() -> None:
    """After the third the 13th is asked for, unless one of the ten was measured."""
    first = (1, 2, 3)
    assert names(heads_due(heads(12, *first))) == []
    assert names(heads_due(heads(13, *first))) == ["13"]
    assert names(heads_due(heads(13, *first, 8))) == []
    assert names(heads_due(heads(33, *first, 8))) == ["23", "33"]


def test_a_head_that_was_off_begins_the_count_again() -> None:
    """Off at the fifth: the sixth, seventh and eighth are wanted."""
    due = heads_due(heads(9, 1, 2, 3, off=5))
    assert names(due) == ["6", "7", "8"]
    assert {one.why for one in due} == {Why.AFTER_OFF}


def test_a_project_may_state_its_own_plan() -> None:
    """Two at first, then every head."""
    plan = SamplingPlan(2, 1, sampling_plan().source)
    assert names(heads_due(heads(4, 1, 2), plan)) == ["3", "4"]


def test_a_change_is_told_by_name() -> None:
    """Other shims and another pressure; what was not told is no change."""
    before = Conditions(yoke="Y1", shims="1/16", pressure="90 psi")
    now = Conditions(yoke="Y1", shims="1/32", pressure="85 psi", dies="flat")
    assert changes(before, now) == ("shims", "pressure")


# --- off square -----------------------------------------------------------------------


def test_the_least_lean_that_takes_the_feeler() -> None:
    """1/8 in .1285 through .25 forgives .80 deg and atan(.002/.25) = .46 deg more."""
    sizes = (0.125 * IN, 0.1285 * IN, 0.25 * IN, 0.25 * IN)
    forgives = off_square(*sizes, 0.0).forgives_deg
    assert forgives == pytest.approx(0.802 + 0.458, abs=0.001)
    assert not off_square(*sizes, forgives - 0.01).needs_feeler
    assert off_square(*sizes, forgives + 0.01).needs_feeler


def test_a_lean_is_measured_by_a_drill_or_by_the_far_side() -> None:
    """.1 over 2 in is 2.86 deg; .0087 through .25 is 2 deg."""
    assert lean_of_tip_deg(0.1, 2.0) == pytest.approx(2.862, abs=0.001)
    assert lean_of_shift_deg(0.00873, 0.25) == pytest.approx(2.0, abs=0.001)


# --- blind rivets ---------------------------------------------------------------------


def blind_level(grip_in: float = 0.090, **seen: Any) -> dict[BlindLook, Level]:
    """What each remark on a blind rivet asks for."""
    looks = frozenset(seen.pop("looks", ()))
    found = judge_blind(BlindHead(looks, **seen), CODE, grip_in * IN)
    return {one.look: one.level for one in found}


def test_a_good_blind_rivet_has_no_remark() -> None:
    """In its range, nothing seen."""
    assert blind_level() == {}


@pytest.mark.parametrize(
    ("gap_in", "share", "expected"),
    [
        (None, None, Level.MEASURE),
        (0.001, None, Level.FINE),
        (0.002, None, Level.MEASURE),
        (0.002, 0.40, Level.FINE),
        (0.002, 0.41, Level.REPLACE),
    ],
)
def test_a_gap_under_a_blind_head(
    gap_in: float | None, share: float | None, expected: Level
) -> None:
    """.002 in over more than 40 % of the head: reject; up to 40 % it stays."""
    gap = None if gap_in is None else gap_in * IN
    found = blind_level(looks=(BlindLook.GAP,), gap_mm=gap, gap_share=share)
    assert found == {BlindLook.GAP: expected}


def test_collar_stem_and_mandrel() -> None:
    """A collar within .020; a stem that moves or was not pulled through comes out."""
    stays = {BlindLook.COLLAR: Level.FINE}
    assert blind_level(collar_mm=0.020 * IN) == stays
    assert blind_level(collar_mm=0.021 * IN) == {BlindLook.COLLAR: Level.REPLACE}
    long = (BlindLook.STEM_LONG,)
    assert blind_level(looks=long) == {BlindLook.STEM_LONG: Level.MEASURE}
    assert blind_level(looks=long, collar_mm=0.010 * IN) == stays
    for look in (BlindLook.STEM_LOOSE, BlindLook.MANDREL_IN):
        assert blind_level(looks=(look,)) == {look: Level.REPLACE}
    assert blind_level(looks=(BlindLook.MARKED,)) == {BlindLook.MARKED: Level.FINE}


def test_hole_and_grip_of_a_blind_rivet() -> None:
    """The chart has .128 to .132 for 1/8; the code takes .063 to .125."""
    assert blind_level(hole_mm=0.130 * IN) == {}
    for hole_in in (0.127, 0.133):
        found = blind_level(hole_mm=hole_in * IN)
        assert found == {BlindLook.HOLE: Level.REPLACE}
    for grip_in in (0.060, 0.130):
        assert blind_level(grip_in) == {BlindLook.GRIP: Level.REPLACE}


def test_causes_of_a_blind_rivet() -> None:
    """A stack outside the range explains a loose stem before the hole does."""
    head = BlindHead(frozenset({BlindLook.STEM_LOOSE, BlindLook.MARKED}))
    remarks = judge_blind(head, CODE, 0.130 * IN)
    found = [one.cause for one in blind_suspects(remarks)]
    assert found == [Cause.BLIND_GRIP, Cause.BLIND_HOLE]


@pytest.mark.parametrize(
    ("seen", "removed", "action"),
    [
        ({}, 0, Action.LEAVE),
        ({"looks": frozenset({BlindLook.MARKED})}, 0, Action.LEAVE),
        ({"looks": frozenset({BlindLook.STEM_LONG})}, 0, Action.MEASURE),
        ({"looks": frozenset({BlindLook.STEM_LOOSE})}, 0, Action.REPLACE),
        ({"looks": frozenset({BlindLook.STEM_LOOSE})}, 1, Action.ASK_INSPECTOR),
    ],
)
def test_blind_rivet_is_left_measured_or_replaced(
    seen: dict[str, Any], removed: int, action: Action
) -> None:
    """As its worst remark asks; a second removal in the hole goes to the inspector."""
    remarks = judge_blind(BlindHead(**seen), CODE, 0.090 * IN)
    decision = decide_blind(remarks, History(removed))
    assert decision.action is action
    assert decision.reasons

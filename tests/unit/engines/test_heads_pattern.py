"""What many heads show together."""

from __future__ import annotations

from math import comb

import pytest

from rivetwright.engines.heads.entry import Look
from rivetwright.engines.heads.pattern import (
    Seen,
    drift_of,
    groups,
    pattern_suspects,
    step_of,
)
from rivetwright.engines.heads.suspect import Cause
from tests.unit.engines.heads_made import IN, seen

SHIMS_MM = (IN / 16, IN / 32, IN / 64)


def run(*heights_in: float, **more: object) -> list[Seen]:
    """Heads of one set-up with these heights [in], named 1, 2, 3."""
    return [
        seen(f"{k}", one, set_up="Y1", **more)
        for k, one in enumerate(heights_in, start=1)
    ]


def firsts(heads: list[Seen], shims_mm: tuple[float, ...] = ()) -> list[Cause]:
    """Causes in their order."""
    return [one.cause for one in pattern_suspects(heads, shims_mm)]


def test_good_heads_have_no_pattern() -> None:
    """Twelve heads within a thousandth: nothing is suspected."""
    heights = [0.060 + (-1) ** k * 0.0005 for k in range(12)]
    assert firsts(run(*heights)) == []


def test_one_set_up_that_is_off_is_named() -> None:
    """Four of four off in one, none of eight elsewhere: 1 in C(12, 4) = 495 by luck."""
    bad = [seen(f"b{k}", 0.075, set_up="Y1", width_in=0.176) for k in range(4)]
    good = [seen(f"g{k}", set_up="Y2") for k in range(8)]
    (first, *_) = groups([*bad, *good])
    assert (first.kind, first.name, first.off, first.other_off) == (
        "set-up",
        "Y1",
        4,
        0,
    )
    assert first.luck == pytest.approx(1 / comb(12, 4))
    assert firsts([*bad, *good])[0] is Cause.SET_UP


@pytest.mark.parametrize(
    ("kind", "cause"), [("session", Cause.SESSION), ("people", Cause.PERSON)]
)
def test_one_session_or_person_that_is_off_is_named(kind: str, cause: Cause) -> None:
    """The same by session and by who set them."""
    bad = [seen(f"b{k}", 0.075, width_in=0.176, **{kind: "one"}) for k in range(4)]
    good = [seen(f"g{k}", **{kind: "two"}) for k in range(8)]
    assert firsts([*bad, *good])[0] is cause


def test_a_tin_of_another_length_is_known_by_its_metal() -> None:
    """-3 for -3.5: 1.1962 - .25 = .946; .160 x .0725 holds .9503, under .163 wide."""
    bad = [seen(f"b{k}", 0.0725, width_in=0.160, tin="left") for k in range(4)]
    good = [seen(f"g{k}", tin="right") for k in range(8)]
    first = pattern_suspects([*bad, *good])[0]
    assert first.cause is Cause.WRONG_TIN
    assert first.speaks_for[1].figures["length_16ths"] == 3.0


def test_heads_that_lean_in_one_row_tell_of_its_holes() -> None:
    """Three lean in one row and none elsewhere; by one person it is the tool."""
    lean = {"lean_deg": 8.0}
    good = [seen(f"g{k}", row="A2", people="me") for k in range(6)]
    in_row = [seen(f"b{k}", row="A1", people="me", **lean) for k in range(3)]
    assert firsts([*in_row, *good])[0] is Cause.HOLE_NOT_SQUARE
    by_one = [seen(f"b{k}", row="A2", people="you", **lean) for k in range(3)]
    assert firsts([*by_one, *good])[0] is Cause.TOOL_TILTED


def test_a_step_up_of_a_shim_is_a_shim_lost() -> None:
    """Five at .058, then five .0135 higher: a 1/64 shim, .0156, less spring."""
    heads = run(*[0.058] * 5, *[0.0715] * 5)
    step = step_of(heads)
    assert step is not None
    assert (step.before, step.is_clear) == ("6", True)
    assert step.by_mm == pytest.approx(0.0135 * IN)
    first = pattern_suspects(heads, SHIMS_MM)[0]
    assert first.cause is Cause.SHIM_LOST
    assert first.speaks_for[1].figures["shim_mm"] == pytest.approx(IN / 64)
    assert first.test == "count-the-shims"


def test_a_step_up_of_no_shim_speaks_against_it() -> None:
    """.005 higher is less than half a 1/64 in shim, and less than its scatter."""
    heads = run(*[0.058] * 8, *[0.063] * 8)
    (first, *_) = [
        one
        for one in pattern_suspects(heads, (IN / 16,))
        if one.cause is Cause.SHIM_LOST
    ]
    assert [one.key for one in first.speaks_against] == ["no shim of that step"]


def test_a_step_down_is_a_chip_or_a_die_not_home() -> None:
    """.012 lower at once: something got under a die."""
    found = firsts(run(*[0.066] * 5, *[0.054] * 5))
    assert found[:2] == [Cause.DIE_NOT_SEATED, Cause.CHIP_UNDER_DIE]


def test_heads_that_creep_tell_of_the_regulator() -> None:
    """A thousandth a head, up or down, over ten heads."""
    up = run(*[0.055 + 0.001 * k for k in range(10)])
    drift = drift_of(up)
    assert drift is not None
    assert drift.over_mm == pytest.approx(0.009 * IN)
    assert drift.luck < 0.001
    assert Cause.REGULATOR_CREEPS in firsts(up)
    assert Cause.DIE_WORN in firsts(up)
    down = run(*[0.064 - 0.001 * k for k in range(10)])
    assert Cause.REGULATOR_CREEPS in firsts(down)
    assert Cause.DIE_WORN not in firsts(down)


def test_a_step_is_not_also_a_drift() -> None:
    """Level before and level after: the ranks rise, yet nothing creeps."""
    assert Cause.REGULATOR_CREEPS not in firsts(run(*[0.056] * 6, *[0.068] * 6))


def test_the_same_mark_on_most_heads_is_a_chip_on_the_die() -> None:
    """Four of five heads marked."""
    marked = [seen(f"{k}", 0.060, Look.SHALLOW_MARK, set_up="Y1") for k in range(4)]
    assert firsts([*marked, seen("5", set_up="Y1")]) == [Cause.CHIP_ON_DIE]


def test_most_heads_off_centre_are_a_loose_pin() -> None:
    """Four of five heads .3 mm off centre."""
    beside = [seen(f"{k}", offset_mm=0.3, set_up="Y1") for k in range(4)]
    assert firsts([*beside, seen("5", set_up="Y1")])[0] is Cause.LOOSE_PIN


def test_heights_that_scatter_speak_of_pin_and_foot() -> None:
    """.050 and .070 in turn: .010 about the middle, over twice the usual .0025."""
    found = firsts(run(*[0.050, 0.070] * 4))
    assert found == [Cause.LOOSE_PIN, Cause.RELEASED_EARLY]


def test_high_heads_after_short_pauses_starve() -> None:
    """Three high ones after 5 s; five after 60 s are right: 1 in C(8, 3) by luck."""
    high = [seen(f"h{k}", 0.075, width_in=0.176, pause_s=5.0) for k in range(3)]
    right = [seen(f"r{k}", pause_s=60.0) for k in range(5)]
    assert firsts([*high, *right])[0] is Cause.AIR_STARVES


def test_high_heads_whatever_the_pause_are_the_foot() -> None:
    """High after long pauses, right after short ones: not the air."""
    high = [seen(f"h{k}", 0.075, width_in=0.176, pause_s=60.0) for k in range(3)]
    right = [seen(f"r{k}", pause_s=5.0) for k in range(5)]
    found = pattern_suspects([*high, *right])
    assert Cause.RELEASED_EARLY in {one.cause for one in found}
    assert Cause.AIR_STARVES not in {one.cause for one in found}


def test_few_heads_say_nothing() -> None:
    """Five heads are too few for a step or a drift; one is no group."""
    five = run(0.052, 0.055, 0.060, 0.064, 0.069)
    assert step_of(five) is None
    assert drift_of(five) is None
    assert groups(run(0.075)) == ()


def test_two_marked_heads_are_no_pattern() -> None:
    """One mark on two heads of a set-up may be an accident."""
    assert firsts([seen(f"{k}", 0.06, Look.TOOL_MARK, set_up="Y1") for k in "12"]) == []


def test_doubtful_heads_are_left_out() -> None:
    """A head of .63 is asked about and counts nowhere."""
    assert firsts([*run(*[0.060] * 3), seen("x", 0.63)]) == []

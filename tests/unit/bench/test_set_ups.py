"""Set-ups of an assembly: which yoke, in which order, and the card of one."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from itertools import pairwise

import pytest

from rivetwright.bench.dimple_set_ups import dimple_card, dimple_lines
from rivetwright.bench.set_up_card import set_up_card, set_up_choices
from rivetwright.bench.set_up_result import set_ups_result
from rivetwright.bench.set_ups import (
    SetUpLine,
    StepSetUps,
    can_be_squeezed,
    line_of,
    step_set_ups,
    stop_codes,
)
from rivetwright.engines.plan import WorkedPlan, work_out
from rivetwright.engines.squeeze.set_up import Verdict
from rivetwright.errors import NotFound
from rivetwright.intake.plan_file import read_plan
from rivetwright.intake.shop_file import read_shop
from rivetwright.model.opening import Opening
from rivetwright.model.shop import Shop
from tests.conftest import ROOT

DEMO = ROOT / "examples" / "ostrel"
INCH = 25.4


@cache
def shop() -> Shop:
    """The demo's garage."""
    return read_shop(DEMO / "shop.yaml")


@cache
def plan(name: str = "aileron") -> WorkedPlan:
    """A demo assembly worked out with the garage."""
    return work_out(read_plan(DEMO / f"{name}.yaml"), shop=shop())


def steps(name: str = "aileron") -> dict[str, StepSetUps]:
    """The set-ups of every step by its name."""
    return {one.name: one for one in step_set_ups(plan(name), shop())}


def line(hole: str, name: str = "aileron") -> SetUpLine | None:
    """The line that holds a hole."""
    at = plan(name).worked.holes.index(hole)
    return line_of(step_set_ups(plan(name), shop()), at)


def first_holes(one: StepSetUps, name: str = "aileron") -> list[str]:
    """The first hole of each line of a step."""
    return [plan(name).worked.holes.name(x.hole) for x in one.lines]


def test_every_solid_rivet_stands_in_one_line() -> None:
    """Each hole with a solid rivet once, blind ones (A12) never."""
    found = [
        hole
        for step in steps().values()
        for one in (*step.lines, *step.without)
        for hole in one.holes
    ]
    worked = plan().worked
    solid = [k for k in range(len(worked.holes)) if worked.at("is_solid", k)]
    assert sorted(found) == solid


@pytest.mark.parametrize(
    ("hole", "yoke"), [("A1:1", "Y2"), ("A3:1", "Y1"), ("A19:7", "Y3"), ("A11:1", "Y1")]
)
def test_the_yoke_is_one_that_gets_there(hole: str, yoke: str) -> None:
    """The yokes of the demo's tool list: A1 Y2 alone, A3 and A11 the planned Y1."""
    found = line(hole)
    assert found is not None
    assert found.set_up is not None
    assert found.set_up.yoke.id == yoke


@pytest.mark.parametrize(
    ("step", "hole"), [("aileron-4", "A13:1"), ("aileron-5", "A23:1")]
)
def test_what_no_yoke_reaches_stands_apart(step: str, hole: str) -> None:
    """A13 is back-rivetted, A23 nothing reaches: neither has a set-up."""
    at = plan().worked.holes.index(hole)
    assert any(at in one.holes for one in steps()[step].without)
    assert line(hole) is None


def test_a_rivet_over_the_rating_has_no_set_up() -> None:
    """C5 is 5/32 and both squeezers are rated to 1/8."""
    at = plan("flap").worked.holes.index("C5:1")
    assert not can_be_squeezed(plan("flap"), at)
    assert can_be_squeezed(plan("flap"), plan("flap").worked.holes.index("C6:1"))


def test_within_a_step_what_changes_least_comes_next() -> None:
    """A5 follows A1, on the tool already; then Y1 with the pieces of A3 and A7."""
    one = steps()["aileron-3"]
    order = ["A1:1", "A5:1", "A3:1", "A7:1", "A9:1", "A10:1"]
    assert first_holes(one) == order
    assert [x.changes for x in one.lines] == [4, 0, 5, 0, 1, 0]


def test_every_line_knows_what_the_one_before_left() -> None:
    """The chain goes on over steps; the first finds a bare squeezer."""
    lines = [one for step in steps().values() for one in step.lines]
    assert lines[0].before is None
    for before, after in pairwise(lines):
        assert after.before == before.on_tool


def test_set_ups_of_an_unchanged_plan_are_found_once() -> None:
    """A mark makes a plan with another opening; its lines are the very same."""
    nothing_yet = replace(plan().worked.plan, opening=Opening())
    later = work_out(nothing_yet, shop=shop())
    assert later.worked.holes.is_set.sum() == 0
    assert step_set_ups(later, shop()) is step_set_ups(plan(), shop())


def test_another_shop_has_other_set_ups() -> None:
    """Without the deep yoke A1 cannot be squeezed."""
    tools = tuple(one for one in shop().tools if one.id != "Y2")
    small = replace(shop(), tools=tools)
    worked = work_out(plan().worked.plan, shop=small)
    at = worked.worked.holes.index("A1:1")
    assert line_of(step_set_ups(worked, small), at) is None


def test_without_reach_every_yoke_is_taken_to_get_there() -> None:
    """A plan worked out without its shop says nothing about reach."""
    worked = work_out(plan().worked.plan)
    found = step_set_ups(worked, shop())
    assert all(not step.without for step in found)


def test_stop_codes_leave_out_what_was_answered() -> None:
    """A11's callout stops until somebody answers for it, hole by hole."""
    holes = [plan().worked.holes.index(f"A11:{k}") for k in range(1, 37)]
    assert "LENGTH-01" in stop_codes(plan(), holes)
    stops = {(f.code, h) for f in plan().findings for h in f.holes}
    answered = replace(plan(), answered=frozenset(stops))
    assert stop_codes(answered, holes) == ()


# --- cards -------------------------------------------------------------------------


def test_a_card_is_the_line_s_own_set_up() -> None:
    """A5 plain: gap .270 in for .155 grip, .054 head and .061 shop head."""
    card = set_up_card(plan(), shop(), "A5:2")
    assert card.line is not None
    assert card.set_up is card.line.set_up
    assert card.set_up.gap_mm == pytest.approx(0.270 * INCH, abs=0.001)
    assert card.fit is not None
    assert card.fit.fit == "tight"


def test_a_card_tells_what_is_to_be_changed() -> None:
    """From A5 to A3: another yoke, the .010 shim out, .063 and .032 in."""
    card = set_up_card(plan(), shop(), "A3:1", now="A5:1")
    assert card.change is not None
    assert card.change.is_new_yoke
    assert card.change.shims_out_mm == (pytest.approx(0.010 * INCH),)
    assert sum(card.change.shims_in_mm) == pytest.approx(0.095 * INCH)


def test_a_bare_squeezer_takes_everything() -> None:
    """Asked for as bare, nothing is on the tool."""
    card = set_up_card(plan(), shop(), "A3:1", now="bare")
    assert card.now is None
    assert card.change is not None
    assert len(card.change.dies_in) == 2


def test_a_card_can_be_asked_for_another_yoke() -> None:
    """Y1 does not reach A5, and the card says so."""
    card = set_up_card(plan(), shop(), "A5:1", yoke="Y1")
    assert card.set_up.yoke.id == "Y1"
    assert card.fit is not None
    assert card.fit.fit == "no"


def test_a_hole_no_yoke_reaches_still_shows_a_card() -> None:
    """A13 is back-rivetted; who asks sees the set-up, and that it does not reach."""
    card = set_up_card(plan(), shop(), "A13:1")
    assert card.line is None
    assert card.fit is not None
    assert card.fit.fit == "no"


def test_choices_are_every_pair_rated_for_the_rivet() -> None:
    """1/8: Y1, Y2 and Y4 in two squeezers; the 3/32 yoke Y3 is left out."""
    at = plan().worked.holes.index("A5:1")
    pairs = [
        (c.set_up.squeezer.kind, c.set_up.yoke.id)
        for c in set_up_choices(plan(), shop(), at)
    ]
    yokes = ["Y1", "Y2", "Y4"]
    assert pairs == [(kind, y) for kind in ("pneumatic", "hand") for y in yokes]
    assert set_up_choices(plan(), None, at) == ()


def test_a_hole_that_stops_says_so_on_its_card() -> None:
    """The set-up of A11 is no leave to set it."""
    assert set_up_card(plan(), shop(), "A11:1").stops == ("LENGTH-01",)
    assert set_up_card(plan(), shop(), "A5:1").stops == ()


@pytest.mark.parametrize(
    ("name", "hole", "what"),
    [("aileron", "A12:1", "BD4-2"), ("flap", "C5:1", "MS20470AD5-7")],
)
def test_what_no_squeezer_takes_is_refused(name: str, hole: str, what: str) -> None:
    """A blind rivet, and one over the rating."""
    with pytest.raises(NotFound, match=what):
        set_up_card(plan(name), shop(), hole)


def test_a_folder_without_a_shop_is_told_what_to_write() -> None:
    """There is nothing to put in."""
    with pytest.raises(NotFound, match="no shop file"):
        set_up_card(plan(), None, "A5:1")


# --- dimples -----------------------------------------------------------------------


def test_every_dimple_stands_in_a_line() -> None:
    """Two thicknesses on the aileron, .020 and .025 in, each for 3/32."""
    lines = dimple_lines(plan(), shop())
    assert [one.parts for one in lines] == [
        ("502", "513", "510"),
        ("503", "501", "504", "505"),
    ]
    for one in lines:
        assert one.set_up is not None
        assert one.set_up.verdict is Verdict.IN_BAND


def test_a_dimple_card_takes_a_yoke_that_gets_there() -> None:
    """The skin's inner rows need 1.8 in and more: Y1 has 1.5, Y2 has 3.0."""
    card = dimple_card(plan(), shop(), "A13:1", "502")
    assert card.set_up.yoke.id == "Y2"
    assert card.fit is not None
    assert card.fit.gets_there
    asked = dimple_card(plan(), shop(), "A13:1", "502", yoke="Y1")
    assert asked.fit is not None
    assert not asked.fit.gets_there


def test_a_sheet_that_is_not_dimpled_is_refused() -> None:
    """A5's sheets are plain."""
    with pytest.raises(NotFound, match="nothing"):
        dimple_card(plan(), shop(), "A5:1", "501")


def test_a_pair_the_shop_has_not_is_refused() -> None:
    """Those it has are told."""
    with pytest.raises(NotFound, match="with Y1"):
        dimple_card(plan(), shop(), "A13:1", "502", yoke="Y9")


# --- JSON --------------------------------------------------------------------------


def test_json_holds_every_line_and_dimple() -> None:
    """As many as the list, each with its unit in the key."""
    made = set_ups_result(plan(), shop())
    count = sum(len(one.lines) + len(one.without) for one in steps().values())
    assert made["format"] == "rivetwright set-ups 1"
    assert len(made["set_ups"]) == count
    assert len(made["dimples"]) == 2
    first = made["set_ups"][0]["set_up"]
    assert first["gap_mm"] == pytest.approx(0.270 * INCH)
    assert first["put_in"]["shims_mm"] == [pytest.approx(0.254)]


def test_json_of_one_hole_has_its_line_alone() -> None:
    """A13 has no set-up: null."""
    at = plan().worked.holes.index("A13:1")
    made = set_ups_result(plan(), shop(), at)
    assert [one["set_up"] for one in made["set_ups"]] == [None]
    assert made["dimples"] == []


def test_json_says_null_for_what_is_not_known() -> None:
    """Only the yoke that was never measured: nothing is put in, no gap, no head."""
    tools = tuple(one for one in shop().tools if one.id == "Y4")
    alone = replace(shop(), tools=tools)
    worked = work_out(plan().worked.plan)
    one = set_ups_result(worked, alone)["set_ups"][0]["set_up"]
    assert one["verdict"] == "closed height not measured"
    assert one["put_in"] is None
    assert one["gap_mm"] is None
    assert one["head_height_mm"] is None

"""What to do about a head, and about the hole once its rivet is out."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import pytest

from rivetwright.engines.forming import squeeze_force_n
from rivetwright.engines.heads.again import Again, NotAgain, squeeze_again
from rivetwright.engines.heads.called import Called
from rivetwright.engines.heads.cause import suspects
from rivetwright.engines.heads.decide import (
    Action,
    Decision,
    History,
    decide,
    decide_hole,
)
from rivetwright.engines.heads.entry import Look
from rivetwright.engines.heads.next_gates import Gate, Gated, Row, next_size_gates
from rivetwright.engines.heads.volume import metal_of
from rivetwright.engines.worked import Worked
from rivetwright.model.plan import Part
from rivetwright.model.shop import Shop, Squeezer, Tool
from rivetwright.standards.source import Status
from rivetwright.standards.spread import Spread
from tests.unit.engines.heads_made import IN, called, head, judged
from tests.unit.engines.small import IN as INCH
from tests.unit.engines.small import box, plan_of, row, worked

SPRING = Spread(0.0, 1e-5, 2e-5)


def what(
    width_in: float | None,
    height_in: float | None,
    of: Called | None = None,
    history: History | None = None,
    **seen: Any,
) -> Decision:
    """The decision on a head."""
    verdict = judged(width_in, height_in, of, **seen)
    return decide(verdict, suspects(verdict), history or History())


def keys(decision: Decision) -> list[str]:
    """Keys of the reasons."""
    return [one.key for one in decision.reasons]


def test_a_legal_head_is_left() -> None:
    """Every removal wears the hole; the limits stand among the reasons."""
    decision = what(0.194, 0.060)
    assert decision.action is Action.LEAVE
    assert keys(decision) == ["leave", "by the limits"]


def test_a_doubtful_size_is_answered_first() -> None:
    """Nothing is decided on .63."""
    assert what(0.194, 0.63).action is Action.MEASURE
    assert keys(what(0.194, 0.63)) == ["answer the question"]


def test_a_missing_measure_is_taken_first() -> None:
    """A head without its height, and a mark without its depth."""
    assert what(0.194, None).action is Action.MEASURE
    assert what(0.194, 0.060, looks=(Look.TOOL_MARK,)).action is Action.MEASURE


def test_a_legal_head_of_another_length_is_asked_about() -> None:
    """.194 x .060 in a hole that calls for -5: legal, but the metal of -3.5."""
    decision = what(0.194, 0.060, called("MS20470AD4-5"))
    assert decision.action is Action.ASK_SUPPLIER
    assert keys(decision)[0] == "legal head of another length"


def test_more_shim_is_the_step_and_what_the_yoke_springs() -> None:
    """.176 x .076 to .060: .016 in a rigid yoke; the rise of force times the spring.

    Metal .176^2 x .076 / .125^3 = 1.2053.
    """
    found = head(0.176, 0.076)
    again = squeeze_again(found, called(), metal_of(found, called()), SPRING)
    assert isinstance(again, Again)
    metal = 0.176**2 * 0.076 / 0.125**3
    before, after = (
        float(squeeze_force_n(0.125 * IN, high * IN, metal)) for high in (0.076, 0.060)
    )
    assert again.shim_more_mm.low == pytest.approx(0.016 * IN)
    more_mm = (after - before) * 1e-5
    assert again.shim_more_mm.central == pytest.approx(0.016 * IN + more_mm)
    assert again.shim_more_mm.high == pytest.approx(0.016 * IN + 2 * more_mm)
    assert again.force_n == pytest.approx(after)


def test_an_unknown_alloy_adds_no_spring() -> None:
    """Where no force is known the step alone is told, and the force is not."""
    unknown = replace(called(), factor=math.nan)
    found = head(0.176, 0.076)
    again = squeeze_again(found, unknown, metal_of(found, unknown), SPRING)
    assert isinstance(again, Again)
    assert again.shim_more_mm.low == again.shim_more_mm.high
    assert math.isnan(again.force_n)


def test_a_decision_shows_the_weakest_it_rests_on() -> None:
    """1/8 limits are second-hand and leaving is judged; 5/32 limits are remembered."""
    assert what(0.194, 0.060).status is Status.JUDGEMENT
    larger = what(0.275, 0.076, called("MS20470AD5-5"))
    assert larger.action is Action.LEAVE
    assert larger.status is Status.FROM_MEMORY


def test_a_narrow_head_is_squeezed_until_it_is_wide_enough() -> None:
    """.158 x .062 holds .7924; .163 and .002 more want .7924 x .125^3 / .165^2 = .0568.

    It is the metal of a -2.5 in .064 (1.1962 - .5 = .696), so a -2.5 is called for.
    """
    short = called("MS20470AD4-2.5")
    found = head(0.158, 0.062)
    again = squeeze_again(found, short, metal_of(found, short))
    assert isinstance(again, Again)
    assert again.target_mm == pytest.approx(0.0568 * IN, abs=0.0001 * IN)
    assert again.width_mm == pytest.approx(0.165 * IN)
    assert what(0.158, 0.062, short).action is Action.SQUEEZE_AGAIN


def test_too_little_metal_cannot_be_squeezed_legal() -> None:
    """.150 x .055 holds .6336: .165 wide would be .0455 high, under .050."""
    short = called("MS20470AD4-2.5")
    found = head(0.150, 0.055)
    again = squeeze_again(found, short, metal_of(found, short))
    assert isinstance(again, NotAgain)
    assert again.key == "too little metal"
    assert again.found_mm == pytest.approx(0.0455 * IN, abs=0.0001 * IN)
    decision = what(0.150, 0.055, short)
    assert decision.action is Action.REPLACE
    assert keys(decision)[0] == "not again"


@pytest.mark.parametrize(
    ("of", "seen", "key"),
    [
        ("MS20470D4-3.5", {}, "heat-treated rivet"),
        ("MS20470AD4-3.5", {"looks": (Look.CRACKED,)}, "out of shape or damaged"),
        ("MS20470AD4-3.5", {"lean_deg": 1.0}, "out of shape or damaged"),
    ],
)
def test_some_heads_are_not_squeezed_again(
    of: str, seen: dict[str, Any], key: str
) -> None:
    """2017 goes hard; a cracked or leaning head only gets worse."""
    found, rivet = head(0.176, 0.076, **seen), called(of)
    again = squeeze_again(found, rivet, metal_of(found, rivet))
    assert isinstance(again, NotAgain)
    assert again.key == key


def test_an_unmeasured_or_unlimited_head_is_not_squeezed_again() -> None:
    """Without a width, and where the set prints nothing for 3/32."""
    found = head(None, 0.076)
    no_width = squeeze_again(found, called(), metal_of(found, called()))
    assert no_width == NotAgain("not measured")
    small = called("MS20470AD3-3", limit_set="wartime handbook")
    found = head(0.140, 0.060)
    no_limits = squeeze_again(found, small, metal_of(found, small))
    assert no_limits == NotAgain("no limits for this size")


def test_a_low_head_is_not_squeezed_again() -> None:
    """A head at .060 and one below have nothing to gain."""
    found = head(0.194, 0.060)
    again = squeeze_again(found, called(), metal_of(found, called()))
    assert isinstance(again, NotAgain)
    assert again.key == "nothing to gain"


def test_a_set_with_a_greatest_width_bounds_the_second_squeeze() -> None:
    """Canadian note, .210 at most: squeezed to .060 it would be too wide.

    .190 x .085 holds 1.5710, at the .060 aimed at .125 x sqrt(1.571 x .125/.060) =
    .2262.
    """
    longer = called("MS20470AD4-4", limit_set="Canadian course note")
    found = head(0.190, 0.085)
    again = squeeze_again(found, longer, metal_of(found, longer))
    assert isinstance(again, NotAgain)
    assert again.key == "would be too wide"


def test_a_heat_treated_high_head_comes_out() -> None:
    """2017: not squeezed again, with the rule named."""
    decision = what(0.176, 0.076, called("MS20470D4-3.5"))
    assert decision.action is Action.REPLACE
    assert "heat-treated" in keys(decision)


def test_only_wide_is_asked_about_and_may_be_left() -> None:
    """Canadian note: .215 x .050 is over .210 wide and inside .040 to .080."""
    wide = called(limit_set="Canadian course note")
    decision = what(0.215, 0.050, wide)
    assert decision.action is Action.ASK_SUPPLIER
    assert decision.alternatives == (Action.LEAVE,)


def test_a_gap_is_never_hit_again() -> None:
    """.003 over half the rim: out, and not closed with the tool."""
    gap = {"gap_mm": 0.003 * IN, "gap_share": 0.5}
    decision = what(0.194, 0.060, looks=(Look.GAP_HEAD,), **gap)
    assert decision.action is Action.REPLACE
    assert "gap under the head" in keys(decision)


def test_limits_that_print_nothing_are_asked_about() -> None:
    """The wartime handbook has no 3/32."""
    small = called("MS20470AD3-3", limit_set="wartime handbook")
    decision = what(0.154, 0.045, small)
    assert decision.action is Action.ASK_SUPPLIER
    assert "no limits to judge by" in keys(decision)


@pytest.mark.parametrize(
    ("history", "key"),
    [
        (History(removed_count=1), "second removal"),
        (History(adjacent_off=2), "several adjacent"),
        (History(carries=True), "joint that carries"),
    ],
)
def test_some_things_go_to_the_inspector(history: History, key: str) -> None:
    """A too low head comes out, unless one should not settle it alone."""
    assert what(0.230, 0.045).action is Action.REPLACE
    decision = what(0.230, 0.045, history=history)
    assert decision.action is Action.ASK_INSPECTOR
    assert decision.alternatives[0] is Action.REPLACE
    assert keys(decision)[0] == key


def test_a_legal_head_goes_to_nobody() -> None:
    """Whatever happened beside it, a head inside its limits stays."""
    history = History(removed_count=2, adjacent_off=5, carries=True)
    assert what(0.194, 0.060, history=history).action is Action.LEAVE


def test_a_head_squeezed_again_before_is_looked_at_for_cracks() -> None:
    """A second time is possible, and said."""
    decision = what(0.176, 0.076, history=History(squeezed_count=1))
    assert decision.action is Action.SQUEEZE_AGAIN
    assert "squeezed again before" in keys(decision)


# --- the hole once its rivet is out ---------------------------------------------------

OPEN = tuple(Gated(gate, True, 1, 1) for gate in Gate)


def gates(**other: bool | None) -> tuple[Gated, ...]:
    """Everything holds but what is named."""
    return tuple(
        replace(one, holds=other.get(one.gate.name, one.holds)) for one in OPEN
    )


def of_hole(hole_in: float, *, is_flush: bool = False, **other: Any) -> Decision:
    """What goes into a 1/8 hole of at most .1315 in."""
    history = other.pop("history", History())
    return decide_hole(
        hole_in * IN, 0.1315 * IN, gates(**other), is_flush=is_flush, history=history
    )


def test_a_hole_still_in_size_takes_the_same_rivet() -> None:
    """.1315 is still in size, .132 is not."""
    assert of_hole(0.1315).action is Action.REPLACE
    assert of_hole(0.132).action is Action.NEXT_SIZE


def test_the_next_size_waits_for_the_supplier() -> None:
    """All needs hold: the next size, after the supplier's yes."""
    decision = of_hole(0.135)
    assert decision.asks_first is Action.ASK_SUPPLIER
    assert decision.blocks == ()


@pytest.mark.parametrize("gate", Gate)
def test_the_next_size_is_blocked_by_each_need(gate: Gate) -> None:
    """Whichever does not hold: the supplier is asked, and it is named."""
    decision = of_hole(0.135, **{gate.name: False})
    assert decision.action is Action.ASK_SUPPLIER
    assert [one.gate for one in decision.blocks] == [gate]
    assert "next size is blocked" in keys(decision)


def test_an_unknown_need_is_not_taken_for_held() -> None:
    """Nobody counted the stock: the supplier is asked, and it is named."""
    decision = of_hole(0.135, STOCK=None)
    assert decision.action is Action.ASK_SUPPLIER
    assert [one.gate for one in decision.unknown] == [Gate.STOCK]


def test_a_flush_hole_asks_for_an_oversize_shank_first() -> None:
    """The dimple stays: the same head with a larger shank, after the supplier's yes.

    A quota counts such a rivet too, so with the quota used up the supplier decides.
    """
    decision = of_hole(0.135, is_flush=True, EDGE=False)
    assert decision.action is Action.OVERSIZE_SHANK
    assert decision.asks_first is Action.ASK_SUPPLIER
    assert Action.NEXT_SIZE not in decision.alternatives
    assert Action.NEXT_SIZE in of_hole(0.135, is_flush=True).alternatives
    full = of_hole(0.135, is_flush=True, QUOTA=False)
    assert full.action is Action.ASK_SUPPLIER


def test_a_hole_that_lost_two_rivets_goes_to_the_inspector() -> None:
    """A third rivet goes in only after somebody has seen the hole."""
    twice = of_hole(0.130, history=History(removed_count=2))
    assert twice.action is Action.ASK_INSPECTOR
    carries = of_hole(0.135, history=History(carries=True))
    assert carries.action is Action.ASK_INSPECTOR
    assert carries.asks_first is Action.ASK_SUPPLIER


# --- what the next size needs ---------------------------------------------------------


def plan_with(edge_in: float, *, shop: Shop | None = None, code: str = "") -> Worked:
    """Two 1/8 holes an inch apart, so far from an edge, through two sheets of .040."""
    at = [(1 * INCH, edge_in * INCH), (2 * INCH, edge_in * INCH)]
    parts = [Part(name, "sheet", 0.040 * INCH) for name in ("P", "Q")]
    outline = {"u": (0, 5 * INCH), "v": (0, 4 * INCH)}
    layers = [box("P", **outline), box("Q", **outline)]
    rows = row("R", code or "MS20470AD4-4", *at)
    if shop is None:
        return worked(rows, layers=layers, parts=parts).worked
    return Worked(plan_of(rows, layers=layers, parts=parts), shop)


def held(of: Worked, beside: Row | None = None, **more: Any) -> dict[Gate, bool | None]:
    """Which needs of the next size hold at the first hole."""
    found = next_size_gates(of, 0, beside or Row(20), **more)
    return {one.gate: one.holds for one in found}


def test_the_next_size_needs_its_own_edge_distance() -> None:
    """5/32 wants 2 x .15625 = .3125: .3125 is enough, .31 is not; pitch is an inch."""
    assert held(plan_with(0.3125))[Gate.EDGE] is True
    blocked = held(plan_with(0.31))
    assert blocked[Gate.EDGE] is False
    assert blocked[Gate.PITCH] is True


def test_the_next_size_needs_stock_and_quota() -> None:
    """.080 + 1.5 x 5/32 = .314, so a -5; a pattern of 20 bears 4, 2 adjacent."""
    plan = plan_with(1)
    assert held(plan)[Gate.STOCK] is None
    assert held(plan, stock={"MS20470AD5-5": 1})[Gate.STOCK] is True
    assert held(plan, stock={"MS20470AD4-4": 9})[Gate.STOCK] is False
    assert held(plan, Row(20, 3, 1))[Gate.QUOTA] is True
    assert held(plan, Row(20, 4, 1))[Gate.QUOTA] is False
    assert held(plan, Row(20, 2, 2))[Gate.ADJACENT] is False


def test_the_next_size_needs_a_tool_that_takes_it() -> None:
    """A yoke takes 5/32 where its squeezer does; without a shop it is not known."""
    yoke = Tool("Y1", "yoke", reach_mm=100.0)

    def shop(most: int) -> Shop:
        squeezers = (Squeezer("squeezer", diameter_32nds_max=most),)
        return Shop("s", "shop", "in", tools=(yoke,), squeezers=squeezers)

    assert held(plan_with(1, shop=shop(5)))[Gate.TOOL] is True
    assert held(plan_with(1, shop=shop(4)))[Gate.TOOL] is False
    assert held(plan_with(1))[Gate.TOOL] is None


def test_a_size_that_is_not_made_has_no_length() -> None:
    """Above 3/8 in nothing larger is made: no length, no stock to look for."""
    found = held(plan_with(1, code="MS20470AD12-16"))
    assert found[Gate.LENGTH] is False
    assert found[Gate.STOCK] is None

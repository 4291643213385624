"""The gun and bar card: what to take, what to set, what to say."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from rivetwright.engines.air_supply import work_out_air
from rivetwright.engines.gun import BACK_RIVET, GUN_AND_BAR, gun_air, gun_card
from rivetwright.errors import OutsideTable
from rivetwright.model.shop import GunSet, RivetGun, Shop, Tool
from rivetwright.standards.source import Status
from tests.unit.engines.air_shops import USUAL_LINE, hose, regulator, shop

LB = 0.45359237
PSI = 6.894757293168361


def bar(name: str, pounds: float | None, **more: object) -> Tool:
    """A bar of some weight."""
    kg = None if pounds is None else pounds * LB
    return replace(Tool(name, "bar", mass_kg=kg), **more)  # type: ignore[arg-type]


SHOP = Shop(
    "s",
    "Shop",
    "in",
    tools=(
        bar("heavy", 6),
        bar("light", 1),
        bar("right", 3.5),
        bar("unknown", None),
        bar("coming", 3.5, state="on order"),
        bar("small", 3.5, diameter_32nds_max=3),
        Tool("plate", "back-rivet", diameter_32nds_max=4),
    ),
    guns=(RivetGun("large", 6), RivetGun("small", 4)),
    gun_sets=(
        GunSet("cup", 3),
        GunSet("cup", 4),
        GunSet("flush"),
        GunSet("back-rivet"),
    ),
)


def test_a_universal_rivet_takes_its_own_cup_and_the_smallest_gun() -> None:
    """1/8: the cup for 1/8, and the gun rated for it rather than a larger one."""
    card = gun_card(SHOP, 4, is_flush=False)
    assert card.gun_set == GunSet("cup", 4)
    assert card.gun == RivetGun("small", 4)
    assert card.lacks == ()
    assert gun_card(SHOP, 5, is_flush=False).gun == RivetGun("large", 6)


def test_a_flush_rivet_takes_the_flush_set() -> None:
    """One set for every size."""
    assert gun_card(SHOP, 3, is_flush=True).gun_set == GunSet("flush")


def test_bars_are_ranked_owned_first_and_by_mass() -> None:
    """For 1/8 the usual bar has 3 to 4 lb; one for 3/32 only is not offered."""
    bars = gun_card(SHOP, 4, is_flush=False).bars
    told = [(one.tool.id, one.fit) for one in bars]
    assert told[:2] == [("right", "right"), ("unknown", "not weighed")]
    assert set(told[2:4]) == {("heavy", "heavy"), ("light", "light")}
    assert told[4:] == [("coming", "right")]


@pytest.mark.parametrize(("size", "psi"), [(3, 35), (4, 40), (5, 60)])
def test_starting_pressure_is_the_printed_one(size: int, psi: float) -> None:
    """35, 40, 60 psi of the training manual's Table 4-1."""
    start = gun_card(SHOP, size, is_flush=True).figures["start_kpa"]
    assert start.central == pytest.approx(psi * PSI)
    assert start.status is Status.READ


def test_two_new_people_start_lower() -> None:
    """0.6 to 0.8 of 40 psi."""
    learner = gun_card(SHOP, 4, is_flush=False).figures["learner_kpa"].value
    assert learner.low == pytest.approx(24 * PSI)
    assert learner.high == pytest.approx(32 * PSI)


def test_a_card_is_as_weak_as_its_weakest_figure() -> None:
    """The bar's mass is FROM MEMORY."""
    assert gun_card(SHOP, 4, is_flush=False).status is Status.FROM_MEMORY


def test_two_people_have_words() -> None:
    """The bar speaks first, the gun answers, and either may stop."""
    card = gun_card(SHOP, 4, is_flush=False)
    said = [(one.value.who, one.value.key) for one in card.calls]
    assert said[:3] == [("bar", "ready"), ("gun", "go"), ("bar", "good")]
    assert ("either", "stop") in said
    assert card.is_for_two


def test_every_step_has_its_figures_and_source() -> None:
    """A step names figures that the card holds."""
    for way in (GUN_AND_BAR, BACK_RIVET):
        card = gun_card(SHOP, 3, is_flush=True, way=way)
        assert card.steps[0].value.key == "strip"
        for step in card.steps:
            assert set(step.value.figures) <= card.figures.keys()
            assert step.source.document


def test_back_riveting_needs_a_plate_and_more_air() -> None:
    """The plate stands for the bar; 0 to 15 psi above the gun's 35."""
    card = gun_card(SHOP, 3, is_flush=True, way=BACK_RIVET)
    assert [one.tool.id for one in card.bars] == ["plate"]
    assert card.gun_set == GunSet("back-rivet")
    start = card.figures["start_kpa"]
    assert start.value.low == pytest.approx(35 * PSI)
    assert start.value.high == pytest.approx(50 * PSI)
    assert not card.is_for_two
    assert card.lacks == ()


def test_what_the_shop_lacks_is_named() -> None:
    """An empty shop, and one whose only bar is on order."""
    bare = Shop("s", "Shop", "in")
    assert gun_card(bare, 4, is_flush=False).lacks == ("gun", "gun set", "bar")
    assert gun_card(bare, 4, is_flush=True, way=BACK_RIVET).lacks == (
        *("gun", "gun set", "plate"),
    )
    ordered = replace(SHOP, tools=(bar("coming", 3.5, state="on order"),))
    assert gun_card(ordered, 4, is_flush=False).lacks == ("bar",)


def test_a_size_that_is_not_printed_is_refused() -> None:
    """1/4 in is in none of the figures."""
    with pytest.raises(OutsideTable, match=r"start pressure.*8/32 in"):
        gun_card(SHOP, 8, is_flush=False)


def test_the_gauge_falls_when_the_trigger_is_pulled() -> None:
    """More through more hose; the pedal of the squeezer is not in the gun's way."""
    short, long = (
        gun_air(work_out_air(shop(regulator(600.0), hose(length))))["trigger_fall_kpa"]
        for length in (2_000.0, 10_000.0)
    )
    assert 0 < short.value.low < short.central < long.central
    pieces = [piece for piece in USUAL_LINE if piece.kind != "pedal"]
    without = gun_air(work_out_air(shop(*pieces)))["trigger_fall_kpa"]
    assert gun_air(work_out_air(shop()))["trigger_fall_kpa"].value == without.value


def test_a_tank_lasts_some_seconds_of_trigger() -> None:
    """19.733 l at 2, 4, 6 cfm (0.944, 1.888, 2.832 l/s): 20.9, 10.5, 7.0 s."""
    held = gun_air(work_out_air(shop()))["trigger_held_s"].value
    assert held.high == pytest.approx(20.9, abs=0.05)
    assert held.central == pytest.approx(10.45, abs=0.05)
    assert held.low == pytest.approx(6.97, abs=0.05)


def test_without_a_compressor_only_the_gun_s_air_is_known() -> None:
    """Nothing is guessed about the tank or the line."""
    found = gun_air(work_out_air(shop(compressor=None)))
    assert list(found) == ["gun_air_m3_s"]
    assert not math.isnan(found["gun_air_m3_s"].central)

"""From a set-up to a measured head, to what is learnt, and back into a set-up."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from rivetwright.engines.learning.measured import (
    Measured,
    die_set_at,
    measured_at,
    metal_of,
)
from rivetwright.engines.learning.offset import learn
from rivetwright.engines.plan import WorkedPlan
from rivetwright.engines.squeeze.heads import head_of_gap_mm
from rivetwright.engines.squeeze.set_up import SetUp
from rivetwright.engines.squeeze.set_ups import set_up_of
from rivetwright.engines.squeeze.taught import UNTAUGHT, Basis, DieSet, ShopTaught
from rivetwright.model.shop import Die, Shop, Squeezer, Tool
from tests.unit.engines.made_heads import IN, MIL
from tests.unit.engines.small import FLUSH, blind, through

SHEETS = ((0.040, "plain"), (0.025, "plain"), (0.090, "plain"))
CODE = "MS20470AD4-5.5"
AIR = Squeezer("air", "pneumatic", 13_345.0, 620.0, 0.5625 * IN, 4)
YOKE = Tool("Y", "yoke", reach_mm=3 * IN, closed_height_mm=0.760 * IN)
FLATS = tuple(Die("flat", length * IN) for length in (0.125, 0.250, 0.375))
SHIMS = tuple(0.001 * IN * t for t in (1, 2, 4, 8, 16, 32))
SHOP = Shop(
    "s",
    "s",
    "in",
    tools=(YOKE,),
    squeezers=(AIR,),
    dies=(*FLATS, Die("cup", 0.230 * IN, 4)),
    shims_mm=SHIMS,
)
OFFSET_MM, OPENS_MM_N = 5 * MIL, 1 / 50_000


def set_up(found: WorkedPlan, taught: ShopTaught = UNTAUGHT) -> SetUp:
    """The set-up of the one hole."""
    return set_up_of(found.worked, SHOP, 0, "Y", "air", taught=taught)


def made(found: WorkedPlan, gap_mm: float) -> Measured:
    """The head that the true tool makes with a gap, measured without scatter."""
    worked = found.worked
    one = measured_at(worked, 0, "air", "Y", gap_mm=gap_mm, height_mm=0.06 * IN)
    assert one is not None
    rigid, metal = np.array([one.rigid_mm]), metal_of([one])
    height = head_of_gap_mm(rigid, -OFFSET_MM, metal, OPENS_MM_N)
    return replace(one, height_mm=float(height[0]))


def test_the_rigid_height_is_what_the_gap_leaves() -> None:
    """0.270 less 0.155 of sheets and 0.054 of head is 0.061; measured 0.064: 3 more."""
    found = through(*SHEETS, code=CODE)
    gap, height = 0.270 * IN, 0.064 * IN
    one = measured_at(found.worked, 0, "air", "Y", gap_mm=gap, height_mm=height)
    assert one is not None
    assert one.dies == DieSet("air", "Y", 4, False, False)
    assert one.rigid_mm / IN == pytest.approx(0.061)
    assert one.lift_mm == pytest.approx(3 * MIL)
    assert one.shank_mm / IN == pytest.approx(0.125)


def test_a_dimple_under_the_shop_head_is_a_set_of_its_own() -> None:
    """Its stand-off is unsure, and that goes with the head."""
    sheets = ((0.032, "dimple"), (0.032, "dimple"))
    found = through(*sheets, code=FLUSH)
    dies = die_set_at(found.worked, 0, "air", "Y")
    assert dies == DieSet("air", "Y", 4, True, True)
    one = measured_at(
        found.worked, 0, "air", "Y", gap_mm=0.15 * IN, height_mm=0.055 * IN
    )
    assert one is not None
    assert one.unsure_mm > 5 * MIL


def test_nothing_is_learnt_of_a_blind_rivet() -> None:
    """It is pulled, not squeezed."""
    found = through((0.032, "plain"), code=blind("B-1", "0.020", "0.125"))
    assert die_set_at(found.worked, 0, "air", "Y") is None
    one = measured_at(found.worked, 0, "air", "Y", gap_mm=2.0, height_mm=1.5)
    assert one is None


def test_what_was_learnt_brings_heads_back_into_the_band() -> None:
    """By physics a gap of 0.276 should leave 0.067; 5 thousandths and the spring more.

    Those heads are over 0.070, the most there may be. After twelve of them the next
    set-up's head is inside, and what the engine foretells is what the fit does.
    """
    found = through(*SHEETS, code=CODE)
    before = set_up(found)
    heads = twelve(found, before)
    assert not before.band.has(heads[0].height_mm)
    learnt = learn(heads, [YOKE])
    after = set_up(found, learnt.taught())
    assert after.gap_mm is not None
    assert after.head_mm is not None
    now = made(found, after.gap_mm)
    assert after.band.has(now.height_mm)
    told = learnt.head(now)
    assert after.head_mm.central == pytest.approx(told.band_mm.central, abs=1e-6)
    assert told.band_mm.central == pytest.approx(now.height_mm, abs=1.2 * MIL)
    half = (told.band_mm.high - told.band_mm.low) / 2 / told.spread_mm
    head_half = half * told.head_spread_mm
    low, high = after.head_mm.low, after.head_mm.high
    assert high - low == pytest.approx(2 * head_half, rel=1e-6)


def test_a_set_up_says_what_it_rests_on() -> None:
    """Physics before a head; then twelve heads, of which none is a slip."""
    found = through(*SHEETS, code=CODE)
    before = set_up(found)
    assert before.taught.basis is Basis.PHYSICS
    assert before.offset_spread_mm == pytest.approx(8 * MIL)
    after = set_up(found, learn(twelve(found, before), [YOKE]).taught())
    assert after.taught.basis is Basis.HEADS
    assert (after.taught.heads_count, after.taught.slips_count) == (12, 0)
    assert after.head_mm is not None
    assert before.head_mm is not None
    assert after.head_mm.high - after.head_mm.low < 15 * MIL


def test_the_gap_wanted_has_the_band_of_the_heads() -> None:
    """The gap whose foretold head is the one aimed at; narrower than by physics."""
    found = through(*SHEETS, code=CODE)
    before = set_up(found)
    learnt = learn(twelve(found, before), [YOKE])
    after = set_up(found, learnt.taught())
    aimed = made(found, after.wanted_mm.central)
    told = learnt.head(aimed).band_mm
    assert told.central == pytest.approx(after.band.aim_mm, abs=1e-6)
    by_physics = before.wanted_mm.high - before.wanted_mm.low
    assert 0 < after.wanted_mm.high - after.wanted_mm.low < by_physics


def test_other_rivets_of_that_yoke_profit_from_its_spring() -> None:
    """A dimpled stack has dies of its own: offset by physics, the spring is learnt."""
    found = through(*SHEETS, code=CODE)
    taught = learn(twelve(found, set_up(found)), [YOKE]).taught()
    shop = replace(SHOP, dies=(*SHOP.dies, *FLATS))
    other = through((0.032, "dimple"), (0.032, "dimple"), code=FLUSH)
    one = set_up_of(other.worked, shop, 0, "Y", "air", taught=taught)
    assert one.taught.basis is Basis.YOKE
    assert one.spring == taught.springs["Y"]
    assert one.taught.offset_mm == 0


def test_nothing_is_taught_to_another_squeezer() -> None:
    """Its dies and its ram are others; only the yoke is the same."""
    found = through(*SHEETS, code=CODE)
    taught = learn(twelve(found, set_up(found)), [YOKE]).taught()
    shop = replace(SHOP, squeezers=(AIR, replace(AIR, title="second")))
    one = set_up_of(found.worked, shop, 0, "Y", "second", taught=taught)
    assert one.taught.basis is Basis.YOKE


def twelve(found: WorkedPlan, before: SetUp) -> list[Measured]:
    """A dozen heads of a set-up as the true tool makes them."""
    assert before.gap_mm is not None
    return [made(found, before.gap_mm)] * 12

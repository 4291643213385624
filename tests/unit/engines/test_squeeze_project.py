"""Dimples, the first rivet, and what a whole project needs of pieces."""

from __future__ import annotations

from dataclasses import replace

import pytest

from rivetwright.engines.squeeze.cover import cover
from rivetwright.engines.squeeze.dimpling import dimple_set_ups, dimples_of
from rivetwright.engines.squeeze.first_rivet import first_rivet, pedal_facts
from rivetwright.engines.squeeze.set_up import Verdict
from rivetwright.engines.squeeze.set_ups import set_up_of, set_ups
from rivetwright.engines.worked import Worked
from rivetwright.model.plan import Part
from rivetwright.model.shop import Die, Shop, Squeezer
from tests.unit.engines.small import IN, row, worked
from tests.unit.engines.test_squeeze_set_up import (
    AIR,
    BRACKET,
    CODE,
    CUP,
    DEEP,
    FLATS,
    LBF,
    PSI,
    THIN,
    set_up,
    shop,
)

MALE = Die("male", 0.400 * IN, 3)
FEMALE = Die("female", 0.353 * IN, 3)


def rivets(*asked: tuple[str, float, str]) -> Worked:
    """One hole for each code through one sheet [in] prepared so."""
    parts = [Part(f"{k}", "sheet", t * IN) for k, (_, t, _) in enumerate(asked)]
    rows = [
        row(f"R{k}", code, stack=[(f"{k}", how)])
        for k, (code, _, how) in enumerate(asked)
    ]
    return worked(*rows, parts=parts).worked


# --- dimples ----------------------------------------------------------------------


def dimpling_shop(*shims: float) -> Shop:
    """The deep yoke, made stiff, with a pair of dimple dies and shims [in]."""
    stiff = replace(DEEP, stiffness_n_mm=3e5 * LBF / IN)
    own = tuple(shim * IN for shim in shims)
    return shop(tools=(stiff,), dies=(*FLATS, MALE, FEMALE), shims_mm=own)


SKIN = rivets(("MS20426AD3-3", 0.025, "dimple"))


def test_every_size_and_sheet_is_dimpled_once() -> None:
    """Two 3/32 sheets of two thicknesses, one of them twice, and a plain one."""
    found = rivets(
        ("MS20426AD3-3", 0.025, "dimple"),
        ("MS20426AD3-4", 0.025, "dimple"),
        ("MS20426AD3-3", 0.020, "dimple"),
        ("MS20470AD3-3", 0.020, "plain"),
    )
    sizes = [(size, round(mm / IN, 3)) for size, mm in dimples_of(found)]
    assert sizes == [(3, 0.020), (3, 0.025)]


def test_dies_come_as_near_to_touching_as_they_can() -> None:
    """0.760 - 0.753 = 0.007; shim 0.010 leaves -0.003, shim 0.005 leaves 0.002."""
    (found,) = dimple_set_ups(SKIN, dimpling_shop(0.010, 0.005))
    assert found.verdict is Verdict.IN_BAND
    assert found.gap_mm is not None
    assert found.gap_mm / IN == pytest.approx(0.002)
    assert found.pieces is not None
    assert found.pieces.shims_mm == (0.005 * IN,)


def test_press_is_the_spring_and_at_most_what_is_given() -> None:
    """0.025 of sheet in 0.002 of gap: 0.023 x 3e5 = 6900 lbf, so all of 3000."""
    (found,) = dimple_set_ups(SKIN, dimpling_shop(0.005))
    assert found.press_n is not None
    assert found.press_n.central == pytest.approx(3000 * LBF)
    assert found.high_mm / IN == pytest.approx(0.025 - 3000 / 3e5)


def test_unknown_spring_may_press_less() -> None:
    """With a squeezer of no known force nothing is said of the press."""
    hand = Squeezer("hand", "hand")
    own = replace(dimpling_shop(0.005), squeezers=(hand,))
    (found,) = dimple_set_ups(SKIN, own)
    assert found.press_n is None
    soft = replace(dimpling_shop(0.005), tools=(replace(DEEP, stiffness_n_mm=1e4),))
    (pressed,) = dimple_set_ups(SKIN, soft, pressure_kpa=90 * PSI)
    assert pressed.press_n is not None
    assert pressed.press_n.central == pytest.approx(1e4 * 0.023 * IN)


def test_dimple_dies_too_short_ask_for_a_shim() -> None:
    """0.027 of gap with the dies of 0.733: a shim from 0.012 to 0.032."""
    own = dimpling_shop()
    dies = (replace(MALE, length_mm=0.380 * IN), FEMALE)
    (found,) = dimple_set_ups(SKIN, replace(own, dies=dies))
    assert found.verdict is Verdict.BAND_LOST
    assert found.buy is not None
    assert found.buy.low_mm / IN == pytest.approx(0.012)
    assert found.buy.best_mm / IN == pytest.approx(0.027)
    assert found.buy.high_mm / IN == pytest.approx(0.032)


def test_yokes_that_cannot_dimple_say_why() -> None:
    """A jaw that is the die, a yoke that was not measured, one rated for less."""
    bare = replace(DEEP, id="Y9", closed_height_mm=None)
    small = replace(DEEP, id="Y8", diameter_32nds_max=2)
    own = replace(dimpling_shop(), tools=(THIN, bare, small))
    verdicts = {one.yoke.id: one.verdict for one in dimple_set_ups(SKIN, own)}
    assert verdicts == {"Y3": Verdict.NO_DIE, "Y9": Verdict.NOT_MEASURED}


# --- the first rivet --------------------------------------------------------------


def test_first_rivet_is_squeezed_without_the_shim() -> None:
    """0.280 instead of 0.270: 0.010 wide, to be closed in with the 0.010 shim."""
    found = first_rivet(set_up(), shop())
    assert found is not None
    assert found.wide_gap_mm is not None
    assert found.wide_gap_mm / IN == pytest.approx(0.280)
    assert found.close_in is not None
    assert found.close_in.shims_in_mm == (0.010 * IN,)
    assert found.close_in.shims_out_mm == ()
    keys = [step.key for step in found.steps]
    assert keys == [
        "scrap",
        "first_wide",
        "hold",
        "measure_head",
        "close_in",
        "first_heads",
    ]
    wide = dict(found.steps[1].figures)
    assert wide["head_mm"] / IN == pytest.approx(0.071)


def test_first_rivet_by_the_pedal_where_nothing_is_wider() -> None:
    """The bare dies are the set-up itself: nothing owned stands 0.010 wider."""
    sheets = ((0.160, "plain"),)
    bare = set_up(*sheets, shims_mm=())
    assert bare.pieces is not None
    found = first_rivet(bare, shop(shims_mm=()))
    assert found is not None
    assert found.wide is None
    assert found.close_in is None
    assert "first_by_pedal" in [step.key for step in found.steps]


def test_first_rivet_takes_the_next_wider_gap_where_none_fits() -> None:
    """Only 0.032 to take out: 0.280 instead of 0.248, told as it is."""
    one = (0.032 * IN,)
    found = first_rivet(set_up((0.135, "plain"), shims_mm=one), shop(shims_mm=one))
    assert found is not None
    assert found.wide_gap_mm is not None
    assert found.wide_gap_mm / IN == pytest.approx(0.280)


def test_dimpled_stack_is_measured_on_scrap_first() -> None:
    """The stand-off is a step of its own, with what it may be."""
    sheets = ((0.025, "dimple"), (0.025, "dimple"))
    found = first_rivet(set_up(*sheets, code="MS20426AD3-3"), shop())
    assert found is not None
    assert found.steps[1].key == "measure_stand_off"
    assert found.steps[1].figures["low_mm"] < found.steps[1].figures["high_mm"]


def test_nothing_to_put_in_has_no_first_rivet() -> None:
    """Without a cup there is no procedure and no fact about the pedal."""
    bare = set_up(dies=FLATS)
    assert first_rivet(bare, shop(dies=FLATS)) is None
    assert pedal_facts(bare) == ()


def test_pedal_facts_tell_what_it_can_and_cannot() -> None:
    """Look, not press harder, met late, the gap decides, letting go early."""
    facts = {fact.key: fact.figures for fact in pedal_facts(set_up())}
    assert list(facts) == [
        "pedal_can_look",
        "pedal_cannot_press",
        "met_late",
        "gap_sets_height",
        "let_go_early",
    ]
    # 165 MPa on the shank of 1/8: 7.92 mm2 give 1306 N.
    assert facts["pedal_can_look"]["starts_n"] == pytest.approx(1306, abs=1)
    pressed = facts["pedal_cannot_press"]
    assert pressed["gives_n"] < pressed["gives_at_end_n"]
    hand = set_up(squeezers=(Squeezer("hand", "hand"),))
    assert [fact.key for fact in pedal_facts(hand)] == ["hand_feels"]
    bare = Squeezer("air", "pneumatic")
    keys = [fact.key for fact in pedal_facts(set_up(squeezers=(bare,)))]
    assert keys == ["pedal_can_look", "gap_sets_height", "let_go_early"]


# --- a whole project --------------------------------------------------------------

BRACKETS = rivets((CODE, 0.155, "plain"), ("MS20470AD4-4.5", 0.095, "plain"))


def test_project_needs_no_more_than_its_jobs_take() -> None:
    """0.155: cup, flat .250, shim .010; 0.095 wants 0.209: .063 + .010 there too.

    Four shims owned, two are needed; of three flats one.
    """
    found = cover([BRACKETS], shop())
    assert [yoke.id for yoke in found.yokes] == ["Y2"]
    assert found.dies == (FLATS[1], CUP)
    shims = [round(mm / IN, 3) for mm in found.shims_mm]
    assert shims == [0.010, 0.063]
    assert len(found.done) == 2
    assert not found.shims_to_buy
    assert not found.lost


def test_what_is_kept_sets_everything() -> None:
    """With the smallest set alone every set-up still holds its band."""
    kept = cover([BRACKETS], shop()).part_of(shop())
    every = set_ups(BRACKETS, kept)
    assert {one.verdict for one in every} == {Verdict.IN_BAND}


def test_one_shim_bought_serves_two_jobs() -> None:
    """Without shims 0.280 stands; 0.155 wants .001 to .021, 0.145 .011 to .031.

    Both have .011 to .021 in common.
    """
    plan = rivets((CODE, 0.155, "plain"), (CODE, 0.145, "plain"))
    found = cover([plan], shop(shims_mm=()))
    (shim,) = found.shims_to_buy
    assert shim.low_mm / IN == pytest.approx(0.011)
    assert shim.high_mm / IN == pytest.approx(0.021)
    assert shim.best_mm / IN == pytest.approx(0.016)
    assert len(shim.jobs) == 2


def test_die_that_is_lacking_is_named_with_its_length() -> None:
    """No cup: 0.760 - 0.125 - 0.279 to 0.259 of gap: 0.356 to 0.376 long."""
    found = cover([rivets((CODE, 0.155, "plain"))], shop(dies=FLATS))
    (die,) = found.dies_to_buy
    assert (die.kind, die.diameter_32nds, die.yoke) == ("cup", 4, "Y2")
    assert die.low_mm is not None
    assert die.high_mm is not None
    assert die.low_mm / IN == pytest.approx(0.356)
    assert die.high_mm / IN == pytest.approx(0.376)
    nothing = cover([rivets((CODE, 0.155, "plain"))], shop(dies=()))
    assert nothing.dies_to_buy[0].kind == "flat"
    assert nothing.dies_to_buy[0].low_mm is None


def test_thin_jaw_lacks_only_the_ram_die() -> None:
    """0.455 less gaps of 0.163 and 0.175 for 0.085 of sheet: 0.280 to 0.292."""
    plan = rivets(("MS20470AD3-3.5", 0.085, "plain"))
    (die,) = cover([plan], shop(tools=(THIN,), dies=FLATS)).dies_to_buy
    assert die.low_mm is not None
    assert die.high_mm is not None
    assert die.low_mm / IN == pytest.approx(0.280)
    assert die.high_mm / IN == pytest.approx(0.292)


def test_what_no_squeezer_has_the_force_for_is_lost() -> None:
    """A squeezer of 500 lbf sets no 1/8 rivet, whatever is bought."""
    weak = replace(AIR, force_n=500 * LBF)
    plan = rivets((CODE, 0.155, "plain"))
    assert len(cover([plan], shop(squeezers=(weak,))).lost) == 1
    assert len(cover([plan], shop(squeezers=(weak,), dies=FLATS)).lost) == 1
    unmeasured = replace(DEEP, closed_height_mm=None)
    assert len(cover([plan], shop(tools=(unmeasured,))).lost) == 1


def test_only_yokes_that_reach_count() -> None:
    """The hole that only the thin jaw reaches wants that yoke; one out of reach none.

    Two plans are one project.
    """
    near = rivets(("MS20470AD3-3.5", 0.085, "plain"))
    far = rivets((CODE, 0.155, "plain"))
    small_cup = Die("cup", 0.240 * IN, 3)
    own = shop(tools=(DEEP, THIN), dies=(*FLATS, CUP, small_cup))

    def reaching(plan: Worked, _: int) -> frozenset[str]:
        return frozenset({"Y3", "BB1"}) if plan is near else frozenset()

    found = cover([near, far], own, reaching=reaching)
    assert [yoke.id for yoke in found.yokes] == ["Y3"]
    assert [job.plan for job in found.done] == [0]


def test_set_up_of_the_demo_bracket_is_what_the_project_keeps() -> None:
    """The set-up of one hole is found in the smallest set too."""
    kept = cover([BRACKETS], shop()).part_of(shop())
    found = set_up_of(BRACKETS, kept, 0, "Y2", "air")
    again = set_up(*((sum(t for t, _ in BRACKET), "plain"),))
    assert found.pieces == again.pieces

"""A whole set-up: the worked example of the demo's brackets, and what else it tells.

Sizes in inches by hand: 0.155 of sheet, a universal head 0.054 high, a shop head of
0.060; cup 0.230 and flat 0.250 in a closed height of 0.760.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from rivetwright.engines.plan import work_out
from rivetwright.engines.squeeze.choosing import Rule
from rivetwright.engines.squeeze.set_up import SetUp, Verdict
from rivetwright.engines.squeeze.set_ups import set_up_of, set_ups
from rivetwright.engines.squeeze.stacking import OnTool, Pieces
from rivetwright.engines.squeeze.taught import Basis, DieSet, ShopTaught, Taught
from rivetwright.errors import NotFound
from rivetwright.model.plan import Access, Part
from rivetwright.model.shop import Die, Shop, Squeezer, Tool
from rivetwright.standards.source import Status
from rivetwright.units.force import KPA_PER_PSI, N_PER_LBF
from tests.unit.engines.small import (
    IN,
    UNIVERSAL,
    blind,
    plan_of,
    row,
    through,
    worked,
)

LBF, PSI = float(N_PER_LBF), float(KPA_PER_PSI)
BRACKET = ((0.040, "plain"), (0.025, "plain"), (0.090, "plain"))
CODE = "MS20470AD4-5.5"
FLATS = tuple(Die("flat", length * IN) for length in (0.125, 0.250, 0.375))
CUP = Die("cup", 0.230 * IN, 4)
AIR = Squeezer("air", "pneumatic", 3000 * LBF, 90 * PSI, 0.5625 * IN, 4, bore_mm=2 * IN)
DEEP = Tool("Y2", "yoke", reach_mm=3 * IN, closed_height_mm=0.760 * IN)
THIN = Tool("Y3", "yoke", closed_height_mm=0.455 * IN, has_fixed_die=True)


def shop(**more: Any) -> Shop:
    """The squeezer set-up stock of the demo with one deep yoke."""
    given: dict[str, Any] = {
        "tools": (DEEP,),
        "squeezers": (AIR,),
        "dies": (*FLATS, CUP),
        "shims_mm": tuple(t * IN for t in (0.010, 0.020, 0.032, 0.063)),
    }
    return Shop("s", "s", "in", **(given | more))


def set_up(
    *sheets: tuple[float, str], code: str = CODE, tool: Tool = DEEP, **more: Any
) -> SetUp:
    """The set-up of one rivet through sheets [in] in one yoke."""
    asked = {k: more.pop(k) for k in ("on_tool", "pressure_kpa", "taught") if k in more}
    squeezer = more.get("squeezers", (AIR,))[0]
    found = through(*(sheets or BRACKET), code=code)
    own = shop(tools=(tool,), **more)
    return set_up_of(found.worked, own, 0, tool.id, squeezer.title, **asked)


def inch(length_mm: float | None) -> float:
    """A length in inches."""
    assert length_mm is not None
    return length_mm / IN


def test_worked_example_of_the_brackets() -> None:
    """0.155 + 0.054 + 0.060 = 0.269; 0.760 - 0.480 - 0.010 = 0.270; head 0.061."""
    found = set_up()
    assert inch(found.wanted_mm.central) == pytest.approx(0.269)
    assert found.pieces == Pieces(FLATS[1], CUP, 0.0, (0.010 * IN,))
    assert inch(found.gap_mm) == pytest.approx(0.270)
    assert found.head_mm is not None
    assert inch(found.head_mm.central) == pytest.approx(0.061)
    assert found.verdict is Verdict.IN_BAND
    assert found.rule is Rule.THICKER_CLEAR
    assert found.status is Status.FROM_MEMORY


def test_unknown_spring_is_a_range_upward() -> None:
    """No stiffness given: nought in the middle, the most only makes the head thicker.

    Downward only the 0.010 by which a universal head may be taller counts.
    """
    head = set_up().head_mm
    assert head is not None
    assert inch(head.low) == pytest.approx(0.051)
    assert head.high > head.central + 0.1


def test_known_spring_narrows_the_gap() -> None:
    """52540 N/mm (3e5 lbf/in) sprung by the force at the aim: F / k less of gap.

    The gap wanted is 0.269 less that, and closing the loop gives the head back.
    """
    stiff = replace(DEEP, stiffness_n_mm=52_540.0)
    found = set_up(tool=stiff)
    sprung = 0.269 - inch(found.wanted_mm.central)
    assert 0.006 < sprung < 0.012
    assert found.head_mm is not None
    assert found.gap_mm is not None
    assert found.force.needed_n is not None
    head = found.head_mm.central
    again = (
        found.grip_mm + found.seat_mm + head - found.force.needed_n.central / 52_540.0
    )
    assert again == pytest.approx(found.gap_mm, abs=1e-6)


def test_offset_learned_from_heads_moves_the_gap() -> None:
    """Heads that come out 0.010 thicker than reckoned want 0.010 less gap."""
    dies = DieSet("air", "Y2", 4, False)
    taught = ShopTaught({dies: Taught(0.010 * IN, Basis.HEADS, 5)})
    found = set_up(taught=taught)
    assert inch(found.wanted_mm.central) == pytest.approx(0.259)


def test_force_pressure_and_least_pressure() -> None:
    """Force over 3000 lbf times 90 psi; 2117 from 0.90 to 1.12 of its usual force."""
    found = set_up()
    force, least = found.force.needed_n, found.force.least_pressure_kpa
    assert force is not None
    assert least is not None
    assert force.low == pytest.approx(0.90 * force.central)
    assert force.high == pytest.approx(1.12 * force.central)
    psi = force.central / (3000 * LBF) * 90
    assert least.central == pytest.approx(psi * PSI)
    assert found.force.available_n == pytest.approx(3000 * LBF)
    assert found.force.stall is not None
    assert not found.force.stall.is_stalled


def test_alloy_without_a_factor_gives_no_force() -> None:
    """Monel has no factor against 2117: gap and head are told, no force is."""
    found = set_up(code="MS20470M4-5.5")
    assert found.force.needed_n is None
    assert found.force.stall is None
    assert found.head_mm is not None
    assert inch(found.head_mm.central) > 0.06


def test_low_pressure_stalls_and_leaves_the_head_thick() -> None:
    """At 40 of 90 psi 1333 lbf are given where over 2000 are needed."""
    found = set_up(pressure_kpa=40 * PSI)
    assert found.verdict is Verdict.STALLS
    assert found.force.stall is not None
    assert found.force.stall.left_mm > 0
    assert found.head_mm is not None
    assert inch(found.head_mm.central) > 0.070
    assert found.force.available_n == pytest.approx(3000 * LBF * 40 / 90)


def test_ram_meets_the_rivet_late_in_its_stroke() -> None:
    """Rivet end to end 0.34375 + 0.054 against a gap of 0.270: 0.12775 left."""
    met = set_up().met
    assert met is not None
    assert met.into_mm is not None
    assert inch(met.left_mm) == pytest.approx(0.12775)
    assert inch(met.into_mm) == pytest.approx(0.5625 - 0.12775)
    # Twice the 1/16 at which a toggle gives all: about 1 / sqrt(2) of it.
    assert met.gives_n is not None
    assert met.gives_at_end_n is not None
    share = (0.0625 / 0.12775) ** 0.5
    assert met.gives_n == pytest.approx(share * met.gives_at_end_n)


def test_flush_rivet_takes_flat_dies_and_no_seat() -> None:
    """Two flat dies; the sheet under the shop head is plain, so no stand-off."""
    sheets = ((0.063, "countersink"), (0.063, "plain"))
    found = set_up(*sheets, code="MS20426AD4-5")
    assert found.seat_mm == 0
    assert found.stand_off_mm.high == 0
    assert found.pieces is not None
    assert found.pieces.fixed is not None
    assert {found.pieces.fixed.kind, found.pieces.ram.kind} == {"flat"}
    assert found.pieces.fixed != found.pieces.ram
    assert inch(found.wanted_mm.central) == pytest.approx(0.126 + 0.060)
    assert not found.needs_scrap


def test_dimpled_last_sheet_adds_its_stand_off() -> None:
    """The gap wanted is grip + stand-off + head; scrap has to tell the stand-off."""
    sheets = ((0.025, "dimple"), (0.020, "dimple"), (0.025, "dimple"))
    found = set_up(*sheets, code="MS20426AD3-3.5")
    stand_off = inch(found.stand_off_mm.central)
    assert stand_off > 0.015
    assert inch(found.wanted_mm.central) == pytest.approx(0.070 + stand_off + 0.044)
    assert found.needs_scrap
    assert found.head_mm is not None
    spread = inch(found.head_mm.central - found.head_mm.low)
    most = inch(found.stand_off_mm.high - found.stand_off_mm.central)
    assert spread == pytest.approx(most)


def test_jaw_that_is_the_die_takes_only_a_ram_die() -> None:
    """Closed height 0.455, cup 0.240 on the ram: 0.215 less the shims."""
    cup = Die("cup", 0.240 * IN, 3)
    sheets = ((0.025, "plain"), (0.040, "plain"), (0.020, "plain"))
    found = set_up(*sheets, code="MS20470AD3-3.5", tool=THIN, dies=(*FLATS, cup))
    assert found.pieces is not None
    assert found.pieces.fixed is None
    assert found.pieces.ram == cup
    shims = sum(found.pieces.shims_mm)
    assert inch(found.gap_mm) == pytest.approx(0.215 - inch(shims))


def test_band_that_the_shims_cannot_hold_names_a_shim() -> None:
    """With the 0.010 shim away 0.280 leaves 0.071: 0.001 over; 0.011 is best.

    The band runs from 0.050 to 0.070, gaps 0.259 to 0.279: shims of 0.001 to 0.021.
    """
    found = set_up(shims_mm=(0.063 * IN,))
    assert found.verdict is Verdict.BAND_LOST
    assert found.rule is Rule.NEAREST
    assert inch(found.gap_mm) == pytest.approx(0.280)
    assert found.buy is not None
    assert inch(found.buy.low_mm) == pytest.approx(0.001)
    assert inch(found.buy.best_mm) == pytest.approx(0.011)
    assert inch(found.buy.high_mm) == pytest.approx(0.021)


def test_no_cup_and_no_closed_height_are_told() -> None:
    """Without a cup of the size no die fits; without a closed height nothing is set."""
    assert set_up(dies=FLATS).verdict is Verdict.NO_DIE
    bare = set_up(tool=replace(DEEP, closed_height_mm=None))
    assert bare.verdict is Verdict.NOT_MEASURED
    assert bare.pieces is None
    assert bare.head_mm is None
    assert bare.gap_mm is None


def test_rivet_that_ends_in_the_stack_has_no_metal() -> None:
    """A 3/16 long rivet does not come out of 0.250 of sheet."""
    found = set_up((0.125, "plain"), (0.125, "plain"), code="MS20470AD4-3")
    assert found.verdict is Verdict.NO_METAL


def test_short_stroke_does_not_open_over_the_rivet() -> None:
    """0.270 + 0.100 of stroke against 0.398 of rivet and 1/16 of room."""
    short = replace(AIR, stroke_mm=0.100 * IN)
    found = set_up(squeezers=(short,))
    assert found.verdict is Verdict.DOES_NOT_OPEN
    assert found.opening is not None
    assert inch(found.opening.has_mm) == pytest.approx(0.370)
    assert inch(found.opening.needs_over_rivet_mm) == pytest.approx(0.46025)


def test_flange_is_passed_with_the_ram_die_out() -> None:
    """Room 0.8325 with both dies, 1.0725 without cup and shim; the flange 0.90."""
    access = Access(throat_flange_mm=0.9 * IN)
    sheets = [Part("a", "sheet", 0.155 * IN)]
    one = row("R", CODE, stack=[("a", "plain")], access=access)
    made = work_out(plan_of(one, parts=sheets), shop=shop())
    found = set_up_of(made.worked, shop(), 0, "Y2", "air")
    assert found.opening is not None
    assert not found.opening.is_over_flange
    assert found.opening.is_over_flange_bare


def test_engagement_counts_the_shims() -> None:
    """A cup with 0.250 in its seat over a 0.010 shim engages 0.240, at least 0.200."""
    cup = replace(CUP, engaged_mm=0.250 * IN, engaged_min_mm=0.200 * IN)
    found = set_up(dies=(*FLATS, cup))
    fixed, ram = found.engaged
    assert not fixed.is_known
    assert ram.is_known
    assert ram.where == "ram"
    assert inch(ram.engaged_mm) == pytest.approx(0.240)


def test_shims_that_lift_a_die_too_far_are_not_used() -> None:
    """Only 0.005 of lift is left, so no shim goes under the cup."""
    cup = replace(CUP, engaged_mm=0.205 * IN, engaged_min_mm=0.200 * IN)
    found = set_up(dies=(*FLATS, cup))
    assert found.pieces is not None
    assert found.pieces.shims_mm == ()


def test_hand_squeezer_tells_the_pull_of_the_hand() -> None:
    """Twice the lever wants half the pull; the pull is told and nothing stalls.

    No air belongs to it.
    """
    hand = Squeezer(
        "hand", "hand", stroke_mm=0.5 * IN, hand_force_n=60 * LBF, lever_ratio=10.0
    )
    found = set_up(squeezers=(hand,))
    assert found.verdict is Verdict.IN_BAND
    assert found.force.least_pressure_kpa is None
    assert found.force.hand_n is not None
    assert found.force.hand_n.low < found.force.hand_n.central < found.force.hand_n.high
    longer = set_up(squeezers=(replace(hand, lever_ratio=20.0),))
    assert longer.force.hand_n is not None
    assert longer.force.hand_n.central == pytest.approx(found.force.hand_n.central / 2)
    assert found.force.stall is None


def test_hand_squeezer_of_unknown_lever_tells_no_force() -> None:
    """Gap and head are told all the same."""
    bare = set_up(squeezers=(Squeezer("hand", "hand"),))
    assert bare.force.available_n is None
    assert bare.force.stall is None
    assert bare.opening is None
    assert bare.verdict is Verdict.IN_BAND


def test_changes_against_what_is_on_the_tool() -> None:
    """With the very set-up on the tool nothing changes; a shim more is one change."""
    now = OnTool("air", "Y2", Pieces(FLATS[1], CUP, 0.0, (0.010 * IN,)))
    found = set_up(on_tool=now)
    assert found.changes == 0
    assert found.least_change == now.pieces
    more = replace(now.pieces, shims_mm=(0.010 * IN, 0.063 * IN))
    assert set_up(on_tool=OnTool("air", "Y2", more)).changes == 1


def test_every_class_has_a_set_up_in_every_rated_yoke() -> None:
    """Two solid rivets and a blind one, a yoke for 1/8 and one for 3/32: 2 + 1."""
    found = worked(
        row("A", UNIVERSAL, stack=[("a", "plain")]),
        row("B", "MS20470AD3-3", stack=[("a", "plain")]),
        row("C", blind("BX4-1", "0.02", "0.06"), stack=[("a", "plain")]),
    )
    own = shop(tools=(DEEP, replace(THIN, diameter_32nds_max=3)))
    every = set_ups(found.worked, own)
    yokes = [[one.yoke.id for one in every.of_hole(hole)] for hole in range(3)]
    assert yokes == [["Y2"], ["Y2", "Y3"], []]
    assert len(every) == 3
    assert len(list(every)) == 3
    assert every[-1] is every[2]
    assert every[0:2] == [every[0], every[1]]


def test_unknown_tools_and_blind_rivets_are_refused() -> None:
    """A yoke or squeezer the shop lacks, and a rivet that no squeezer sets."""
    found = worked(
        row("A", UNIVERSAL, stack=[("a", "plain")]),
        row("C", blind("BX4-1", "0.02", "0.06"), stack=[("a", "plain")]),
    )
    for hole, yoke, squeezer in ((0, "Y9", "air"), (0, "Y2", "none"), (1, "Y2", "air")):
        with pytest.raises(NotFound):
            set_up_of(found.worked, shop(), hole, yoke, squeezer)

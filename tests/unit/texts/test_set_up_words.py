"""A set-up in words: pieces, ranges, changes, verdicts, the first rivet."""

from __future__ import annotations

from dataclasses import replace

import pytest

from rivetwright.bench.dimple_set_ups import dimple_card
from rivetwright.bench.set_up_card import SetUpCard, set_up_card
from rivetwright.engines.reach.fit import ToolFit
from rivetwright.engines.squeeze.buying import ShimToBuy
from rivetwright.engines.squeeze.change import Swap
from rivetwright.engines.squeeze.first_rivet import CAUTIONS, Told
from rivetwright.engines.squeeze.opening import Engaged, Opening
from rivetwright.engines.squeeze.set_up import Stall, Verdict
from rivetwright.engines.squeeze.stacking import Pieces
from rivetwright.model.shop import Die, Tool
from rivetwright.standards.spread import Spread
from rivetwright.texts.catalogue import catalogue
from rivetwright.texts.set_up_card import fit_words, say_dimple, say_set_up
from rivetwright.texts.set_up_words import (
    STEP,
    buy_words,
    change_words,
    in_a_line,
    put_in,
    said,
    said_range,
    severity_of,
    told_words,
)
from tests.unit.bench.test_set_ups import plan, shop

INCH = 25.4
FLAT, CUP = Die("flat", 6.35), Die("cup", 5.842, diameter_32nds=4)
PIECES = Pieces(FLAT, CUP, 0.25 * INCH, (0.063 * INCH, 0.010 * INCH))
NAN = float("nan")


def card(hole: str = "A5:1") -> SetUpCard:
    """A card of the demo."""
    return set_up_card(plan(), shop(), hole)


def test_pieces_are_named_from_the_ram_to_the_jaw() -> None:
    """Pin, shims, ram die, fixed die; in the other unit beside."""
    facts = put_in(PIECES, "in")
    assert [one.main for one in facts] == [
        "longer by .250 in",
        ".063 + .010 in",
        "cup 1/8, .230 in long",
        "flat, .250 in long",
    ]
    assert facts[1].other == "1.60 + 0.25 mm"


def test_pieces_in_a_line_have_no_units() -> None:
    """As a drawing writes them."""
    line = "pin + .250, shim .063 + .010, cup 1/8 .230, flat .250"
    assert in_a_line(PIECES, "in") == line
    bare = Pieces(None, FLAT)
    assert in_a_line(bare, "mm") == "flat 6.35, jaw is the die"
    assert put_in(bare, "in")[3].main == "none: the jaw is the die"


def test_a_holder_turned_out_is_told() -> None:
    """Only where there is one."""
    turned = replace(PIECES, turned_mm=0.5)
    assert put_in(turned, "mm")[-1].main == "0.50 mm"


def test_a_range_says_its_unit_once() -> None:
    """.050 to .070 in; one figure where both read alike."""
    assert str(said_range("x_mm", Spread(1.27, 1.5, 1.778), "in")) == ".050 to .070 in"
    assert str(said_range("x_mm", Spread(1.27, 1.27, 1.2701), "in")) == ".050 in"


def test_forces_are_told_in_tens() -> None:
    """The model is no better than 12 parts in a hundred: 1384 lbf is 1380."""
    found = said("force_n", 6155.3, "in")
    assert (found.main, found.other) == ("1380 lbf", "6150 N")


def test_what_changes_is_told_piece_by_piece() -> None:
    """Out, in, pin and yoke; nothing where nothing differs."""
    swap = Swap((FLAT,), (CUP,), (0.254,), (), 0.0, is_new_yoke=True)
    assert change_words(swap, "Y1", "in") == [
        "Yoke Y1 on.",
        "Out: flat .250, shim .010.",
        "In: cup 1/8 .230.",
        "Ram pin: the shortest.",
    ]
    same = Swap((), (), (), (), None, is_new_yoke=False)
    assert change_words(same, "Y1", "in") == ["Nothing: it is on the tool already."]


def test_which_shim_to_buy() -> None:
    """Best, and between which two; none where shims make it only narrower."""
    buy = ShimToBuy(0.1 * INCH, 0.11 * INCH, 0.12 * INCH)
    assert buy_words(buy, "in").startswith("A shim of .110 in would")
    assert buy_words(None, "in").startswith("No shim helps")


def test_every_verdict_has_words_and_what_to_do() -> None:
    """And only a set-up in its limits has nothing to do."""
    for one in Verdict:
        assert catalogue().word("set_up_verdict", one)
        if one is not Verdict.IN_BAND:
            assert catalogue().word("set_up_do", one)
            assert severity_of(one)
    assert severity_of(Verdict.IN_BAND) == ""


def test_every_caution_has_words() -> None:
    """Those the procedure asks for, and no other."""
    assert set(catalogue().section("set_up_caution")) == set(CAUTIONS)


def test_a_step_has_its_figures() -> None:
    """Lengths in the unit of the plan, counts plain."""
    told = Told("first_heads", {"heads": 3, "min_mm": 1.27, "most_mm": 1.778})
    words = "Note the first 3 heads: each .050 in to .070 in high."
    assert told_words(STEP, told, "in") == words


def test_a_card_says_what_is_put_in_and_what_it_makes() -> None:
    """A5: gap .270 in, head to be kept from .050 to .070 in."""
    words = say_set_up(card(), plan())
    assert words.in_short == "shim .010, cup 1/8 .230, flat .250"
    gap, height, width = words.makes
    assert (gap.main, gap.other) == (".270 in", "6.86 mm")
    assert "keep .050 to .070 in" in height.note
    assert width.note == "at least .163 in"
    assert words.reach.startswith("Tight, dry-run first: Y2")
    assert "not yet from your heads" in words.trust
    assert len(words.steps) == 6


def test_a_range_past_the_limits_is_said() -> None:
    """A5 may come out at .074 in; A9 stays between .050 and .070 in."""
    assert "past the limits" in say_set_up(card(), plan()).trust
    assert "past the limits" not in say_set_up(card("A9:1"), plan()).trust


def test_a_dimpled_stack_is_to_be_measured_on_scrap() -> None:
    """A11 is dimpled under the shop head."""
    steps = say_set_up(card("A11:1"), plan()).steps
    assert any("how far the dimple stands proud" in one for one in steps)


def changed(**more: object) -> SetUpCard:
    """The card of A5 with its set-up changed."""
    return replace(card(), set_up=replace(card().set_up, **more))


def lines(of: SetUpCard) -> dict[str, str]:
    """What a card says of force, air and room."""
    words = say_set_up(of, plan())
    return {one.name: one.main for one in (*words.needs, *words.put_in)}


@pytest.mark.parametrize(
    ("is_stalled", "may_stall", "words"),
    [
        (True, True, "stops .039 in short of its end, head .079 in"),
        (False, True, "may stop .118 in short, head .157 in"),
        (False, False, "reaches its end"),
    ],
)
def test_a_stall_is_told(is_stalled: bool, may_stall: bool, words: str) -> None:
    """With the usual force, or only with the most; 1, 2, 3 and 4 mm in inches."""
    stall = Stall(is_stalled, 1.0, 2.0, may_stall, 3.0, 4.0)
    force = replace(card().set_up.force, stall=stall)
    assert lines(changed(force=force))["Stall"] == words


@pytest.mark.parametrize(
    ("has_mm", "bare_mm", "words"),
    [
        (20.0, 26.0, ".787 in, needs .394 in"),
        (8.0, 26.0, "only with the ram die out: 1.024 in"),
        (8.0, 9.0, ".315 in, needs .394 in: it does not pass"),
    ],
)
def test_the_flange_is_passed_or_not(has_mm: float, bare_mm: float, words: str) -> None:
    """With the ram die in, only without it, or not at all; 10 mm are needed."""
    opening = Opening(has_mm, 5.0, 10.0, bare_mm)
    assert lines(changed(opening=opening))["Over the flange"].startswith(words)


def test_an_engagement_nobody_knows_is_to_be_looked_at() -> None:
    """The shop file gives no depth for the die."""
    of = changed(engaged=(Engaged("ram", None, None),))
    assert lines(of)["Ram die sits in its seat"].startswith(
        "depth not in the shop file"
    )


def test_a_hand_squeezer_tells_the_pull() -> None:
    """No stall and no air belong to it."""
    hand = set_up_card(plan(), shop(), "A11:1", squeezer="hand squeezer")
    told = lines(hand)
    assert "Pull of the hand" in told
    assert "Least air at the tool" not in told
    assert "Stall" not in told


def test_nothing_put_in_leaves_the_card_short() -> None:
    """Y4 was never measured: what to do is said, and nothing is listed."""
    words = say_set_up(set_up_card(plan(), shop(), "A5:1", yoke="Y4"), plan())
    assert words.severity == "check"
    assert words.do.startswith("Measure the yoke")
    assert (words.put_in, words.changes, words.steps) == ((), (), ())


def test_a_lost_band_says_which_shim_helps() -> None:
    """What cannot hold the limits is not set; the shim is named."""
    buy = ShimToBuy(0.1 * INCH, 0.11 * INCH, 0.12 * INCH)
    words = say_set_up(changed(verdict=Verdict.BAND_LOST, buy=buy), plan())
    assert words.do.endswith(
        "A shim of .110 in would hold the limits (.100 in to .120 in does)."
    )


def test_a_yoke_that_does_not_reach_is_said() -> None:
    """With its figures where there are any."""
    yoke = Tool("Y9", "yoke")
    far = ToolFit(yoke, "no", "reach", 38.1, 45.72, -7.62)
    words = "The yoke does not get there: Y9 reach 1.500 in, needs 1.800 in."
    assert fit_words(far, "in") == words
    assert fit_words(ToolFit(yoke, "no", "", NAN, NAN, 0.0), "in").endswith("Y9.")
    assert fit_words(ToolFit(yoke, "clear", "", NAN, NAN, 9.0), "in") == ""
    assert fit_words(None, "in") == ""


def test_a_dimple_card_says_how_the_dies_stand() -> None:
    """.003 in past touching with shim .010; the steps are a dimple's own."""
    words = say_dimple(dimple_card(plan(), shop(), "A13:1", "502"), plan())
    sheet, bare = words.makes
    assert sheet.main == "502  .020 in"
    assert bare.main == ".003 in past touching"
    assert words.steps[0].startswith("The dies just touch")
    assert words.trust == ""


def test_a_dimple_that_cannot_be_pressed_says_what_to_do() -> None:
    """No female die goes into Y3's flat jaw; a lost one names the shim."""
    found = dimple_card(plan(), shop(), "A13:1", "502", yoke="Y3")
    words = say_dimple(found, plan())
    assert words.severity == "stop"
    assert words.put_in == ()
    lost = replace(found, set_up=replace(found.set_up, verdict=Verdict.BAND_LOST))
    assert "No shim helps" in say_dimple(lost, plan()).do


def test_dies_short_of_touching_are_said_so() -> None:
    """With .1 mm between them."""
    found = dimple_card(plan(), shop(), "A13:1", "502")
    short = replace(found, set_up=replace(found.set_up, gap_mm=0.1))
    assert say_dimple(short, plan()).makes[1].main == ".004 in short of touching"

"""From heads measured at the bench to set-up cards that say what they rest on.

A5 and A6 by hand, in inches: sheets 0.155, universal head 0.054, so a gap of 0.270
leaves 0.061 in a rigid tool. Yoke Y2 closes at 0.760; cup 0.230 and flat 0.250 leave
0.280, with the shim of 0.010 a gap of 0.270 and with that of 0.020 one of 0.260. The
head may be 0.050 to 0.070 high, and clear of what one head scatters 0.0525 to 0.0675.
"""

from __future__ import annotations

from typing import Any

import pytest

from rivetwright.bench.head_history import (
    GAP_NOT_TOLD,
    NOT_MEASURED,
    NOT_SQUEEZED,
    OTHER_RIVET,
    OUT_OF_SHAPE,
    STALLED,
    TOOL_NOT_TOLD,
    HeadHistory,
    MadeBy,
)
from rivetwright.bench.set_up_card import SetUpCard, set_up_card
from rivetwright.bench.set_up_result import set_ups_result
from rivetwright.bench.set_ups import line_of, step_set_ups
from rivetwright.bench.workshop import Workshop
from rivetwright.engines.order.setting import Limits, Setting
from rivetwright.engines.plan import WorkedPlan
from rivetwright.engines.squeeze.taught import Basis, DieSet
from rivetwright.texts.set_up_card import say_set_up
from tests.unit.bench.conftest import Phone

IN = 25.4
PNEUMATIC = "pneumatic squeezer"
EIGHTH = DieSet(PNEUMATIC, "Y2", 4, False, False)
HOLES = ("A5:1", "A5:3", "A6:1", "A6:3")


def check(phone: Phone, hole: str, height: float, **more: Any) -> None:
    """Record a head of the pneumatic squeezer in Y2, gap 0.270; sizes in inches."""
    gap = more.pop("gap", 0.270)
    told = {"squeezer": PNEUMATIC, "yoke": "Y2", "die_gap_mm": gap * IN}
    sizes = {"width_mm": 0.210 * IN, "height_mm": height * IN}
    answer = phone.record("head-checked", hole, **(sizes | told | more))
    assert not answer.refused


def plan(workshop: Workshop, key: str = "aileron") -> WorkedPlan:
    """The plan as the workshop has it now."""
    return workshop.now().assembly(key).worked_plan


def heads(workshop: Workshop) -> HeadHistory:
    """The heads of the record."""
    return workshop.now().heads


def card(workshop: Workshop, hole: str = "A5:2") -> SetUpCard:
    """The set-up card of a hole, the tool bare."""
    found = plan(workshop)
    return set_up_card(found, found.worked.shop, hole, now="bare")


def test_before_a_head_of_the_bench_every_set_up_is_by_physics(
    workshop: Workshop,
) -> None:
    """The demo's log tells sizes and no gap: seven heads, none to learn from."""
    found = heads(workshop)
    assert len(found.of("aileron")) == 7
    assert len(found.of("root-rib")) == 3
    assert found.told.taught.dies == {}
    made = card(workshop)
    assert made.set_up.taught.basis is Basis.PHYSICS
    assert made.physics is None
    trust = say_set_up(made, plan(workshop)).trust
    assert "By physics, not yet from your heads." in trust


def test_heads_of_the_log_stand_together_by_tool_and_rivet(workshop: Workshop) -> None:
    """Squeezed 1/8 universal heads of both assemblies, back-riveted 3/32 flush ones."""
    groups = heads(workshop).groups()
    squeezed = groups[MadeBy("squeezer", "", 4, False, False)]
    names = [one.name for one in squeezed]
    assert names == ["A3:1", "A5:1", "A5:2", "A6:2", "A9:2", "B1:5", "B6:2"]
    assert {one.teaches for one in squeezed} == {TOOL_NOT_TOLD, OUT_OF_SHAPE}
    back = groups[MadeBy("back-rivet plate", "", 3, True, True)]
    assert [one.name for one in back] == ["A14:3", "A15:5"]
    assert back[0].teaches == NOT_SQUEEZED


def test_a_rivet_taken_out_since_says_so(workshop: Workshop) -> None:
    """A5:2, A14:3 and B1:5 were drilled out and replaced after the look."""
    out = [one.name for one in heads(workshop).heads if one.is_out]
    assert out == ["A5:2", "A14:3", "B1:5"]


def test_three_heads_three_thousandths_high(workshop: Workshop, phone: Phone) -> None:
    """Heads of 0.064 where 0.061 was reckoned: the next is foretold at 0.064.

    Before them the lift is offset 0 give or take 8 and a spring judged at some 12 give
    or take 7: together 12 give or take 11. Three heads with a scatter of 2.5 or less
    weigh 3 / 6.25 = 0.48 or more against 1 / 121 = 0.008: pulled from 3 toward 12 by
    at most 9 x 0.008 / 0.48 = 0.15 thousandths.
    """
    for hole in HOLES[:3]:
        check(phone, hole, 0.064)
    one = card(workshop).set_up
    assert one.taught.basis is Basis.HEADS
    assert one.taught.heads_count == 3
    assert one.gap_mm == pytest.approx(0.270 * IN)
    assert one.head_mm is not None
    assert 0.064 < one.head_mm.central / IN < 0.0642
    assert one.head_mm.low < 0.0595 * IN
    assert one.head_mm.high > 0.0685 * IN


def test_heads_change_what_is_put_in(workshop: Workshop, phone: Phone) -> None:
    """Four heads of 0.069, lift 8: with 0.270 not clear of 0.070, so shim 0.020.

    The gap of 0.260 then leaves 0.059 or, the yoke springing a little more at the
    lower head, less than 0.001 above that.
    """
    before = card(workshop)
    for hole in HOLES:
        check(phone, hole, 0.069)
    after = card(workshop)
    assert before.set_up.pieces is not None
    assert after.set_up.pieces is not None
    assert before.set_up.pieces.shims_mm == pytest.approx((0.010 * IN,))
    assert after.set_up.pieces.shims_mm == pytest.approx((0.020 * IN,))
    assert after.set_up.head_mm is not None
    assert 0.059 < after.set_up.head_mm.central / IN < 0.061
    assert after.physics is not None
    assert after.physics.pieces == before.set_up.pieces
    trust = say_set_up(after, plan(workshop)).trust
    assert trust.startswith("From 4 of your heads: 19 of 20 come out .05")
    assert "By physics alone it would be shim .010, cup 1/8 .230, flat .250" in trust
    assert "gap .270 in." in trust


def test_the_list_of_set_ups_takes_them_too(workshop: Workshop, phone: Phone) -> None:
    """The line of A5 has the shim of 0.020, and a plan without heads still 0.010."""
    for hole in HOLES:
        check(phone, hole, 0.069)
    found = plan(workshop)
    shop = found.worked.shop
    assert shop is not None
    line = line_of(step_set_ups(found, shop), found.worked.holes.index("A5:1"))
    assert line is not None
    assert line.set_up is not None
    assert line.set_up.taught.heads_count == 4
    assert line.set_up.gap_mm == pytest.approx(0.260 * IN)


def test_the_order_of_a_step_rigs_what_heads_teach(
    workshop: Workshop, phone: Phone
) -> None:
    """The same gap as the card's: 0.260 in, told to a thousandth of a millimetre."""
    for hole in HOLES:
        check(phone, hole, 0.069)
    found = plan(workshop)
    setting = Setting(found.worked, found.worked.shop, Limits(), found.told.taught)
    ways = setting.at(found.worked.holes.index("A5:1"))
    gaps = {one.gap_mm for one in ways if (one.tool, one.yoke) == (PNEUMATIC, "Y2")}
    assert gaps == {round(0.260 * IN, 3)}


def test_json_says_what_a_set_up_rests_on(workshop: Workshop, phone: Phone) -> None:
    """Four heads of A5's dies; all lines of other yokes are by physics."""
    for hole in HOLES:
        check(phone, hole, 0.069)
    found = plan(workshop)
    shop = found.worked.shop
    assert shop is not None
    lines = set_ups_result(found, shop)["set_ups"]
    made = {one["holes"][0]: one["set_up"] for one in lines if one["set_up"]}
    assert made["A5:1"]["rests_on"] == "from your heads"
    assert made["A5:1"]["own_heads_count"] == 4
    others = {one["rests_on"] for one in made.values() if one["yoke"] != "Y2"}
    assert others == {"by physics"}


def test_other_dies_of_that_yoke_have_its_spring(
    workshop: Workshop, phone: Phone
) -> None:
    """A11 is dimpled 3/32: in Y2 its spring is learnt, its offset not."""
    for hole in HOLES:
        check(phone, hole, 0.064)
    found = plan(workshop)
    made = set_up_card(found, found.worked.shop, "A11:1", yoke="Y2", now="bare")
    assert made.set_up.taught.basis is Basis.YOKE
    assert "Spring of the yoke from your heads" in say_set_up(made, found).trust
    other = set_up_card(found, found.worked.shop, "A11:1", yoke="Y1", now="bare")
    assert other.set_up.taught.basis is Basis.PHYSICS


@pytest.mark.parametrize(
    ("more", "why"),
    [
        ({"height_mm": None}, NOT_MEASURED),
        ({"looks": ["leans"]}, OUT_OF_SHAPE),
        ({"looks": ["sheets open"]}, OUT_OF_SHAPE),
        ({"looks": ["off centre", "cracked"]}, ""),
        ({"squeezer": "another"}, TOOL_NOT_TOLD),
        ({"yoke": "Y9"}, TOOL_NOT_TOLD),
        ({"die_gap_mm": None}, GAP_NOT_TOLD),
        ({"is_stalled": True}, STALLED),
    ],
)
def test_a_head_teaches_where_only_its_size_counts(
    workshop: Workshop, phone: Phone, more: dict[str, Any], why: str
) -> None:
    """Out of shape, of an unknown tool or gap, or stalled: the reason is told."""
    check(phone, "A5:1", 0.064, **more)
    assert heads(workshop).heads[-1].teaches == why
    assert heads(workshop).told.taught.dies.keys() == (set() if why else {EIGHTH})


def test_a_head_of_another_rivet_teaches_nothing(
    workshop: Workshop, phone: Phone
) -> None:
    """A -5 set where -5.5 is called for: its metal is not the one reckoned with."""
    phone.record("rivet-removed", "A5:1", reason="tried another length")
    code = "MS20470AD4-5"
    phone.record("rivets-set", "A5:1", callout=code, reason="to try")
    check(phone, "A5:1", 0.064)
    assert heads(workshop).heads[-1].teaches == OTHER_RIVET


def test_of_a_head_measured_twice_the_last_figure_counts(
    workshop: Workshop, phone: Phone
) -> None:
    """The same rivet at the same gap is one head; squeezed again closer, a second."""
    check(phone, "A5:1", 0.094)
    check(phone, "A5:1", 0.064)
    assert heads(workshop).told.taught.of(EIGHTH).heads_count == 1
    check(phone, "A5:1", 0.055, gap=0.260)
    assert heads(workshop).told.taught.of(EIGHTH).heads_count == 2


def test_a_mark_that_is_no_head_reads_none_again(
    workshop: Workshop, phone: Phone
) -> None:
    """What heads tell stays the same object, so that set-ups found are kept."""
    check(phone, "A5:1", 0.064)
    before = heads(workshop)
    phone.record("note-written", "A5:1", text="nothing about its head")
    assert heads(workshop) is before
    assert plan(workshop).told is before.told


def test_a_look_taken_back_is_forgotten(workshop: Workshop, phone: Phone) -> None:
    """Undone, it teaches nothing any more."""
    check(phone, "A5:1", 0.094)
    phone.record("undone", fact=phone.marks[-1]["id"])
    assert heads(workshop).told.taught.dies == {}

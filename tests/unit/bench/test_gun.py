"""The gun and bar card of a hole of the demo: way, set, bars that get there."""

from __future__ import annotations

import pytest

from rivetwright.bench.evening import evening
from rivetwright.bench.gun import first_gun_hole, gun_at, gun_figure_of
from rivetwright.bench.workshop import Workshop
from rivetwright.engines.plan import WorkedPlan, work_out
from rivetwright.errors import NotFound

PSI = 6.894757293168361


@pytest.fixture
def aileron(workshop: Workshop) -> WorkedPlan:
    """The demo's aileron."""
    return workshop.now().assembly("aileron").worked_plan


@pytest.fixture
def rib(workshop: Workshop) -> WorkedPlan:
    """The demo's root rib."""
    return workshop.now().assembly("root-rib").worked_plan


def test_the_front_attach_angle_is_set_with_gun_and_bar(rib: WorkedPlan) -> None:
    """B5 is 5/32: 60 psi by Table 4-1, the main block, tight by the plan's P9."""
    card = gun_at(rib, "B5:1")
    assert card.ways == ("gun and bar",)
    assert card.figures["start_kpa"].central == pytest.approx(60 * PSI)
    (bar,) = card.bars
    assert bar.fit is not None
    assert (bar.choice.tool.id, bar.fit.fit) == ("BB1", "tight")
    assert card.card.is_for_two


def test_a_row_that_the_plan_back_rivets_opens_so(aileron: WorkedPlan) -> None:
    """A17 lies on the plate; gun and bar can be asked for beside it."""
    card = gun_at(aileron, "A17:3")
    assert (card.way, card.ways) == ("back-rivet", ("gun and bar", "back-rivet"))
    assert [bar.choice.tool.id for bar in card.bars] == ["BACK"]
    assert gun_at(aileron, "A17:3", "gun and bar").card.set_kind == "flush"


def test_the_bar_that_gets_there_stands_first(aileron: WorkedPlan) -> None:
    """At the last hole before the taper shuts only the blade on order goes in."""
    card = gun_at(aileron, "A19:8", "gun and bar")
    first, *others = card.bars
    assert first.choice.tool.id == "BB3"
    assert first.fit is not None
    assert first.fit.gets_there
    assert [bar.fit.fit for bar in others if bar.fit] == ["no", "no"]


def test_the_gauge_falls_when_the_trigger_is_pulled(rib: WorkedPlan) -> None:
    """The card has it, and what it rests on."""
    figure = gun_figure_of(gun_at(rib, "B5:1"), "trigger_fall_kpa")
    assert figure.inputs
    with pytest.raises(NotFound, match="trigger_fall_kpa"):
        gun_figure_of(gun_at(rib, "B5:1"), "speed")


def test_a_blind_rivet_has_no_such_card(aileron: WorkedPlan) -> None:
    """A12 is pulled."""
    with pytest.raises(NotFound, match="blind rivet"):
        gun_at(aileron, "A12:1")


def test_a_universal_head_is_not_back_riveted(rib: WorkedPlan) -> None:
    """A plate is flat: the way is refused with the ones that suit."""
    with pytest.raises(NotFound, match="gun and bar"):
        gun_at(rib, "B5:1", "back-rivet")


def test_without_a_shop_the_card_says_what_is_wanted(rib: WorkedPlan) -> None:
    """Nothing is known of guns."""
    with pytest.raises(NotFound, match="shop file"):
        gun_at(work_out(rib.worked.plan), "B5:1")


@pytest.mark.parametrize(
    ("key", "step", "hole"),
    [("root-rib", "rib-4", "B5:1"), ("aileron", "aileron-8", "")],
)
def test_the_bench_links_the_first_hole_left_for_the_gun(
    workshop: Workshop, key: str, step: str, hole: str
) -> None:
    """Gun and bar at the attach angle; blind rivets need none."""
    assert first_gun_hole(evening(workshop, key, step)) == hole

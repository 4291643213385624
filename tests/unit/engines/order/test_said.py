"""Runs said by their pattern, wet rows parted, parts fitted before their holes."""

from __future__ import annotations

import pytest

from rivetwright.engines.order.figures import RECORD, SHOP, OwnTime, figures_of
from rivetwright.engines.order.from_plan import Choices, nothing_done, stage_of
from rivetwright.engines.order.said import (
    ENDS,
    EVERY,
    LIST,
    MIX,
    ONE,
    SET,
    STRETCH,
    said_places,
)
from rivetwright.engines.order.step_plan import StepPlan, plan_steps
from rivetwright.engines.worked import Worked
from rivetwright.model.pattern import Straight
from rivetwright.model.plan import Row, Sealant
from rivetwright.model.shop import Shop
from tests.unit.bench.plans import face, plan_of, row

CODE = "MS20470AD4-4"


def one_row(count: int, pitch_mm: float, **more: object) -> Row:
    """A row of holes at a pitch from the left end."""
    pattern = Straight((5.0, 25.0), (pitch_mm, 0.0), count)
    return row("A", CODE, pattern=pattern, **more)


def ordered(one: Row, shop: Shop | None = None, **choices: object) -> StepPlan:
    """The first order of a plan of one row."""
    worked = Worked(plan_of(one, faces=(face(),)))
    wanted = Choices(**choices)  # type: ignore[arg-type]
    stage = stage_of(
        worked, shop, nothing_done(worked), ["1"], figures_of(shop), wanted
    )
    return plan_steps(stage, work=0.0)


@pytest.mark.parametrize(
    ("places", "kinds"),
    [
        ([1, 12], [(ENDS, 1, 12, 0)]),
        ([3], [(ONE, 3, 3, 0)]),
        ([3, 4], [(STRETCH, 3, 4, 1)]),
        ([2, 4, 6, 8], [(EVERY, 2, 8, 2)]),
        ([6, 8, 4, 2], [(EVERY, 2, 8, 2)]),
        ([9, 6, 3], [(EVERY, 9, 3, 3)]),
        ([2, 4, 6, 11], [(EVERY, 2, 6, 2), (ONE, 11, 11, 0)]),
        ([1, 4, 9, 2, 12], [(LIST, 1, 12, 0)]),
    ],
)
def test_places_are_said_by_their_pattern(
    places: list[int], kinds: list[tuple[str, int, int, int]]
) -> None:
    """Of a row of 12: ends, one, neighbours, every second or third, the rest listed."""
    found = said_places(places, 12)
    assert [(one.kind, one.first, one.last, one.step) for one in found] == kinds


def test_a_wet_row_is_parted_by_the_work_time_of_its_mix() -> None:
    """12 s a rivet and 1 min of work time: no more than five rivets a mix."""
    plan = ordered(one_row(9, 10.0, sealant=Sealant(60.0, 0.1)))
    presses = [press for card in plan.cards for press in card.presses]
    mixes = [k for k, press in enumerate(presses) if press.kind == MIX]
    assert len(mixes) >= 2
    for start, stop in zip(mixes, [*mixes[1:], len(presses)], strict=True):
        done = [press for press in presses[start:stop] if press.kind == SET]
        assert sum(press.time_s for press in done) <= 60.0
    assert sum(len(p.holes) for p in presses if p.kind == SET) == 9


def test_a_dry_row_needs_no_mix() -> None:
    """Nothing is mixed where no sealant is called for."""
    plan = ordered(one_row(9, 10.0))
    assert all(p.kind != MIX for card in plan.cards for p in card.presses)


def test_sealant_counts_as_grip() -> None:
    """Two sheets of 1.016 mm and 0.1 mm of sealant: 2.132 mm."""
    worked = Worked(plan_of(one_row(3, 10.0, sealant=Sealant(60.0, 0.1))))
    assert worked.of_holes("grip_mm")[0] == pytest.approx(2.132)


def test_holes_farther_apart_than_the_rule_widen_it() -> None:
    """At 100 mm no holder could ever come out under 76 mm: one pitch has to do."""
    plan = ordered(one_row(5, 100.0))
    assert plan.staged.widest_mm == pytest.approx(100.0)
    assert plan.staged.stage.clamp.reach_mm == pytest.approx(100.0)


def test_thick_sheets_may_be_begun_at_the_ends() -> None:
    """Sheets of 1.016 mm are no stiff stack (1.6 mm): the middle first, unless told."""
    row_of = one_row(9, 30.0)
    assert ordered(row_of).staged.way.from_middle
    assert ordered(row_of, begin="ends").staged.way.ends_first


def test_own_figures_go_before_the_table_and_timed_runs_before_both() -> None:
    """The table says 12 s, the shop 10 s, three timed runs 15 s."""
    shop = Shop("s", "s", "mm", costs=(("squeezer", 10.0),))
    assert figures_of(None)["squeezer"] == 12.0
    figures = figures_of(shop)
    assert (figures["squeezer"], figures.known_from["squeezer"]) == (10.0, SHOP)
    figures = figures_of(shop, {"squeezer": OwnTime(15.0, 3)})
    assert (figures["squeezer"], figures.known_from["squeezer"]) == (15.0, RECORD)


def test_a_plan_without_places_is_ordered_too() -> None:
    """Rows of stacks and callouts alone: at the usual pitch of 1 in."""
    worked = Worked(plan_of(row("A", CODE)))
    stage = stage_of(worked, None, nothing_done(worked), ["1"], figures_of(None))
    assert stage.stage.s_mm.tolist() == pytest.approx([0.0, 25.4, 50.8])
    plan = plan_steps(stage, work=0.0)
    assert sum(card.rivets for card in plan.cards) == 3

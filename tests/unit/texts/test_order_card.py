"""What an order says of wet rows, of the box of sheet holders, of figures."""

from __future__ import annotations

import pytest

from rivetwright.bench.order import StepOrder, Wanted, order_of_step
from rivetwright.engines.order.boxes import Box
from rivetwright.engines.order.figures import OwnTime, figures_of
from rivetwright.engines.order.said import FIRST, MIX, SET
from rivetwright.model.pattern import Straight
from rivetwright.model.plan import Sealant
from rivetwright.model.shop import Shop
from rivetwright.record.state import State
from rivetwright.texts.figure_words import say_figures
from rivetwright.texts.order_card import say_order
from rivetwright.texts.order_words import say_box
from tests.unit.bench.plans import face, row, worked

CODE = "MS20470AD4-4"
MIN_S = 60.0


def order(sealant: Sealant | None) -> StepOrder:
    """A row of nine holes 10 mm apart, set wet or dry."""
    pattern = Straight((5.0, 25.0), (10.0, 0.0), 9)
    one = row("A", CODE, pattern=pattern, sealant=sealant)
    plan = worked(one, faces=(face(),), id="wet")
    return order_of_step(plan, None, State(), "1", Wanted(work=0.0))


def test_a_wet_row_is_made_ready_before_anything_is_mixed() -> None:
    """Nine rivets, and a holder in each of holes 1, 3, 5, 7, 9; worked for 20 min."""
    presses = [
        p for card in say_order(order(Sealant(20 * MIN_S, 0.1))) for p in card.presses
    ]
    kinds = [press.kind for press in presses]
    mix = presses[kinds.index(MIX)]
    assert mix.words == (
        "Before you mix: 9 rivets in the tray; 5 sheet holders and the pliers within "
        "reach. Then mix sealant for row A; it can be worked for 20 min."
    )
    assert kinds.index(MIX) < kinds.index(FIRST) < kinds.index(SET)


def test_a_wet_run_says_how_much_of_the_mix_it_takes() -> None:
    """Four rivets at 12 s are about 1 min; 5 s a holder leaves about 20 of 20 min."""
    presses = [
        p for card in say_order(order(Sealant(20 * MIN_S, 0.1))) for p in card.presses
    ]
    first = next(press for press in presses if press.kind == SET)
    assert first.reason.startswith(
        "wet: 1 of the 20 min the sealant can still be worked; "
    )


def test_holders_are_asked_for_at_the_first_mix_alone() -> None:
    """One minute of work time needs a second mix: by then the holders are in."""
    presses = [
        p for card in say_order(order(Sealant(MIN_S, 0.1))) for p in card.presses
    ]
    first, *later = [press.words for press in presses if press.kind == MIX]
    assert "5 sheet holders and the pliers within reach" in first
    assert later
    assert all("; pliers within reach." in words for words in later)


def test_wet_runs_keep_within_the_mix() -> None:
    """From mixing on, holders and rivets together stay within its work time."""
    plan = order(Sealant(2 * MIN_S, 0.1)).plan
    assert plan is not None
    left_s = 0.0
    for card in plan.cards:
        for press in card.presses:
            if press.kind == MIX:
                left_s = press.open_s
                assert left_s == 2 * MIN_S
            elif press.kind == SET:
                assert press.open_s == pytest.approx(left_s)
                assert press.time_s <= left_s
                left_s -= press.time_s
            else:
                left_s -= press.time_s


def test_a_dry_row_says_nothing_of_sealant() -> None:
    """No mix, and no run that is wet."""
    presses = [p for card in say_order(order(None)) for p in card.presses]
    assert not any(p.kind == MIX or "wet" in p.reason for p in presses)


@pytest.mark.parametrize(
    ("box", "words"),
    [
        (Box(3, 80, 20, 20, 60), "20 of 3/32 go in first, 60 stay in the box."),
        (
            Box(4, 3, 5, 5, -2),
            "5 of 1/8 go in first, and 2 more are missing before it ends.",
        ),
        (Box(4, None, 5, 5, None), "5 of 1/8 go in first."),
    ],
)
def test_each_size_of_holder_has_a_sentence(box: Box, words: str) -> None:
    """Enough, too few, and a shop that does not say how many it has."""
    assert say_box(box) == f"This order: {words}"


def test_figures_tell_whose_they_are() -> None:
    """The shop's turn, own runs with the squeezer, and the table's yoke."""
    shop = Shop("s", "s", "mm", costs=(("turn", 90.0),))
    lines = {
        one.name: (one.value, one.where)
        for one in say_figures(figures_of(shop, {"squeezer": OwnTime(15.0, 3)}))
    }
    assert lines["turn"] == ("90 s", "the shop file")
    assert lines["squeezer"] == ("15 s", "your own: the middle of 3 timed runs")
    assert lines["yoke"] == ("180 s", "COMMON PRACTICE")

"""The example shop's air comes out as its owner tells it."""

from __future__ import annotations

from pathlib import Path

import pytest

from rivetwright.engines.air_supply import Supply, work_out_air
from rivetwright.engines.gun import gun_card
from rivetwright.intake.shop_file import read_shop

SHOP = read_shop(
    Path(__file__).resolve().parents[2] / "examples" / "ostrel" / "shop.yaml"
)
PSI = 6.894757293168361


@pytest.fixture(scope="module")
def supply() -> Supply:
    """The garage's air for its own squeezer."""
    return work_out_air(SHOP)


def test_the_compressor_runs_forty_seconds_in_three_minutes(supply: Supply) -> None:
    """Its owner says 40 s in every 3 min when squeezing; 5 strokes a minute are taken.

    The owner's words are round figures: within 10 %.
    """
    runs, rests = (supply.figures[name].central for name in ("runs_s", "rests_s"))
    assert runs == pytest.approx(40, rel=0.1)
    assert runs + rests == pytest.approx(180, rel=0.1)


def test_the_squeezer_stands_at_its_rating_between_strokes(supply: Supply) -> None:
    """90 psi at the bench regulator, and no more than that with a full tank."""
    for name in ("standing_kpa", "standing_full_kpa"):
        assert supply.figures[name].central == pytest.approx(90 * PSI)
    assert supply.is_over is False
    assert supply.missing == ()


def test_a_stroke_begun_at_the_cut_in_ends_a_little_lower(supply: Supply) -> None:
    """A 2-gallon tank falls 2.8 psi in a stroke of 2 by 4 in: 88 psi are left.

    By hand: 0.0518 scf at 14.7 psi out of 2 / 7.48 ft3 is 2.85 psi; 95 less that and
    less two dead bands of 2 psi.
    """
    cycling = supply.figures["standing_cycling_kpa"].central / PSI
    assert cycling == pytest.approx(95 - 2.85 - 4, abs=0.02)
    short = supply.first_short
    assert short is not None
    assert short.name == "stroke"


def test_the_garage_has_a_card_for_each_of_its_rivets() -> None:
    """Gun, set and an owned bar for 3/32, 1/8 and 5/32."""
    for size, is_flush in ((3, True), (3, False), (4, False), (5, False)):
        card = gun_card(SHOP, size, is_flush=is_flush)
        assert card.lacks == ()
        assert card.bars[0].fit == "right"
    back = gun_card(SHOP, 3, is_flush=True, way="back-rivet")
    assert [one.tool.id for one in back.bars] == ["BACK"]
    assert back.lacks == ()

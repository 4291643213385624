"""What heads taught, as a builder reads it."""

from __future__ import annotations

import re

import pytest

from rivetwright.engines.learning.drift import ASK_HIGHER, ASK_LOWER, Alarm
from rivetwright.engines.learning.offset import Foretold
from rivetwright.engines.learning.wear import Wear
from rivetwright.engines.squeeze.taught import Basis
from rivetwright.standards.spread import Spread
from rivetwright.texts.catalogue import catalogue
from rivetwright.texts.learning_words import (
    say_alarm,
    say_band,
    say_basis,
    say_of_hundred,
    say_wear,
)

MIL = 0.0254


def told(basis: Basis, heads: int = 0, slips: int = 0) -> Foretold:
    """A height of 0.060 in, spread 3 and scatter 4 thousandths: 5 together."""
    band = Spread(50 * MIL, 60 * MIL, 70 * MIL)
    return Foretold(band, 3 * MIL, 4 * MIL, basis, heads, slips)


@pytest.mark.parametrize(
    ("basis", "heads", "slips", "words"),
    [
        (Basis.PHYSICS, 0, 0, "by physics: none of your heads yet"),
        (Basis.HEADS, 1, 0, "from 1 of your heads"),
        (Basis.HEADS, 12, 0, "from 12 of your heads"),
        (Basis.HEADS, 12, 1, "from 12 of your heads, 1 of them so far off"),
        (Basis.YOKE, 0, 0, "spring from your heads of other rivets"),
    ],
)
def test_the_basis_says_how_many_heads(
    basis: Basis, heads: int, slips: int, words: str
) -> None:
    """By physics, or from so many, slips told."""
    assert say_basis(told(basis, heads, slips)).startswith(words)


def test_the_band_is_told_for_the_next_head() -> None:
    """1.96 x 5 = 9.8 thousandths either way: .050 to .070; in mm 1.27 to 1.77."""
    said = say_band(told(Basis.HEADS, 3))
    assert said == "heads come out .060 in; 19 of 20 between .050 in and .070 in"
    assert "1.52 mm" in say_band(told(Basis.HEADS, 3), "mm")


@pytest.mark.parametrize(
    ("counts", "words"),
    [
        (Spread(0, 0, 0.001), "Of 100 heads none would be too high."),
        (Spread(0, 0.2, 0.9), "Of 100 heads fewer than 1 would be too high."),
        (Spread(2.6, 3.1, 3.9), "Of 100 heads about 3 would be too high."),
        (Spread(99.2, 99.6, 99.9), "Of 100 heads nearly all would be too high."),
        (
            Spread(1.2, 3.1, 8.4),
            "Of 100 heads about 3 would be too high. It may be 1 to 8: measure more "
            "heads to know better.",
        ),
    ],
)
def test_a_count_of_a_hundred_in_words(counts: Spread, words: str) -> None:
    """Whole heads, and a range where it is wide."""
    assert say_of_hundred(counts, "too_high") == words


def test_an_alarm_tells_since_when_by_how_much_and_what_to_look_at() -> None:
    """The change first, then the least trouble, then what becomes of the learning."""
    first, *asked, last = say_alarm(Alarm(22, 20, 4 * MIL), "A12:18")
    assert first.startswith("From A12:18 on heads come out .004 in higher")
    assert len(asked) == len(ASK_HIGHER)
    assert "learnt afresh" in last
    lower = say_alarm(Alarm(22, 20, -4 * MIL), "A12:18", "mm")
    assert "0.10 mm lower" in lower[0]
    assert not any("dished" in one for one in lower)


def test_everything_asked_has_its_words() -> None:
    """No more and no fewer."""
    assert set(catalogue().section("drift_ask")) == {*ASK_HIGHER, *ASK_LOWER}


def test_wear_is_told_with_how_long_it_may_go_on() -> None:
    """4 thousandths a thousand, room 10: 2000 to 5000 rivets at 5 and 2."""
    per = Spread(2 * MIL, 4 * MIL, 5 * MIL)
    said = say_wear(Wear(per, 900, 40), 10 * MIL)
    assert said.startswith("These dies make heads .004 in higher over 1000 rivets.")
    assert ".010 in are used up after 2000 to 5000 more rivets" in said


def test_no_wear_and_its_opposite() -> None:
    """A band that holds nought says nothing; one below it is dirt."""
    none = Wear(Spread(-1 * MIL, 0.0, 1 * MIL), 900, 40)
    assert say_wear(none, 10 * MIL) == (
        "No wear to be seen in 40 heads over 900 rivets."
    )
    filling = Wear(Spread(-3 * MIL, -2 * MIL, -1 * MIL), 900, 40)
    assert "Heads sink by .002 in" in say_wear(filling, 10 * MIL)


def test_no_sentence_keeps_a_brace() -> None:
    """Every placeholder is filled."""
    said = [
        say_basis(told(Basis.HEADS, 3, 1)),
        say_band(told(Basis.HEADS, 3)),
        *say_alarm(Alarm(22, 20, 4 * MIL), "A12:18"),
        say_wear(Wear(Spread(2 * MIL, 4 * MIL, 5 * MIL), 900, 40), 10 * MIL),
    ]
    assert not any(re.search("[{}]", one) for one in said)

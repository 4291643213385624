"""Runs, stops and the second person's card, said as at the bench."""

from __future__ import annotations

import re

import pytest

from rivetwright.bench.open_now import FINDING, HOLD, OPEN, OTHER_STEP, REMOVE, Waiting
from rivetwright.bench.runs import Run, StopHere
from rivetwright.bench.second_person import WAYS, Card
from rivetwright.texts.bench_words import (
    hole_words,
    ordinal,
    row_words,
    say_card,
    say_stop,
    spoken_run,
)

BRACKET = Waiting(OPEN, "D1", "push-rod bracket", "wing-22")


def run(first: int, last: int, of: int = 37, **more: object) -> Run:
    """A run of row A11, counted from the inboard end."""
    said: dict[str, object] = {
        "key": "k",
        "setup": "s",
        "row": "A11",
        "face": "F",
        "callout": "MS20426AD3-3.5",
        "hole_ids": (),
        "names": (),
        "count": last - first + 1,
        "from_end": "inboard",
        "first": first,
        "last": last,
        "row_count": of,
        "holders": 0,
        "stop_after": None,
    }
    return Run(**(said | more))  # type: ignore[arg-type]


def stop(counted: int = 18, why: Waiting = BRACKET) -> StopHere:
    """A stop at the 18th hole."""
    return StopHere(f"A11:{counted}", counted, why)


@pytest.mark.parametrize(
    ("count", "word"),
    [
        *((1, "1st"), (2, "2nd"), (3, "3rd"), (4, "4th"), (11, "11th"), (12, "12th")),
        *((13, "13th"), (21, "21st"), (37, "37th"), (102, "102nd"), (111, "111th")),
    ],
)
def test_places_in_a_row(count: int, word: str) -> None:
    """As one says them; 11, 12 and 13 take th."""
    assert ordinal(count) == word


def test_run_with_a_stop() -> None:
    """The first 17 of 37, and the 18th stays open."""
    said = run(1, 17, stop_after=stop())
    assert row_words(said) == "Row A11, from the inboard end"
    assert hole_words(said) == "the first 17, then stop"
    assert say_stop(stop()) == "The 18th stays open for wing-22: push-rod bracket."


@pytest.mark.parametrize(
    ("first", "last", "of", "words"),
    [
        (1, 37, 37, "the whole row of 37"),
        (1, 1, 1, "its one hole"),
        (1, 17, 37, "the first 17"),
        (22, 37, 37, "the last 16 of 37"),
        (21, 36, 37, "the 21st to the 36th of 37"),
        (18, 18, 37, "the 18th of 37"),
        (1, 1, 37, "the 1st of 37"),
        (37, 37, 37, "the 37th of 37"),
    ],
)
def test_holes_counted(first: int, last: int, of: int, words: str) -> None:
    """Whole row, beginning, end, between, one alone."""
    assert hole_words(run(first, last, of)) == words


def test_holders_in_some_holes_are_left_for_last() -> None:
    """Every hole without a holder first; no word of it where all or none has one."""
    first = "the whole row of 37, every hole without a holder first"
    assert hole_words(run(1, 37, holders=12)) == first
    assert hole_words(run(1, 37, holders=37)) == "the whole row of 37"


@pytest.mark.parametrize(
    ("end", "words"),
    [
        ("inboard", "Row A11, from the inboard end"),
        ("inboard spar end", "Row A11, from the inboard spar end"),
        ("trailing edge", "Row A11, from the trailing edge"),
        ("at the spar", "Row A11, from the end at the spar"),
        ("front, at the spar", "Row A11, from the front end, at the spar"),
        ("", "Row A11, counted as the drawing shows it"),
    ],
)
def test_ends_as_plans_name_them(end: str, words: str) -> None:
    """Every way in which the demo names a side, and no name at all."""
    assert row_words(run(1, 3, from_end=end)) == words


@pytest.mark.parametrize(
    ("why", "words"),
    [
        (Waiting(HOLD, "H", "no tool reaches"), "must wait: no tool reaches."),
        (
            Waiting(HOLD, "H", "only it fits", "BB3"),
            "must wait for BB3: only it fits.",
        ),
        (
            Waiting(HOLD, "H", "only it fits.", "BB3", "2026-12-04"),
            "must wait for BB3 until 2026-12-04: only it fits.",
        ),
        (
            Waiting(FINDING, "LENGTH-01", "LENGTH-01"),
            "must wait: finding LENGTH-01 stops it and nobody has answered for it.",
        ),
        (
            Waiting(REMOVE, "BD4-2", "BD4-2", "BD4-3"),
            "holds a BD4-2 where BD4-3 is wanted: take it out first.",
        ),
        (
            Waiting(OTHER_STEP, "s-8", "nose shut", "s-8"),
            "belongs to step s-8: nose shut.",
        ),
    ],
)
def test_each_cause_of_a_stop_is_said(why: Waiting, words: str) -> None:
    """With what it waits for, and until when, where known; one full stop."""
    assert say_stop(stop(why=why)) == f"The 18th {words}"


def test_voice_says_letter_by_letter() -> None:
    """A dash and a point are words; the row's letter stands apart from its number."""
    spoken = spoken_run(run(1, 17, stop_after=stop()))
    assert spoken == (
        "M S 2 0 4 2 6 A D 3 dash 3 point 5. Row A 11, from the inboard end."
        " the first 17, then stop."
    )


@pytest.mark.parametrize("way", WAYS)
def test_each_way_has_a_card(way: str) -> None:
    """Title, lines, protection, and the words to say: stop last, from either."""
    words = say_card(Card(way, False, "", ()))
    assert words.title
    assert words.lines
    assert words.needed == ""
    assert words.protect.startswith("Eyes and ears")
    assert len(words.calls) == 4
    assert [word for word, _ in words.calls][-2:] == ["good", "stop"]


def test_bar_and_gun_call_ready_go_good() -> None:
    """The bar speaks first, the gun answers, the bar tells of the head."""
    calls = say_card(Card("bar", False, "", ())).calls
    assert [word for word, _ in calls] == ["ready", "go", "good", "stop"]


def test_card_says_where_two_are_needed() -> None:
    """With the plan's note where there is one."""
    assert say_card(Card("bar", True, "", ())).needed == "This step needs two people."
    noted = say_card(Card("bar", True, "for C9, C10", ())).needed
    assert noted == "This step needs two people: for C9, C10."


def test_squeezer_card_speaks_of_fingers() -> None:
    """It pinches."""
    lines = " ".join(say_card(Card("yoke", False, "", ())).lines)
    assert re.search(r"pinches.*fingers", lines)

"""Holes are written as ranges, and only letters that can be printed are printed."""

from __future__ import annotations

import csv
from importlib.resources import files

import pytest
import typst

from rivetwright.paper.words import (
    BREAK,
    NO_LETTER,
    breakable,
    has_letter,
    hole_ranges,
    number_ranges,
    printable,
    shortened,
)
from tests.unit.drawing.pictures import demo


def test_holes_in_a_row_are_one_range() -> None:
    """Neighbours join; a gap and another row begin anew."""
    holes = demo("flap").worked.holes
    names = ("C2:1", "C1:1", "C1:2", "C1:3", "C12:40", "C12:42")
    found = [holes.index(name) for name in names]
    assert hole_ranges(holes, found) == "C1:1-3, C2:1, C12:40, C12:42"


def test_holes_of_one_row_go_by_number() -> None:
    """The row stands in its own column."""
    holes = demo("flap").worked.holes
    found = [holes.index(f"C12:{k}") for k in (1, 2, 3, 7)]
    assert number_ranges(holes, found) == "1-3, 7"


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("plain", "plain"),
        ("a\u0308", "\u00e4"),
        ("\u4e2d", NO_LETTER),
        ("a\u00adb", f"a{NO_LETTER}b"),
        ("a\nb\u2028c", "a b c"),
        ("\u202e\ud800", NO_LETTER * 2),
        (f"a{BREAK}b", f"a{BREAK}b"),
        ("\u2300 \u2713 \u00bd \u0416", "\u2300 \u2713 \u00bd \u0416"),
    ],
)
def test_a_letter_without_a_font_is_a_box(text: str, expected: str) -> None:
    """Spaces stay spaces; what turns the line around or hides is a box too."""
    assert printable(text) == expected


def test_the_typesetter_has_every_letter_that_we_let_through() -> None:
    """One page with all of them passes the export that refuses a missing one."""
    text = files("rivetwright.paper").joinpath("letters.csv").read_text("utf-8")
    rows = list(csv.DictReader(text.splitlines()))
    ranges = [(int(row["first"], 16), int(row["last"], 16)) for row in rows]
    every = (chr(code) for low, high in ranges for code in range(low, high + 1))
    letters = [letter for letter in every if has_letter(letter)]
    assert len(letters) > 2000
    page = b"""
    #set document(title: "letters")
    #set text(font: ("Libertinus Serif", "DejaVu Sans Mono"), lang: "en")
    = letters
    #sys.inputs.letters
    """
    made = typst.compile(
        page,
        sys_inputs={"letters": " ".join(letters)},
        ignore_system_fonts=True,
        pdf_standards="ua-1",
        timestamp=0,
    )
    assert made.startswith(b"%PDF")


def test_long_words_may_be_broken() -> None:
    """After their signs, and every twelve letters; short ones stay whole."""
    assert breakable("countersink MS20470AD4-4.5") == "countersink MS20470AD4-4.5"
    broken = breakable("x" * 30)
    assert broken.split(BREAK) == ["x" * 12, "x" * 12, "x" * 6]
    assert breakable("aileron-outer-skin", 9).replace(BREAK, "") == "aileron-outer-skin"
    assert breakable(broken) == broken


def test_a_long_name_is_shortened_with_dots() -> None:
    """Six letters of which the last says that there was more."""
    assert shortened("aileron", 6) == "ailer\u2026"
    assert shortened("flap", 6) == "flap"

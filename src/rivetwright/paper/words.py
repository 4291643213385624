"""Words on paper: the catalogue, ranges of holes, letters that the fonts have."""

from __future__ import annotations

import csv
import re
import tomllib
import unicodedata
from collections.abc import Iterable
from functools import cache
from importlib.resources import files

from rivetwright.model.columns import Holes
from rivetwright.texts.catalogue import Catalogue

# A box, for a letter that no font of the typesetter has.
NO_LETTER = "\u25a1"
# Invisible; lets a long word without a hyphen go on in the next line.
BREAK = "\u200b"
# Letters of a word that fit a wide and a narrow column.
WIDE, NARROW = 15, 9
_AFTER_SIGN = re.compile(r"(?<=[-_/.,:+])(?=[^\s\d])")


@cache
def _catalogue(language: str = "en") -> Catalogue:
    """The paper's own catalogue, read once."""
    file = files("rivetwright.paper").joinpath(f"{language}.toml")
    return Catalogue(language, tomllib.loads(file.read_text("utf-8")))


def say(key: str, **values: object) -> str:
    """The words under `section.name`, filled in.

    Raises:
        NotFound: the catalogue has no such words.
    """
    section, _, name = key.partition(".")
    return _catalogue().word(section, name).format_map(values)


def section(name: str) -> dict[str, str]:
    """All words of a section."""
    return dict(_catalogue().section(name))


def hole_ranges(holes: Holes, found: Iterable[int]) -> str:
    """Holes as the trade writes them: `A12:18-20, A12:37, B1:1`."""
    runs = _runs(holes, sorted(found))
    return ", ".join(f"{row}:{_span(first, last)}" for row, first, last in runs)


def number_ranges(holes: Holes, found: Iterable[int]) -> str:
    """Holes of one row by their numbers alone: `1-17, 21`."""
    runs = _runs(holes, sorted(found))
    return ", ".join(_span(first, last) for _, first, last in runs)


def _span(first: int, last: int) -> str:
    """One number, or the first and the last of a run."""
    return f"{first}" if first == last else f"{first}-{last}"


def _runs(holes: Holes, found: list[int]) -> list[tuple[str, int, int]]:
    """Runs of holes that follow each other in one row: row, first, last number."""
    runs: list[tuple[str, int, int]] = []
    before = None
    for hole in found:
        row, number = holes.row_of(hole).name, int(holes.number[hole])
        if runs and before == hole - 1 and runs[-1][0] == row:
            runs[-1] = (row, runs[-1][1], number)
        else:
            runs.append((row, number, number))
        before = hole
    return runs


@cache
def _letters() -> tuple[tuple[int, int], ...]:
    """First and last code of the letters that the typesetter's own fonts have."""
    text = files("rivetwright.paper").joinpath("letters.csv").read_text("utf-8")
    rows = csv.DictReader(text.splitlines())
    return tuple((int(row["first"], 16), int(row["last"], 16)) for row in rows)


@cache
def has_letter(letter: str) -> bool:
    """Whether the typesetter's own fonts have a letter."""
    code = ord(letter)
    is_known = any(first <= code <= last for first, last in _letters())
    return is_known and unicodedata.category(letter)[0] in "LNPSZ"


def printable(text: str) -> str:
    """Text in letters that can be printed; a box for each other one."""
    if text.isascii() and text.isprintable():
        return text
    composed = unicodedata.normalize("NFC", text)
    return "".join(_shown(letter) for letter in composed)


def _shown(letter: str) -> str:
    """A letter as it can be printed."""
    if letter == BREAK or has_letter(letter):
        return letter
    return " " if letter.isspace() else NO_LETTER


def breakable(text: str, letters: int = WIDE) -> str:
    """Text whose words of more letters than these may go on in the next line."""
    long = re.compile(rf"[^\s{BREAK}]{{{letters},}}")
    return long.sub(lambda word: _pieces(word[0], letters - 3), text)


def _pieces(word: str, letters: int) -> str:
    """A long word with invisible breaks after its signs and in long stretches."""
    parts = _AFTER_SIGN.split(word)
    cut = [
        part[k : k + letters] for part in parts for k in range(0, len(part), letters)
    ]
    return BREAK.join(cut)


def shortened(text: str, letters: int) -> str:
    """Text of at most so many letters, with dots where some are left away."""
    return text if len(text) <= letters else f"{text[: letters - 1]}\u2026"

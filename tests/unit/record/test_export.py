"""The record as text: the chain can be followed with SHA-256 alone."""

from __future__ import annotations

import csv
import hashlib
import io
import json

from rivetwright.record.export import COLUMNS, HEADER, as_table, as_text
from rivetwright.record.kinds import NoteWritten, RivetsSet
from tests.unit.record.made import chained, fact, told

ENTRIES = told(
    RivetsSet(("row:1-3",), "BD4-2", people=("builder", "friend")),
    NoteWritten('=HYPERLINK("http://x")\nsecond line é ✓', ("row:1",)),
)


def test_chain_is_followed_by_anybody() -> None:
    """Hash each stored line; compare with the next one's `previous`, and the end."""
    text = "".join(as_text(ENTRIES))
    stored = [line for line in text.splitlines() if line.startswith("{")]
    previous = "0" * 64
    for line in stored:
        assert json.loads(line)["previous"] == previous
        previous = hashlib.sha256(line.encode("utf-8")).hexdigest()
    assert len(stored) == 2
    assert text.endswith(f"{previous}\n")
    assert text.startswith(HEADER[0])


def test_words_name_holes_as_the_plan_does() -> None:
    """By the naming that is handed in."""
    text = "".join(as_text(ENTRIES, lambda assembly, ranges: f"{assembly}!A1:1-3"))
    assert "rivets-set aileron!A1:1-3; callout: BD4-2; people: builder, friend" in text


def test_words_stay_in_their_line_and_steer_nothing() -> None:
    """A line end, a screen's steering sign and a turned reading in name and note."""
    one = fact(1, NoteWritten("a\u2028b\x1b[2Jc\u202ed"), person="x\n# 2: forged")
    lines = "".join(as_text(chained([one]))).split("\n")
    assert len(lines) == len(HEADER) + 2 + 1 + 1
    words = lines[len(HEADER)]
    assert words.startswith("# 1: ")
    assert "x # 2: forged" in words
    assert "a b\ufffd[2Jc\ufffdd" in words


def test_empty_record_says_so() -> None:
    """A text with its head and no fact."""
    assert "".join(as_text([])).endswith("there is no fact yet\n")


def test_table_has_one_line_a_fact_and_no_formula() -> None:
    """Read back with the standard library's reader."""
    lines = list(csv.reader(io.StringIO(as_table(ENTRIES))))
    assert tuple(lines[0]) == COLUMNS
    assert len(lines) == 3
    cells = [cell for line in lines[1:] for cell in line]
    assert not any(cell.startswith(("=", "+", "-", "@")) for cell in cells)

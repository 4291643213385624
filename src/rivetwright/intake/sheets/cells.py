"""Texts in cells: what would be misread, or taken for a formula, stands in quotes.

A cell in double quotes is the text between them, as JSON writes it; every other cell
is the text itself without the spaces round it.  Two quotes alone are an empty text.
"""

from __future__ import annotations

import json
import re

BETWEEN = ";"
# A spreadsheet holds 32,767 characters in a cell.
CELL_MOST = 30_000

_PLAIN_NUMBER = re.compile(r"[+-]?(?:\d+\.?\d*|\.\d+)")
# Spreadsheets run what begins with one of these; # begins a line that is left out.
_STARTS = tuple("=+-@#\"'\t\r")
_STRANGE = re.compile("[\x00-\x08\x0b-\x1f\x7f-\x9f\u2028\u2029\ufeff\ufffe\uffff]")
# Readers of spreadsheets take this for an escaped character.
_ESCAPED = re.compile(r"x(?=[0-9A-Fa-f]{4}_)")
_PIECE = re.compile(r'\s*("(?:[^"\\]|\\.)*")\s*(?:;|$)|([^;]*)(?:;|$)', re.DOTALL)


def cell(text: str) -> str:
    """A text as it stands in a cell of its own."""
    is_plain = text and text == text.strip() and not _STRANGE.search(text)
    is_safe = not text.startswith(_STARTS) or _PLAIN_NUMBER.fullmatch(text)
    if is_plain and is_safe and not _ESCAPED.search(text):
        return text
    return _quoted(text)


def _quoted(text: str) -> str:
    """A text in quotes, with nothing in it that a spreadsheet changes."""
    written = json.dumps(text, ensure_ascii=False)
    strange = _STRANGE.sub(lambda one: f"\\u{ord(one[0]):04x}", written)
    return _ESCAPED.sub(r"\\u0078", strange)


def text_of(written: str) -> str:
    """The text that a cell means."""
    if len(written) > 1 and written.startswith('"') and written.endswith('"'):
        try:
            return str(json.loads(written, strict=False))
        except ValueError:
            return written
    return written.strip()


def joined(texts: list[str]) -> list[str]:
    """A list as the text of one cell, or of several where one would not hold it."""
    cells, line = [], ""
    for text in texts:
        piece = _quoted(text) if BETWEEN in text else cell(text)
        if line and len(line) + len(piece) > CELL_MOST:
            cells.append(line)
            line = ""
        line = f"{line}{BETWEEN} {piece}" if line else piece
    return [*cells, line] if line else cells


def parted(written: str) -> list[str]:
    """The list that a cell means, without empty places."""
    found = []
    at = 0
    while at < len(written):
        piece = _PIECE.match(written, at)
        assert piece is not None, "any text is a piece up to the next semicolon"
        quoted, bare = piece.groups()
        text = text_of(quoted) if quoted else text_of(bare.strip())
        if quoted or bare.strip():
            found.append(text)
        at = piece.end()
    return found

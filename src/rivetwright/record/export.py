"""The record as text that outlives this program, and as a table for a spreadsheet.

Each fact stands twice: in words, and as the very bytes whose digest the next one
holds, so that anybody with SHA-256 can follow the chain without this program.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Callable, Iterable, Iterator
from dataclasses import fields

from rivetwright.record.chain import Entry
from rivetwright.record.order import corrected

Naming = Callable[[str, tuple[str, ...]], str]
HEADER = (
    "# A record of riveting work, oldest fact first, in the order of arrival.",
    "# Each fact stands in two lines: first in words; then as it is stored, in JSON.",
    "# The SHA-256 of the stored line (UTF-8, without its line end) is the",
    '# "previous" of the next one; the first has 64 noughts.',
    "# Times are UTC. Whoever holds this file and the last digest can prove both.",
)
# A spreadsheet runs a cell that begins with one of these; an apostrophe before it
# makes it text. Where another sign than the comma parts cells, one begins there too.
_RUNS = re.compile(r"^(?=[=+\-@\t\r\n])|(?<=[;,|\t\r\n])(?=[=+\-@])")
COLUMNS = (
    *("position", "arrived", "happened", "person", "device", "assembly", "revision"),
    *("kind", "holes", "said", "id"),
)


def by_id(assembly: str, ranges: tuple[str, ...]) -> str:
    """Holes by their permanent ids, where nobody knows their names."""
    return ", ".join(ranges)


def as_text(entries: Iterable[Entry], naming: Naming = by_id) -> Iterator[str]:
    """Lines of the plain text, with their line ends."""
    for line in HEADER:
        yield f"{line}\n"
    last = ""
    for entry in entries:
        yield f"# {entry.seq}: {in_words(entry, naming)}\n"
        yield entry.stored.decode("utf-8") + "\n"
        last = entry.digest
    yield f"# The digest of the last stored line: {last or 'there is no fact yet'}\n"


def in_words(entry: Entry, naming: Naming = by_id) -> str:
    """A fact in one line of words."""
    fact = entry.fact
    where = f" in {fact.assembly}" if fact.assembly else ""
    said = _said(entry, naming)
    told = f"{corrected(fact)} {fact.person}{where}: {fact.kind} {said}"
    return "".join(map(_seen, " ".join(told.split())))


def _seen(letter: str) -> str:
    """A letter that shows; one that steers a screen or turns the reading does not."""
    return letter if letter.isprintable() else "\N{REPLACEMENT CHARACTER}"


def _said(entry: Entry, naming: Naming) -> str:
    """What a fact says beside its kind: fields that are not empty."""
    parts: list[str] = []
    body = entry.fact.body
    for one in fields(body):  # type: ignore[arg-type]
        value = getattr(body, one.name)
        if value in ("", None, (), False):
            continue
        if one.name == "holes":
            parts += filter(None, [naming(entry.fact.assembly, value)])
        else:
            shown = ", ".join(map(str, value)) if isinstance(value, tuple) else value
            parts.append(f"{one.name.replace('_', ' ')}: {shown}")
    return " ".join("; ".join(parts).split())


def as_table(entries: Iterable[Entry], naming: Naming = by_id) -> str:
    """The record as CSV; a cell that a spreadsheet would run is made text."""
    out = io.StringIO()
    writer = csv.writer(out)
    writer.writerow(COLUMNS)
    for entry in entries:
        fact = entry.fact
        holes = naming(fact.assembly, getattr(fact.body, "holes", ()))
        line = (
            *(entry.seq, entry.arrived, corrected(fact), fact.person, fact.device),
            *(fact.assembly, fact.revision, fact.kind, holes),
            *(_said(entry, lambda *_: ""), fact.id),
        )
        writer.writerow([safe_cell(part) for part in line])
    return out.getvalue()


def safe_cell(value: object) -> str:
    """A cell that is read as text, never as a formula."""
    return _RUNS.sub("'", str(value))

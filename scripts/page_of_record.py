"""The page about the record's format: every kind of fact with its fields."""

from __future__ import annotations

import inspect
from dataclasses import MISSING, Field, fields
from typing import get_type_hints

from rivetwright.record.fact import Fact
from rivetwright.record.kinds import ALL_KINDS, Kind
from scripts.pages_of_rules import MADE

INTRODUCTION = """# Record

What a date, a delivery, an answer or a hand changes is a fact. Facts are only ever
added. Nothing is edited: a correction is a new fact, and so is taking back.

## Where it lies

`record/record.sqlite` in the folder of the plans (or a PostgreSQL database), photos
in `record/photos` under the SHA-256 of their bytes, backups in `record/backups` or
elsewhere. `rivetwright record write` writes the whole record as text.

## How a fact is stored

Each entry is canonical JSON (RFC 8785) in UTF-8:

```json
{"arrived": "2026-11-25T19:03:12.004Z", "behind_ms": 0, "entry": 1,
 "fact": {"...": "..."}, "previous": "<digest of the entry before>", "seq": 17}
```

Its digest is the SHA-256 of these bytes. `previous` of the first entry is 64 noughts.
`behind_ms` is not 0 where the server's clock stood behind the entry before; such an
entry arrives with that one's time. There is one chain a project. Whoever has the text
and the last digest needs no program of ours to follow it: hash each stored line,
compare with `previous` of the next.

## Order

The chain keeps the order of arrival. The state follows another: within a device its
own counting, between devices the corrected time, then arrival. Why:
`design/record.md`.

## What an entry's fact holds

"""

MIDDLE = """
`body` is the kind's own. Holes are written by permanent row id and number: `<row
id>:1-17`.

**Observations** are what happened: always taken when they can be read, and flagged
where something is odd. **Decisions** need the newest facts of their assembly in view
(`saw`) and are refused without.

A kind is never changed. A new form gets a new `version`, and older ones are read as
the present one.

## Kinds

"""


def record_page() -> str:
    """The page about the record's format."""
    parts = [MADE, "\n\n", INTRODUCTION, (inspect.getdoc(Fact) or "") + "\n\n"]
    parts += [_table(Fact, skip=("body",)), MIDDLE]
    for kind in ALL_KINDS:
        parts += [_kind(kind), "\n"]
    return "".join(parts)


def _kind(kind: type[Kind]) -> str:
    said = "decision" if kind.is_decision else "observation"
    about = inspect.getdoc(kind) or ""
    head = f"### {kind.name}\n\n{about}\n\nVersion {kind.version}; {said}.\n\n"
    return head + _table(kind)


def _table(kind: type, skip: tuple[str, ...] = ()) -> str:
    """The fields of a dataclass as a table."""
    hints = get_type_hints(kind)
    shown = [one for one in fields(kind) if one.name not in skip]
    if not shown:
        return "No fields of its own.\n"
    lines = ["| Field | Type | Left out |", "|---|---|---|"]
    lines += [
        f"| `{one.name}` | {_type(hints[one.name])} | {_usual(one)} |" for one in shown
    ]
    return "\n".join(lines) + "\n"


def _type(hint: object) -> str:
    """A type in words."""
    text = str(hint)
    words = {
        "<class 'str'>": "text",
        "<class 'int'>": "whole number",
        "<class 'float'>": "number",
        "<class 'bool'>": "true or false",
        "float | None": "number or null",
        "int | None": "whole number or null",
        "tuple[str, ...]": "list of text",
        "tuple[float, ...]": "list of numbers",
        "tuple[tuple[str, str], ...]": "list of pairs of text",
        "tuple[tuple[str, bool, float | None], ...]": (
            "list of text, true or false, and number or null"
        ),
    }
    return words[text]


def _usual(one: Field[object]) -> str:
    """What a field is where it is left out; `needed` where it may not be."""
    if one.default is MISSING:
        return "needed"
    if one.default is None:
        return "null"
    if isinstance(one.default, bool):
        return "true" if one.default else "false"
    return "empty" if one.default in ("", ()) else str(one.default)

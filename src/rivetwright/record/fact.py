"""A fact as it is kept: who, when, on which device, against which revision, what.

The stored form is canonical JSON (RFC 8785), so that the same fact always has the
same bytes on every machine. Source of the form: RFC 8785, JSON Canonicalization
Scheme, 2020; FROM MEMORY, checked in the tests against its printed examples.
"""

from __future__ import annotations

import json
import re
from dataclasses import dataclass, fields
from datetime import datetime
from typing import Any

import rfc8785

from rivetwright.errors import FactRefused
from rivetwright.record.kinds import Kind
from rivetwright.record.upcast import is_text, read_body

ENVELOPE = 1
FACT_ID = re.compile(r"[0-9a-f]{32}\Z")
SHORT_TEXT, LONG_TEXT = 200, 4000


@dataclass(frozen=True)
class Fact:
    """One thing that happened or was decided.

    `id` is made where the fact is made, 32 hexadecimal digits: sent twice it is one
    fact. `device_seq` counts the facts of that device from 1. `happened` is UTC to
    the millisecond (2026-11-25T19:03:11.250Z) on the device's clock, `offset_min`
    what the wall clock there stood ahead of UTC, `clock_ms` how far the server's
    clock was ahead of the device's when last compared. `revision` is the revision
    of the plan that was looked at; `saw` the position of the record known to the
    device, which decisions need.
    """

    id: str
    project: str
    assembly: str
    person: str
    device: str
    device_seq: int
    happened: str
    body: Kind
    offset_min: int = 0
    clock_ms: int = 0
    revision: int = 0
    saw: int = 0

    @property
    def kind(self) -> str:
        """The kind's name."""
        return self.body.name


def as_json(fact: Fact) -> dict[str, Any]:
    """A fact as JSON values."""
    said: dict[str, Any] = {
        one.name: getattr(fact, one.name) for one in fields(fact) if one.name != "body"
    }
    body = {
        one.name: getattr(fact.body, one.name)
        for one in fields(fact.body)  # type: ignore[arg-type]
    }
    return said | {
        "fact": ENVELOPE,
        "kind": fact.body.name,
        "version": fact.body.version,
        "body": _plain(body),
    }


def _plain(value: Any) -> Any:
    """Tuples as lists, all the way down."""
    if isinstance(value, tuple | list):
        return [_plain(one) for one in value]
    if isinstance(value, dict):
        return {name: _plain(one) for name, one in value.items()}
    return value


def canonical(said: dict[str, Any]) -> bytes:
    """JSON values as canonical bytes (RFC 8785).

    Without a number that has a fraction the standard library writes the same bytes
    in a fifth of the time: keys are ASCII here, and both escape alike. A test
    compares the two on arbitrary values.
    """
    if _has_fraction(said):
        return rfc8785.dumps(said)
    text = json.dumps(said, sort_keys=True, separators=(",", ":"), ensure_ascii=False)
    return text.encode("utf-8")


def _has_fraction(value: Any) -> bool:
    """Whether a number anywhere inside is a float."""
    if isinstance(value, dict):
        return any(map(_has_fraction, value.values()))
    if isinstance(value, list):
        return any(map(_has_fraction, value))
    return isinstance(value, float)


def read_fact(said: dict[str, Any]) -> Fact:
    """A fact from JSON values; older versions are read as the present one.

    Raises:
        FactRefused: a field is missing, unknown, or of another type or length.
    """
    body = read_body(said)
    known = {one.name for one in fields(Fact)} - {"body"}
    extra = set(said) - known - {"fact", "kind", "version", "body"}
    if extra or said.get("fact", ENVELOPE) != ENVELOPE:
        raise FactRefused(
            asked="read a fact",
            found=f"fields {', '.join(sorted(extra)) or 'of envelope'}"
            f" {said.get('fact')}",
            allowed=f"envelope {ENVELOPE} with {', '.join(sorted(known))}",
            do="bring this program up to date, or send the fact as it is described",
        )
    taken = {name: said[name] for name in known if name in said}
    check_envelope(taken)
    return Fact(**taken, body=body)


_TEXTS = ("id", "project", "assembly", "person", "device", "happened")
_COUNTS = ("device_seq", "offset_min", "clock_ms", "revision", "saw")
_UTC = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}T[0-9]{2}:[0-9]{2}:[0-9]{2}\.[0-9]{3}Z\Z")
_COUNT_MAX = 2**53 - 1
# A clock may be far off (a phone that begins again at 1970), a time zone must fit.
YEARS = range(1970, 2200)
CLOCK_MS_MAX = 4_000_000_000_000


def check_envelope(said: dict[str, Any]) -> None:
    """See that the outer fields of a fact are there and of their type.

    Raises:
        FactRefused: one is not.
    """
    for name in _TEXTS:
        text = said.get(name)
        if not is_text(text, SHORT_TEXT):
            raise _field(name, text, f"text of at most {SHORT_TEXT} characters")
    for name in _COUNTS:
        count = said.get(name, 0)
        is_count = isinstance(count, int) and not isinstance(count, bool)
        if not is_count or abs(count) > _COUNT_MAX:
            raise _field(name, count, "a whole number")
    if not FACT_ID.match(said["id"]):
        raise _field("id", said["id"], "32 hexadecimal digits, made by the sender")
    if not _is_moment(said["happened"]):
        raise _field("happened", said["happened"], "UTC as 2026-11-25T19:03:11.250Z")
    if abs(said.get("clock_ms", 0)) > CLOCK_MS_MAX:
        raise _field("clock_ms", said["clock_ms"], f"at most {CLOCK_MS_MAX}")
    if said["device_seq"] < 1:
        raise _field("device_seq", said["device_seq"], "1 or more")


def _is_moment(text: str) -> bool:
    """Whether a text is a moment of the calendar that every time zone has."""
    if not _UTC.match(text):
        return False
    try:
        return datetime.fromisoformat(text[:-1]).year in YEARS
    except ValueError:
        return False


def _field(name: str, found: object, allowed: str) -> FactRefused:
    return FactRefused(
        asked=f"read {name} of a fact",
        found=repr(found)[:SHORT_TEXT],
        allowed=allowed,
        do="send the fact again as docs/record.md describes it",
    )

"""Facts and entries made for these tests."""

from __future__ import annotations

from collections.abc import Sequence

from rivetwright.record.chain import Entry, Head, link
from rivetwright.record.fact import Fact
from rivetwright.record.kinds import Kind
from rivetwright.record.state import State

PROJECT = "3d1f7a52-6c0e-4b8e-9a41-7be0c2d5f018"
ARRIVED = "2026-11-25T23:00:00.000Z"


def fact(number: int, body: Kind, **more: object) -> Fact:
    """The n-th fact of a phone, a minute after the one before."""
    said: dict[str, object] = {
        "id": f"{number:032x}",
        "project": PROJECT,
        "assembly": "aileron",
        "person": "builder",
        "device": "phone",
        "device_seq": number,
        "happened": f"2026-11-25T19:{number:02}:00.000Z",
        "body": body,
    }
    return Fact(**(said | more))  # type: ignore[arg-type]


def chained(facts: Sequence[Fact], arrived: str = ARRIVED) -> list[Entry]:
    """Entries in the order in which facts are given."""
    head, entries = Head(), []
    for one in facts:
        entry = link(head, arrived, one)
        head = Head(entry.seq, entry.digest)
        entries.append(entry)
    return entries


def told(*bodies: Kind) -> list[Entry]:
    """Entries of a phone that says these things one after the other."""
    return chained([fact(k, body) for k, body in enumerate(bodies, start=1)])


def flags(state: State) -> list[str]:
    """Codes of what is odd."""
    return [flag.code for flag in state.flags]

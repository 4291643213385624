"""The chain: each entry holds the digest of the one before.

An entry is stored as canonical bytes; its digest is the SHA-256 of these. Changing,
leaving out or moving one entry breaks every digest after it. It proves alteration
only against a digest kept elsewhere: on paper, or with a backup.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from rivetwright.errors import ChainBroken
from rivetwright.record.fact import Fact, as_json, canonical, read_fact

FIRST = "0" * 64
ENTRY = 1


@dataclass(frozen=True)
class Entry:
    """One fact in its place: `seq` counts from 1, `arrived` is UTC on the server.

    `behind_ms` is how far the server's clock stood behind the entry before; such an
    entry arrives with that one's time, so that arrivals never run backwards.
    """

    seq: int
    previous: str
    arrived: str
    fact: Fact
    stored: bytes
    digest: str
    behind_ms: int = 0


@dataclass(frozen=True)
class Head:
    """Where a chain ends: the number of entries and the digest of the last."""

    seq: int = 0
    digest: str = FIRST


def digest_of(stored: bytes) -> str:
    """SHA-256 of stored bytes, in hexadecimal."""
    return hashlib.sha256(stored).hexdigest()


def link(head: Head, arrived: str, fact: Fact, behind_ms: int = 0) -> Entry:
    """The entry that follows a head; `behind_ms` as for an entry [ms]."""
    said = {
        "entry": ENTRY,
        "seq": head.seq + 1,
        "previous": head.digest,
        "arrived": arrived,
        "behind_ms": behind_ms,
        "fact": as_json(fact),
    }
    stored = canonical(said)
    digest = digest_of(stored)
    return Entry(head.seq + 1, head.digest, arrived, fact, stored, digest, behind_ms)


def read_entry(stored: bytes) -> Entry:
    """An entry from its stored bytes.

    Raises:
        ChainBroken: the bytes are no entry.
        FactRefused: its fact is of a form this program does not know.
    """
    try:
        said: dict[str, Any] = json.loads(stored)
        seq, previous, arrived = said["seq"], said["previous"], said["arrived"]
        fact, behind_ms = said["fact"], said["behind_ms"]
    except (ValueError, KeyError, TypeError) as problem:
        raise ChainBroken(
            asked="read an entry of the record",
            found=f"{len(stored)} bytes that are none ({problem})",
            allowed="canonical JSON with seq, previous, arrived and fact",
            do="restore the newest backup that verifies; keep this file",
        ) from problem
    digest = digest_of(stored)
    return Entry(seq, previous, arrived, read_fact(fact), stored, digest, behind_ms)


def verify(entries: Iterable[Entry], head: Head | None = None) -> Head:
    """Follow a chain to its end.

    Args:
        entries: in order of seq.
        head: where it goes on from; None: from the beginning.

    Raises:
        ChainBroken: an entry is missing, moved or altered; tells which.
    """
    at = head or Head()
    for entry in entries:
        said = json.loads(entry.stored)
        agrees = (
            entry.seq == at.seq + 1 == said["seq"]
            and entry.previous == at.digest == said["previous"]
            and entry.digest == digest_of(entry.stored)
        )
        if not agrees:
            raise ChainBroken(
                asked=f"follow the chain at entry {at.seq + 1}",
                found=f"entry {entry.seq} after {entry.previous[:12]}",
                allowed=f"entry {at.seq + 1} after {at.digest[:12]}",
                do="keep this file, and restore the newest backup that verifies",
            )
        at = Head(entry.seq, entry.digest)
    return at

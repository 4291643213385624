"""The store: facts on disk, one chain a project, in SQLite or PostgreSQL.

What `append` has returned is on the disk. With SQLite one program at a time writes;
a second one is refused. With PostgreSQL a lock for each project inside the
transaction makes the order of the chain the order of the commits.
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path
from threading import RLock
from typing import Any

from sqlalchemy import Connection

from rivetwright.errors import ChainBroken, FactRefused, StaleDecision, StoreRefused
from rivetwright.record.chain import Entry, Head, digest_of, link, read_entry
from rivetwright.record.database import Database, told
from rivetwright.record.fact import Fact
from rivetwright.record.order import read_utc, write_utc

BEHIND_MAX = timedelta(minutes=2)
BATCH = 2000
Clock = Callable[[], datetime]


@dataclass(frozen=True)
class Kept:
    """A fact in the store: where it stands, and whether it was new."""

    id: str
    seq: int
    is_new: bool


class Store:
    """Facts, documents and snapshots of all projects in one database."""

    def __init__(self, database: Database, clock: Clock) -> None:
        self.database = database
        self.clock = clock
        self._lock = RLock()
        # Where chains end, as long as nobody else can write in the database.
        self._heads: dict[str, Head] = {}

    @property
    def is_alone(self) -> bool:
        """Whether no other program can write in the same database."""
        return self.database.is_sqlite and not self.database.is_read_only

    # --- facts -------------------------------------------------------------------

    def append(self, facts: Sequence[Fact]) -> list[Kept]:
        """Put facts at the end of their project's chain; all of them or none.

        A fact whose id is there already is left alone and told with its old place.

        Raises:
            StaleDecision: a decision was made without another device's newer fact.
            FactRefused: facts of several projects at once.
            StoreRefused: the database cannot be written, or the clock stands back.
        """
        if not facts:
            return []
        projects = {fact.project for fact in facts}
        if len(projects) > 1:
            raise FactRefused(
                asked="keep facts together",
                found=f"{len(projects)} projects",
                allowed="one project at a time",
                do="send each project's facts for themselves",
            )
        project = projects.pop()
        # Under the lock until the end is noted: a slower thread must not note its own.
        with self._lock:
            self._heads.pop(project, None)
            with self._writing("write in the record", project) as connection:
                kept, head = self._append(connection, project, facts)
            if self.is_alone:
                self._heads[project] = head
        return kept

    @contextmanager
    def _writing(self, asked: str, project: str) -> Iterator[Connection]:
        """One transaction at a time; what goes wrong is told."""
        with self._lock, told(asked), self.database.writing(project) as connection:
            yield connection

    def _append(
        self, connection: Connection, project: str, facts: Sequence[Fact]
    ) -> tuple[list[Kept], Head]:
        ask = self.database.ask
        last = ask(connection, _LAST, project)
        head, arrived = (Head(*last[0][:2]), last[0][2]) if last else (Head(), "")
        now = write_utc(self.clock())
        behind = read_utc(arrived) - read_utc(now) if arrived > now else timedelta(0)
        behind_ms = int(behind.total_seconds() * 1000)
        kept, there = [], self._places(connection, project, facts)
        lines = []
        for fact in facts:
            if fact.id in there:
                kept.append(Kept(fact.id, there[fact.id], False))
                continue
            if fact.body.is_decision:
                self._see_to_it(connection, project, fact, behind)
            entry = link(head, max(arrived, now), fact, behind_ms)
            head = Head(entry.seq, entry.digest)
            there[fact.id] = entry.seq
            lines.append(_line(project, entry))
            kept.append(Kept(fact.id, entry.seq, True))
        if lines:
            self.database.put(connection, _INSERT, lines)
        return kept, head

    def _places(
        self, connection: Connection, project: str, facts: Sequence[Fact]
    ) -> dict[str, int]:
        """Where facts stand that are there already."""
        found: dict[str, int] = {}
        for first in range(0, len(facts), BATCH):
            ids = [fact.id for fact in facts[first : first + BATCH]]
            marks = ", ".join("?" * len(ids))
            asked = f"SELECT id, seq FROM facts WHERE project = ? AND id IN ({marks})"
            found.update(self.database.ask(connection, asked, project, *ids))
        return found

    def _see_to_it(
        self, connection: Connection, project: str, fact: Fact, behind: timedelta
    ) -> None:
        """A decision knows the newest facts, and the clock is right."""
        if behind > BEHIND_MAX:
            raise StoreRefused(
                asked=f"record a decision ({fact.kind})",
                found=f"this machine's clock {behind} behind the last fact",
                allowed="a clock that is right to two minutes",
                do="set the clock of this machine, then decide again",
            )
        ((newer,),) = self.database.ask(
            connection, _NEWER, project, fact.assembly, fact.saw, fact.device
        )
        if newer:
            raise StaleDecision(
                asked=f"record a decision ({fact.kind})",
                found=f"made at position {fact.saw}; entry {newer} came since",
                allowed="a decision made with the newest facts in view",
                do="load the page again, look, and decide again",
            )

    def entries(
        self, project: str, after: int = 0, upto: int | None = None
    ) -> Iterator[Entry]:
        """Entries in the order of the chain, after one place and up to another.

        Raises:
            ChainBroken: a stored line is not what its digest says, or is not there.
            StoreRefused: the database cannot be read.
        """
        last = self.head(project).seq if upto is None else upto
        while after < last:
            with told("read the record"), self.database.reading() as connection:
                lines = self.database.ask(
                    connection, _ENTRIES, project, after, last, BATCH
                )
            for seq, digest, stored in lines:
                if seq != after + 1:
                    raise _missing(after + 1, seq)
                yield _entry(seq, digest, bytes(stored))
                after = seq
            if len(lines) < BATCH:
                break
        if upto is None and after < last:
            raise _missing(after + 1, last)

    def head(self, project: str) -> Head:
        """Where a project's chain ends."""
        known = self._heads.get(project)
        if known is not None:
            return known
        with told("read the record"), self.database.reading() as connection:
            last = self.database.ask(connection, _LAST, project)
        return Head(*last[0][:2]) if last else Head()

    def projects(self) -> list[str]:
        """Projects that have facts."""
        asked = "SELECT DISTINCT project FROM facts ORDER BY project"
        with told("read the record"), self.database.reading() as connection:
            return [name for (name,) in self.database.ask(connection, asked)]

    def position_of(self, project: str, fact: str) -> int | None:
        """Where a fact stands; None where it is not."""
        with told("read the record"), self.database.reading() as connection:
            found = self.database.ask(connection, _PLACE, project, fact)
        return int(found[0][0]) if found else None

    def last_device_seq(self, project: str, device: str) -> int:
        """How far a device has counted; 0 where nothing of it is there."""
        with told("read the record"), self.database.reading() as connection:
            found = self.database.ask(connection, _COUNTED, project, device)
        return int(found[0][0] or 0)

    # --- documents ---------------------------------------------------------------

    def put_document(self, media: str, content: bytes) -> str:
        """Keep a document for good; gives its digest, by which it is found."""
        digest = hashlib.sha256(content).hexdigest()
        with self._writing("keep a document", "") as connection:
            asked = "SELECT 1 FROM documents WHERE digest = ?"
            if not self.database.ask(connection, asked, digest):
                self.database.put(connection, _DOCUMENT, [(digest, media, content)])
        return digest

    def document(self, digest: str) -> tuple[str, bytes] | None:
        """A document's media type and content; None where it is not there."""
        asked = "SELECT media, content FROM documents WHERE digest = ?"
        with told("read a document"), self.database.reading() as connection:
            found = self.database.ask(connection, asked, digest)
        return (found[0][0], bytes(found[0][1])) if found else None

    # --- snapshots ---------------------------------------------------------------

    def save_snapshot(
        self, project: str, head: Head, last_place: str, content: bytes
    ) -> None:
        """Keep a folded state; one that is there at this place is replaced."""
        with self._writing("keep a snapshot", project) as connection:
            gone = "DELETE FROM snapshots WHERE project = ? AND seq = ?"
            self.database.put(connection, gone, [(project, head.seq)])
            line = (project, head.seq, head.digest, last_place, content)
            self.database.put(connection, _SNAPSHOT, [line])

    def snapshot_places(self, project: str) -> list[tuple[int, str, str]]:
        """Position, chain digest and last place of each snapshot, newest first."""
        with told("read the snapshots"), self.database.reading() as connection:
            found = self.database.ask(connection, _SNAPSHOTS, project)
        return [(seq, digest, place) for seq, digest, place in found]

    def snapshot(self, project: str, seq: int) -> bytes | None:
        """The content of a snapshot."""
        asked = "SELECT content FROM snapshots WHERE project = ? AND seq = ?"
        with told("read a snapshot"), self.database.reading() as connection:
            found = self.database.ask(connection, asked, project, seq)
        return bytes(found[0][0]) if found else None

    def digest_at(self, project: str, seq: int) -> str | None:
        """The chain's digest at a position."""
        asked = "SELECT digest FROM facts WHERE project = ? AND seq = ?"
        with told("read the record"), self.database.reading() as connection:
            found = self.database.ask(connection, asked, project, seq)
        return str(found[0][0]) if found else None

    def drop_snapshots(self, project: str, seqs: Sequence[int]) -> None:
        """Throw snapshots away: they can be folded again."""
        gone = "DELETE FROM snapshots WHERE project = ? AND seq = ?"
        if seqs:
            with self._writing("throw snapshots away", project) as connection:
                lines = [(project, seq) for seq in seqs]
                self.database.put(connection, gone, lines)

    @contextmanager
    def transaction(self, asked: str) -> Iterator[tuple[Connection, Database]]:
        """A transaction that writes, for what is no fact (devices and codes)."""
        with self._writing(asked, "") as connection:
            yield connection, self.database

    @property
    def is_read_only(self) -> bool:
        """Whether it was opened to look only."""
        return self.database.is_read_only

    # --- end ---------------------------------------------------------------------

    def close(self) -> None:
        """Let go of the database, so that another program may write."""
        with self._lock:
            self.database.close()

    def __enter__(self) -> Store:
        """The store itself."""
        return self

    def __exit__(self, *_: object) -> None:
        """Close it."""
        self.close()


_LAST = (
    "SELECT seq, digest, arrived FROM facts WHERE project = ? ORDER BY seq DESC LIMIT 1"
)
_PLACE = "SELECT seq FROM facts WHERE project = ? AND id = ?"
_NEWER = (
    "SELECT max(seq) FROM facts WHERE project = ? AND assembly = ? AND seq > ? "
    "AND device <> ?"
)
_COUNTED = "SELECT max(device_seq) FROM facts WHERE project = ? AND device = ?"
_ENTRIES = (
    "SELECT seq, digest, stored FROM facts WHERE project = ? AND seq > ? "
    "AND seq <= ? ORDER BY seq LIMIT ?"
)
_INSERT = (
    "INSERT INTO facts (project, seq, id, assembly, device, device_seq, arrived, "
    "digest, stored) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)"
)
_DOCUMENT = "INSERT INTO documents (digest, media, content) VALUES (?, ?, ?)"
_SNAPSHOT = (
    "INSERT INTO snapshots (project, seq, digest, last_place, content) "
    "VALUES (?, ?, ?, ?, ?)"
)
_SNAPSHOTS = (
    "SELECT seq, digest, last_place FROM snapshots WHERE project = ? ORDER BY seq DESC"
)


def _line(project: str, entry: Entry) -> tuple[Any, ...]:
    """An entry as a line of the table."""
    fact = entry.fact
    return (
        *(project, entry.seq, fact.id, fact.assembly, fact.device, fact.device_seq),
        *(entry.arrived, entry.digest, entry.stored),
    )


def _entry(seq: int, digest: str, stored: bytes) -> Entry:
    """An entry out of its line; the digest is held against the bytes first."""
    if digest_of(stored) != digest:
        raise ChainBroken(
            asked=f"read entry {seq} of the record",
            found=f"bytes whose digest is {digest_of(stored)[:12]}",
            allowed=f"the digest kept with them, {digest[:12]}",
            do="keep this file, and restore the newest backup that verifies",
        )
    return read_entry(stored)


def _missing(wanted: int, found: int) -> ChainBroken:
    return ChainBroken(
        asked=f"read entry {wanted} of the record",
        found=f"entry {found} next",
        allowed="every entry, one after the other",
        do="keep this file, and restore the newest backup that verifies",
    )


def open_store(place: str | Path, *, clock: Clock, read_only: bool = False) -> Store:
    """Open a store, made where it is not there yet, brought to the present schema.

    Args:
        place: a file for SQLite, or the address of a PostgreSQL database.
        clock: gives the time now, aware of its zone.
        read_only: look at it beside a program that writes in it.

    Raises:
        StoreRefused: it cannot be opened, or another program writes in it.
        ChainBroken: the file is torn.
    """
    with told("open the record"):
        return Store(Database.open(place, read_only=read_only), clock)

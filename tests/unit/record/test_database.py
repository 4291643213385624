"""The database is opened so that what was committed is on the disk."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path

import pytest

from rivetwright.errors import ChainBroken, StoreRefused
from rivetwright.record import migrate
from rivetwright.record.database import BUSY_MS, LOCK_FILE, Database, refusal
from rivetwright.record.kinds import RivetsSet
from rivetwright.record.store import open_store
from rivetwright.record.tables import absent_triggers
from tests.unit.record.made import PROJECT, fact


def clock() -> datetime:
    """One moment."""
    return datetime(2026, 11, 25, 23, tzinfo=UTC)


def place_of(folder: Path) -> Path:
    """Where a record lies."""
    return folder / "record" / "record.sqlite"


@pytest.mark.parametrize(
    ("setting", "wanted"),
    [("journal_mode", "wal"), ("synchronous", 2), ("busy_timeout", BUSY_MS)],
)
def test_connection_that_writes_waits_for_the_disk(
    tmp_path: Path, setting: str, wanted: object
) -> None:
    """Asked inside a transaction that writes: log ahead, full syncing, patience."""
    with (
        open_store(place_of(tmp_path), clock=clock) as store,
        store.transaction("look") as (connection, database),
    ):
        assert database.ask(connection, f"PRAGMA {setting}") == [(wanted,)]


def test_facts_are_guarded_past_the_program(tmp_path: Path) -> None:
    """Another program with bare SQL is refused by the file itself."""
    with open_store(place_of(tmp_path), clock=clock) as store:
        store.append([fact(1, RivetsSet(("row:1",), "BD4-2"))])
    with closing(sqlite3.connect(place_of(tmp_path))) as pages:
        for words in ("UPDATE facts SET device = 'x'", "DELETE FROM facts"):
            with pytest.raises(sqlite3.IntegrityError, match="never changed"):
                pages.execute(words)


def test_record_without_its_guards_is_not_opened(tmp_path: Path) -> None:
    """Somebody took a trigger away: what the facts are worth is to be looked at."""
    open_store(place_of(tmp_path), clock=clock).close()
    with closing(sqlite3.connect(place_of(tmp_path))) as pages:
        pages.execute("DROP TRIGGER facts_never_removed")
    with pytest.raises(StoreRefused) as refused:
        open_store(place_of(tmp_path), clock=clock)
    assert refused.value.found == "no guard facts_never_removed"


def test_refused_opening_gives_the_lock_back(tmp_path: Path) -> None:
    """After the guard is back, the same process opens it."""
    test_record_without_its_guards_is_not_opened(tmp_path)
    with closing(sqlite3.connect(place_of(tmp_path))) as pages:
        pages.execute(
            "CREATE TRIGGER facts_never_removed BEFORE DELETE ON facts "
            "BEGIN SELECT RAISE(ABORT, 'no'); END"
        )
    with open_store(place_of(tmp_path), clock=clock) as store:
        assert store.projects() == []


def test_schema_is_the_tables_and_their_guards(tmp_path: Path) -> None:
    """The steps of the schema make what `record.tables` says, and both triggers."""
    database = Database.open(place_of(tmp_path))
    with database.reading() as connection:
        assert migrate.drift(connection) == []
        assert absent_triggers(connection) == []
        assert not migrate.needs_upgrade(connection)
    database.close()


def test_reading_stands_beside_writing_and_writes_nothing(tmp_path: Path) -> None:
    """A program that looks needs no lock, sees new facts, and puts none in."""
    with (
        open_store(place_of(tmp_path), clock=clock) as writer,
        open_store(place_of(tmp_path), clock=clock, read_only=True) as reader,
    ):
        writer.append([fact(1, RivetsSet(("row:1",), "BD4-2"))])
        assert reader.head(PROJECT) == writer.head(PROJECT)
        with pytest.raises(StoreRefused, match="opened for reading"):
            reader.append([fact(2, RivetsSet(("row:2",), "BD4-2"))])
        gone = "DELETE FROM snapshots WHERE seq = ?"
        with (
            reader.database.reading() as connection,
            pytest.raises(sqlite3.OperationalError, match="readonly"),
        ):
            reader.database.put(connection, gone, [(1,)])


def test_looking_begins_no_record(tmp_path: Path) -> None:
    """A folder without one stays as it is."""
    with pytest.raises(StoreRefused, match="no such file"):
        open_store(place_of(tmp_path), clock=clock, read_only=True)
    assert list(tmp_path.iterdir()) == []


def test_closed_record_can_be_moved(tmp_path: Path) -> None:
    """Closing moves the log into the file: the file alone is the record."""
    with open_store(place_of(tmp_path), clock=clock) as store:
        store.append([fact(1, RivetsSet(("row:1",), "BD4-2"))])
        head = store.head(PROJECT)
    names = {path.name for path in place_of(tmp_path).parent.iterdir()}
    assert names - {LOCK_FILE} == {"record.sqlite", "record.sqlite-begun"}
    moved = tmp_path / "moved.sqlite"
    place_of(tmp_path).rename(moved)
    with open_store(moved, clock=clock, read_only=True) as store:
        assert store.head(PROJECT) == head


@pytest.mark.parametrize(
    ("said", "found", "do"),
    [
        ("database or disk is full", "the disk is full", "make room"),
        ("attempt to write a readonly database", "only be read", "give this program"),
        ("database is locked", "another program", "stop the other program"),
        ("disk I/O error", "disk I/O error", "mend the disk"),
    ],
)
def test_trouble_is_told_with_what_to_do(said: str, found: str, do: str) -> None:
    """SQLite's own words lead to one thing to do, and nothing kept is lost."""
    told = refusal("keep a mark", sqlite3.OperationalError(said))
    assert isinstance(told, StoreRefused)
    assert (told.asked, found in told.found, told.do.startswith(do)) == (
        "keep a mark",
        True,
        True,
    )
    assert told.do.endswith("nothing that was kept is lost")


@pytest.mark.parametrize(
    "said", ["database disk image is malformed", "file is not a database"]
)
def test_torn_file_is_told_apart(said: str) -> None:
    """No retry mends it: the newest backup that verifies does."""
    told = refusal("read the record", sqlite3.DatabaseError(said))
    assert isinstance(told, ChainBroken)
    assert "restore the newest backup" in told.do

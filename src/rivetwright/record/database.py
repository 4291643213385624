"""A database opened so that what was committed is on the disk.

SQLite: write-ahead log, `synchronous` FULL, read back on the connection that writes;
a lock file beside it lets one program write at a time. PostgreSQL: commits wait for
its disk as it is set up to; a lock for each project keeps writers in line.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator, Sequence
from contextlib import closing, contextmanager
from pathlib import Path
from typing import Any

import filelock
from sqlalchemy import Connection, Engine, create_engine, event
from sqlalchemy.exc import DBAPIError, SQLAlchemyError
from sqlalchemy.pool import QueuePool, StaticPool

from rivetwright.errors import ChainBroken, RivetwrightError, StoreRefused
from rivetwright.record import migrate
from rivetwright.record.files import FileLayer, RealFiles, provide_folder, sync_names
from rivetwright.record.tables import absent_triggers

BUSY_MS = 10_000
LOCK_FILE = "in-use.lock"
BEGUN_ENDING = "-begun"
_BEGUN = b"""A record was begun in the file beside this one, and was there whole.
If that file is empty now, it was torn: keep it, and restore the newest backup.
"""
FULL = 2
SMALLEST = 512  # the smallest page SQLite knows, and it writes whole pages
_FULL = ("is full", "no space", "quota")
_NOT_TO_WRITE = ("readonly", "read-only", "permission denied", "unable to open")
_TORN = ("malformed", "not a database", "file is encrypted", "disk image")


@contextmanager
def told(asked: str) -> Iterator[None]:
    """Say what went wrong with a database in four sentences."""
    try:
        yield
    except RivetwrightError:
        raise
    except (SQLAlchemyError, sqlite3.Error, OSError) as problem:
        raise refusal(asked, problem) from problem


def refusal(asked: str, problem: Exception) -> StoreRefused | ChainBroken:
    """What to say of a problem with a database."""
    cause = problem.orig if isinstance(problem, DBAPIError) else problem
    said = str(cause).strip().splitlines()[0] if str(cause).strip() else repr(cause)
    low = said.lower()
    if any(word in low for word in _TORN):
        return ChainBroken(
            asked=asked,
            found=f"a torn database: {said}",
            allowed="a whole one",
            do="keep this file, and restore the newest backup that verifies",
        )
    if any(word in low for word in _FULL):
        found, do = "the disk is full", "make room on the disk, then send it again"
    elif any(word in low for word in _NOT_TO_WRITE):
        found = "the disk or the file may only be read"
        do = "give this program the right to write there, then send it again"
    elif "locked" in low:
        found = "another program holds the database"
        do = "stop the other program, then send it again"
    else:
        found, do = said, "mend the disk or the connection, then send it again"
    return StoreRefused(
        asked=asked,
        found=f"{found} ({said})" if found != said else said,
        allowed="a database that can be read and written",
        do=f"{do}; nothing that was kept is lost",
    )


class Database:
    """One database: a connection that writes, and some that read."""

    def __init__(
        self, writer: Engine | None, reader: Engine, lock: filelock.BaseFileLock | None
    ) -> None:
        self._writer = writer
        self._reader = reader
        self._lock = lock
        self.is_read_only = writer is None
        self.is_sqlite = reader.dialect.name == "sqlite"

    @classmethod
    def open(cls, place: str | Path, *, read_only: bool = False) -> Database:
        """Open a file for SQLite, or a PostgreSQL address.

        Raises:
            StoreRefused: it cannot be opened, or another program writes in it.
        """
        if isinstance(place, str) and "://" in place:
            return cls._open_postgresql(place, read_only)
        return cls._open_sqlite(Path(place), read_only)

    @classmethod
    def _open_sqlite(cls, path: Path, read_only: bool) -> Database:
        if read_only and not path.is_file():
            raise _no_record(path)
        lock = None
        if not read_only:
            provide_folder(path.parent, RealFiles())
            lock = _take(path)
        try:
            _refuse_torn(path)
            writer = None if read_only else _sqlite(path, writes=True)
            database = cls(writer, _sqlite(path, writes=False), lock)
            if writer is None:
                database._look(path.name)
            else:
                database._prepare(path)
        except BaseException:
            if lock is not None:
                lock.release()
            raise
        return database

    @classmethod
    def _open_postgresql(cls, address: str, read_only: bool) -> Database:
        try:
            engine = create_engine(address, pool_pre_ping=True)
        except ModuleNotFoundError as missing:
            raise StoreRefused(
                asked="open a PostgreSQL record",
                found=f"{missing.name} is not installed",
                allowed="the extra named shop",
                do="install rivetwright[shop], then try again",
            ) from missing
        database = cls(None if read_only else engine, engine, None)
        try:
            if read_only:
                database._look("in the database")
            else:
                database._prepare(None)
        except BaseException:
            database.close()
            raise
        return database

    def _look(self, where: str) -> None:
        """See that there is a record, of a schema that can be read."""
        with self.reading() as connection:
            migrate.needs_upgrade(connection)
            if not migrate.schema_of(connection):
                raise StoreRefused(
                    asked=f"read the record {where}",
                    found="no record in it",
                    allowed="a record that was begun",
                    do="begin it on the bench page, or with rivetwright record begin",
                )

    def _prepare(self, path: Path | None) -> None:
        """Bring the schema up to date, and see that what must hold does."""
        assert self._writer is not None
        with self._writer.connect() as connection:
            if path is not None and migrate.needs_upgrade(connection):
                _copy_before_upgrade(path, migrate.schema_of(connection))
        with self._writer.begin() as connection:
            if not self.is_sqlite:
                _see_that_commits_wait(connection)
                connection.exec_driver_sql("SELECT pg_advisory_xact_lock(7245)")
            migrate.upgrade(connection)
            absent = absent_triggers(connection)
        if absent:
            raise StoreRefused(
                asked="open the record",
                found=f"no guard {', '.join(absent)}",
                allowed="a record whose facts cannot be changed",
                do="verify the record, and restore the newest backup",
            )
        if path is not None:
            _sync_what_was_found(path, RealFiles())
            _say_begun(path, RealFiles())

    @contextmanager
    def writing(self, project: str) -> Iterator[Connection]:
        """A transaction that writes; on the disk when it ends without a problem."""
        if self._writer is None:
            raise StoreRefused(
                asked="write in the record",
                found="a record opened for reading",
                allowed="one opened for writing",
                do="stop the program that writes in it, or let that one do it",
            )
        with self._writer.begin() as connection:
            if not self.is_sqlite:
                asked = "SELECT pg_advisory_xact_lock(7246, hashtext(%s))"
                connection.exec_driver_sql(asked, (project,))
            yield connection

    @contextmanager
    def reading(self) -> Iterator[Connection]:
        """A connection that reads what was committed."""
        with self._reader.connect() as connection:
            yield connection

    def ask(
        self, connection: Connection, asked: str, *values: object
    ) -> list[tuple[Any, ...]]:
        """Every line of an answer; `?` stands for each value, whatever the database."""
        if self.is_sqlite:
            return _bare(connection).execute(asked, values).fetchall()
        answer = connection.exec_driver_sql(_for_postgresql(asked), values)
        return [tuple(line) for line in answer]

    def put(
        self, connection: Connection, put: str, lines: Sequence[tuple[Any, ...]]
    ) -> None:
        """Put lines in, with `?` for each value."""
        if self.is_sqlite:
            _bare(connection).executemany(put, lines)
        else:
            connection.exec_driver_sql(_for_postgresql(put), list(lines))

    def close(self) -> None:
        """Close every connection and give the lock back."""
        for engine in {self._writer, self._reader} - {None}:
            assert engine is not None
            engine.dispose()
        if self._lock is not None:
            self._lock.release()


def _bare(connection: Connection) -> sqlite3.Connection:
    """SQLite's own connection: its statements are kept prepared, with no detour."""
    bare = connection.connection.driver_connection
    assert isinstance(bare, sqlite3.Connection)
    return bare


def _for_postgresql(words: str) -> str:
    return words.replace("?", "%s")


@contextmanager
def hold(path: Path) -> Iterator[None]:
    """Let no program write in the record in this file meanwhile.

    Raises:
        StoreRefused: one does.
    """
    lock = _take(path)
    try:
        yield
    finally:
        lock.release()


def _take(path: Path) -> filelock.BaseFileLock:
    """The lock that lets one program write."""
    lock = filelock.FileLock(path.with_name(LOCK_FILE))
    try:
        lock.acquire(timeout=0)
    except filelock.Timeout as taken:
        raise StoreRefused(
            asked=f"open the record {path.name}",
            found="another program that writes in it",
            allowed="one program at a time",
            do="stop the other one, or open its pages instead",
        ) from taken
    return lock


def _sync_what_was_found(path: Path, files: FileLayer) -> None:
    """Wait until what a killed process left is on the disk, before it is relied on.

    It may have been killed between writing and syncing. What it wrote is read as
    committed from now on, and a mark sent again is told as kept without a write.
    """
    wal = path.with_name(path.name + "-wal")
    if wal.exists():
        files.sync(wal)
    sync_names(path, files)


def begun_file(path: Path) -> Path:
    """The file that says that a record was once whole in this file."""
    return path.with_name(path.name + BEGUN_ENDING)


def _say_begun(path: Path, files: FileLayer) -> None:
    """Once: an empty file is a torn record from now on, and no new one."""
    if not begun_file(path).exists():
        files.write_new(begun_file(path), _BEGUN)
        files.sync(begun_file(path))
        sync_names(path, files)


def _refuse_torn(path: Path) -> None:
    """Refuse what SQLite would take for a new database, and make one of it."""
    wal = path.with_name(path.name + "-wal")
    size = path.stat().st_size if path.exists() else 0
    wal_size = wal.stat().st_size if wal.exists() else 0
    was_begun = path.exists() and begun_file(path).exists()
    is_emptied = size == 0 and (wal_size > 0 or was_begun)
    if 0 < size < SMALLEST or is_emptied:
        raise ChainBroken(
            asked=f"open the record {path.name}",
            found=f"a file of {size} bytes, and {wal_size} bytes not yet moved into it",
            allowed=f"no file, or one of {SMALLEST} bytes or more",
            do="keep this file, and restore the newest backup that verifies",
        )


def _sqlite(path: Path, *, writes: bool) -> Engine:
    """An engine for a file; the one that writes begins each transaction at once."""
    address = f"file:{path.resolve().as_posix()}?mode={'rwc' if writes else 'rw'}"

    def connect() -> sqlite3.Connection:
        connection = sqlite3.connect(
            address, uri=True, isolation_level=None, check_same_thread=False
        )
        connection.execute(f"PRAGMA busy_timeout = {BUSY_MS}")
        connection.execute("PRAGMA cell_size_check = ON")
        if writes:
            _make_durable(connection)
        else:
            connection.execute("PRAGMA query_only = 1")
        return connection

    pool = StaticPool if writes else QueuePool
    engine = create_engine("sqlite://", creator=connect, poolclass=pool)
    begin = "BEGIN IMMEDIATE" if writes else "BEGIN"

    @event.listens_for(engine, "begin")
    def _begin(connection: Connection) -> None:
        _bare(connection).execute(begin)

    return engine


def _make_durable(connection: sqlite3.Connection) -> None:
    """Write-ahead log and full syncing, read back from the connection itself."""
    connection.execute("PRAGMA journal_mode = WAL")
    connection.execute("PRAGMA synchronous = FULL")
    connection.execute("PRAGMA foreign_keys = ON")
    (journal,) = connection.execute("PRAGMA journal_mode").fetchone()
    (sync,) = connection.execute("PRAGMA synchronous").fetchone()
    if (journal, sync) != ("wal", FULL):
        raise StoreRefused(
            asked="open the record so that it survives a power cut",
            found=f"journal {journal}, synchronous {sync}",
            allowed="journal wal, synchronous 2 (full)",
            do="keep the record on a local disk, not on a network share",
        )


def _see_that_commits_wait(connection: Connection) -> None:
    """PostgreSQL waits for its disk unless somebody told it not to."""
    for setting in ("fsync", "synchronous_commit"):
        (found,) = connection.exec_driver_sql(f"SHOW {setting}").one()
        if found == "off":
            raise StoreRefused(
                asked="open the record so that it survives a power cut",
                found=f"a PostgreSQL whose {setting} is off",
                allowed="one that waits for its disk at each commit",
                do=f"set {setting} to on for this database, then open it again",
            )


def _copy_before_upgrade(path: Path, schema: str) -> None:
    """A copy of the file as it was, before its schema is changed."""
    copy = path.with_name(f"{path.stem}-before-{schema}.sqlite")
    part = copy.with_suffix(".part")
    files = RealFiles()
    part.unlink(missing_ok=True)
    with closing(sqlite3.connect(path)) as old, closing(sqlite3.connect(part)) as new:
        old.backup(new)
    files.sync(part)
    files.rename(part, copy)
    files.sync_folder(copy.parent)


def _no_record(path: Path) -> StoreRefused:
    return StoreRefused(
        asked=f"open the record {path.name}",
        found=f"no such file in {path.parent.name}",
        allowed="a folder whose record was begun",
        do="begin it on the bench page, or with rivetwright record begin",
    )

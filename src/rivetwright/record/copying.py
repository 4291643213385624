"""Copy a whole database into a new SQLite file, beside a program that writes."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path
from typing import Any

from sqlalchemy import Connection, Select, Table, func, select

from rivetwright.errors import StoreRefused
from rivetwright.record.database import LOCK_FILE, Database, begun_file, told
from rivetwright.record.files import FileLayer
from rivetwright.record.tables import metadata

# Who may come in is not copied: a copy gives nobody a way in.
NOT_COPIED = ("devices", "pair_codes")
PARTITION = 1000


def copy_database(place: Path | str, target: Path, disk: FileLayer) -> None:
    """Copy a database as it stands at one moment.

    Raises:
        StoreRefused: there is none, or the copy cannot be written.
        ChainBroken: the file is torn.
    """
    if isinstance(place, Path):
        if not place.is_file():
            raise StoreRefused(
                asked="copy the record",
                found=f"no {place.name} in {place.parent.name}",
                allowed="a folder whose record was begun",
                do="begin the record first",
            )
        with told("copy the record"):
            _copy_file(place, target)
    else:
        _copy_lines(place, target)
    disk.sync(target)


def _copy_file(place: Path, target: Path) -> None:
    address = f"file:{place.resolve().as_posix()}?mode=ro"
    with closing(sqlite3.connect(address, uri=True)) as pages:
        pages.execute("VACUUM INTO ?", (str(target),))
    with closing(sqlite3.connect(target)) as copy:
        for table in NOT_COPIED:
            copy.execute(f"DELETE FROM {table}")
        copy.commit()


def _copy_lines(place: str, target: Path) -> None:
    """Line by line, from a database of another kind."""
    source = Database.open(place, read_only=True)
    copy = Database.open(target)
    try:
        with (
            told("copy the record"),
            source.reading() as old,
            copy.writing("") as new,
        ):
            old.execution_options(isolation_level="REPEATABLE READ")
            for table in metadata.sorted_tables:
                if table.name not in NOT_COPIED:
                    _pour(old, new, table, select(table))
    finally:
        source.close()
        copy.close()
    with closing(sqlite3.connect(target)) as whole:
        whole.execute(
            "PRAGMA journal_mode = DELETE"
        )  # one file, also on a read-only disk
    target.with_name(LOCK_FILE).unlink(missing_ok=True)
    begun_file(target).unlink(missing_ok=True)


def copy_missing(backup: Path, address: str) -> None:
    """Put into a database what a copy has and it has not, project by project.

    Args:
        backup: the copy; each chain in the database is the beginning of its chain.
        address: a database of another kind.
    """
    source, target = Database.open(backup, read_only=True), Database.open(address)
    documents, facts = metadata.tables["documents"], metadata.tables["facts"]
    try:
        with told("put the copy back"), source.reading() as old:
            with target.writing("") as new:
                there = set(new.execute(select(documents.c.digest)).scalars())
                absent = documents.c.digest.not_in(there)
                _pour(old, new, documents, select(documents).where(absent))
            for project in old.execute(select(facts.c.project).distinct()).scalars():
                of_it = facts.c.project == project
                with target.writing(project) as new:
                    last = new.execute(select(func.max(facts.c.seq)).where(of_it))
                    after = of_it & (facts.c.seq > (last.scalar() or 0))
                    rest = select(facts).where(after).order_by(facts.c.seq)
                    _pour(old, new, facts, rest)
    finally:
        source.close()
        target.close()


def _pour(
    old: Connection, new: Connection, table: Table, asked: Select[tuple[Any, ...]]
) -> None:
    for some in old.execute(asked).partitions(PARTITION):
        new.execute(table.insert(), [line._asdict() for line in some])

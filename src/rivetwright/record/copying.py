"""Copy a whole database into a new SQLite file, beside a program that writes."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path

from sqlalchemy import select

from rivetwright.errors import StoreRefused
from rivetwright.record.database import Database, told
from rivetwright.record.files import FileLayer
from rivetwright.record.tables import metadata

# Who may come in is not copied: a copy gives nobody a way in.
NOT_COPIED = ("devices", "pair_codes")


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
                    for some in old.execute(select(table)).partitions(1000):
                        lines = [line._asdict() for line in some]
                        new.execute(table.insert(), lines)
    finally:
        source.close()
        copy.close()
    (target.parent / "in-use.lock").unlink(missing_ok=True)
    for ending in ("-wal", "-shm"):
        target.with_name(target.name + ending).unlink(missing_ok=True)

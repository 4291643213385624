"""The tools of these tests see what they are for: on plain SQLite, by hand."""

from __future__ import annotations

import os
import random
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from tests.fault.disk import OUTAGES, SECTOR, Disk
from tests.fault.events import (
    Acknowledged,
    Event,
    FolderSynced,
    Opened,
    Renamed,
    Synced,
    Written,
)
from tests.fault.power import cuts, restart
from tests.fault.sqlite_shim import FULL, noted_files

NOTHING, HALF, TORN = OUTAGES


def counted_after_cuts(
    folder: Path, synchronous: str, journal: str
) -> list[tuple[int, int, str]]:
    """Rows promised, rows there and integrity, after each cut of a run."""
    start = folder / "run"
    start.mkdir()
    disk = Disk(start)
    with (
        noted_files() as shim,
        closing(sqlite3.connect(start / "rows.sqlite")) as rows,
    ):
        rows.execute(f"pragma journal_mode = {journal}")
        rows.execute(f"pragma synchronous = {synchronous}")
        rows.execute("pragma wal_autocheckpoint = 4")
        rows.execute("create table rows (said text)")
        rows.commit()
        for number in range(30):
            rows.execute("insert into rows values (?)", ["x" * 400])
            rows.commit()
            shim.told.append(Acknowledged("row", str(number)))
    counted = []
    for number, cut in enumerate(cuts(disk, shim.told, random.Random(1))):
        place = restart(cut, folder / str(number)) / "rows.sqlite"
        with closing(sqlite3.connect(place)) as rows:
            counted.append((len(cut.promised), *looked_at(rows)))
    return counted


def looked_at(rows: sqlite3.Connection) -> tuple[int, str]:
    """Rows there, and what SQLite says of the file's pages."""
    try:
        (whole,) = rows.execute("pragma integrity_check").fetchone()
        is_made = rows.execute("select name from sqlite_master").fetchall()
        asked = "select count(*) from rows" if is_made else "select 0"
        (count,) = rows.execute(asked).fetchone()
    except sqlite3.DatabaseError as torn:
        return 0, str(torn)
    return count, whole


@pytest.mark.parametrize(
    ("synchronous", "journal"), [("full", "wal"), ("extra", "delete")]
)
def test_sqlite_with_all_its_syncs_keeps_every_promised_row(
    tmp_path: Path, synchronous: str, journal: str
) -> None:
    """What SQLite promises: FULL for a WAL, EXTRA where a name is the commit."""
    counted = counted_after_cuts(tmp_path, synchronous, journal)
    assert len(counted) > 60
    for promised, count, whole in counted:
        assert whole == "ok"
        assert promised <= count <= promised + 1


@pytest.mark.parametrize(
    ("synchronous", "journal"), [("normal", "wal"), ("off", "wal"), ("full", "delete")]
)
def test_a_store_that_syncs_too_little_is_caught(
    tmp_path: Path, synchronous: str, journal: str
) -> None:
    """With fewer syncs some cut loses a promised row, or tears the file."""
    assert not all(
        whole == "ok" and promised <= count
        for promised, count, whole in counted_after_cuts(tmp_path, synchronous, journal)
    )


def test_content_and_name_each_need_their_sync(tmp_path: Path) -> None:
    """A synced file has no name before its folder is synced, nor the other way."""
    path, folder = str(tmp_path / "photo"), os.path.realpath(tmp_path)
    path = f"{folder}/photo"
    steps: list[tuple[Event, dict[str, bytes]]] = [
        (Opened(path, True), {}),
        (Written(path, 0, b"light"), {}),
        (Synced(path), {}),
        (FolderSynced(folder), {"photo": b"light"}),
        (Written(path, 5, b"er"), {"photo": b"light"}),
        (Renamed(path, f"{folder}/kept"), {"photo": b"light"}),
        (FolderSynced(folder), {"kept": b"light"}),
        (Synced(f"{folder}/kept"), {"kept": b"lighter"}),
    ]
    disk = Disk(tmp_path)
    for event, expected in steps:
        disk.take(event)
        assert disk.found(NOTHING, random.Random(1)) == expected


def test_a_last_write_is_torn_between_sectors(tmp_path: Path) -> None:
    """Of three sectors one or two come through, never a part of one."""
    folder = os.path.realpath(tmp_path)
    disk = Disk(tmp_path)
    for event in (
        Opened(f"{folder}/file", True),
        FolderSynced(folder),
        Written(f"{folder}/file", 0, bytes(3 * SECTOR)),
    ):
        disk.take(event)
    lengths = {len(disk.found(TORN, random.Random(n))["file"]) for n in range(20)}
    assert lengths == {SECTOR, 2 * SECTOR}


def test_a_refused_write_reaches_neither_file_nor_list(tmp_path: Path) -> None:
    """A layer that answers `full` makes SQLite say so, and the row is not there."""
    place = tmp_path / "rows.sqlite"
    with closing(sqlite3.connect(place)) as rows:
        rows.execute("create table rows (said text)")
        rows.commit()
    before = place.read_bytes()
    with (
        noted_files(lambda event: FULL if isinstance(event, Written) else 0) as shim,
        closing(sqlite3.connect(place)) as rows,
    ):
        with pytest.raises(sqlite3.OperationalError, match="full"):
            rows.execute("insert into rows values ('x')")
        assert not [one for one in shim.told if isinstance(one, Written)]
    assert place.read_bytes() == before

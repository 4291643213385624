"""Copies of a record that can be trusted: made whole, verified, and put back.

A backup is a folder of its own with the database, the photos its facts speak of and
a manifest with the chain's digest. It is written under another name, synced, and
renamed at the end: one that is there is whole. It can be made beside a program that
writes in the record.
"""

from __future__ import annotations

import json
import shutil
import sqlite3
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import closing, contextmanager, suppress
from dataclasses import dataclass, field
from datetime import UTC, datetime
from hashlib import sha256
from pathlib import Path

from rivetwright.errors import ChainBroken, StoreRefused
from rivetwright.record.chain import Entry, Head
from rivetwright.record.chain import verify as follow_chain
from rivetwright.record.copying import copy_database, copy_missing
from rivetwright.record.database import hold, told
from rivetwright.record.files import (
    PART_WRITTEN,
    FileLayer,
    RealFiles,
    provide_folder,
    write_for_good,
)
from rivetwright.record.fold import fold, fold_onto
from rivetwright.record.kinds import PhotoTaken, Undone
from rivetwright.record.order import placed_on
from rivetwright.record.photos import photo_path, print_copy_path
from rivetwright.record.snapshots import dump_state, load_state
from rivetwright.record.state import State
from rivetwright.record.store import Store, open_store

RECORD, DATABASE, PHOTOS, MANIFEST = (
    "record",
    "record.sqlite",
    "photos",
    "manifest.json",
)
FORM = 1


def utc_now() -> datetime:
    """The time on this machine's clock."""
    return datetime.now(UTC)


@dataclass(frozen=True)
class Verified:
    """A record that was followed from end to end."""

    facts: int
    heads: dict[str, Head] = field(default_factory=dict)
    photos: int = 0
    snapshots: int = 0


def back_up(
    folder: Path,
    into: Path,
    *,
    files: FileLayer | None = None,
    clock: Callable[[], datetime] = utc_now,
    database: str = "",
) -> Path:
    """Copy the record of an aircraft's folder into a new backup folder.

    Args:
        folder: the aircraft's folder; its record lies in `record`.
        into: the folder of all backups.
        files: the disk.
        clock: gives the time for the backup's name.
        database: address of a PostgreSQL database, where the facts are there.

    Raises:
        StoreRefused: the record cannot be read, or the backup not written.
        ChainBroken: the record does not verify; no backup is kept.
    """
    disk = files or RealFiles()
    with told("back the record up"):
        provide_folder(into, disk)
        name = f"record-{clock().astimezone(UTC):%Y%m%dT%H%M%S%f}Z"
        part, whole = into / (name + PART_WRITTEN), into / name
        try:
            provide_folder(part, disk)
            place = database or folder / RECORD / DATABASE
            copy_database(place, part / DATABASE, disk)
            photos = folder / RECORD / PHOTOS
            found = _look_through(part / DATABASE, photos, part / PHOTOS, disk)
            _write_manifest(part / MANIFEST, found, clock(), disk)
            disk.sync_folder(part)
            disk.rename(part, whole)
        except BaseException:  # half a backup only takes room, on a full disk above all
            shutil.rmtree(part, ignore_errors=True)
            raise
        disk.sync_folder(into)
    return whole


def _write_manifest(
    path: Path, found: Verified, made: datetime, disk: FileLayer
) -> None:
    said = {
        "backup": FORM,
        "made": f"{made.astimezone(UTC):%Y-%m-%dT%H:%M:%S}Z",
        "facts": found.facts,
        "photos": found.photos,
        "heads": {
            name: {"position": head.seq, "digest": head.digest}
            for name, head in found.heads.items()
        },
    }
    text = json.dumps(said, indent=1, sort_keys=True) + "\n"
    write_for_good(path, text.encode(), disk)


def _look_through(
    database: Path, photos: Path, target: Path | None, disk: FileLayer
) -> Verified:
    """Follow every chain; each photo that is spoken of must be there, and whole.

    Where a target is named the photos are copied to it.
    """
    heads, seen = {}, set()

    def noted(entries: Iterable[Entry]) -> Iterator[Entry]:
        for entry in entries:
            if isinstance(entry.fact.body, PhotoTaken):
                seen.add((entry.fact.body.digest, entry.fact.body.media))
            yield entry

    with open_store(database, clock=utc_now, read_only=True) as store:
        for project in store.projects():
            heads[project] = follow_chain(noted(store.entries(project)))
    count = sum(head.seq for head in heads.values())
    for digest, media in sorted(seen):
        path = photo_path(photos, digest, media)
        _check_photo(path, digest)
        if target is not None:
            _copy_photo(path, photo_path(target, digest, media), disk)
            copy = print_copy_path(photos, digest)
            if copy.is_file():
                _copy_photo(copy, print_copy_path(target, digest), disk)
    return Verified(count, heads, len(seen))


def _check_photo(path: Path, digest: str) -> None:
    if not path.is_file():
        found = "no such file"
    elif sha256(path.read_bytes()).hexdigest() != digest:
        found = "a file with other content"
    else:
        return
    raise ChainBroken(
        asked=f"find the photo {path.name}",
        found=found,
        allowed="the file as it was sent",
        do="restore the newest backup that verifies; keep this folder",
    )


def _copy_photo(source: Path, target: Path, disk: FileLayer) -> None:
    if not target.is_file():
        provide_folder(target.parent, disk)
        disk.copy_new(source, target)
        disk.sync(target)
        disk.sync_folder(target.parent)


def verify(place: Path | str, *, photos: Path | None = None) -> Verified:
    """Follow a record, or a backup, from end to end.

    Every entry is read and its digest followed; photos are compared with their
    digests; kept snapshots are compared with the facts folded anew.

    Args:
        place: an aircraft's folder, a backup's, or the address of a database.
        photos: where the photos lie, for a database named by its address.

    Raises:
        ChainBroken: the first thing that does not agree.
        StoreRefused: it cannot be read.
    """
    manifest = None
    address: Path | str = place
    if not (isinstance(place, str) and "://" in place):
        folder = Path(place)
        inner = folder / RECORD
        where = inner if (inner / DATABASE).is_file() else folder
        address, photos = where / DATABASE, photos or where / PHOTOS
        if (folder / MANIFEST).is_file():
            manifest = json.loads((folder / MANIFEST).read_text("utf-8"))
    with open_store(address, clock=utc_now, read_only=True) as store:
        heads, count, snapshots, seen = {}, 0, 0, 0
        for project in store.projects():
            entries = list(store.entries(project))
            heads[project] = follow_chain(entries)
            count += len(entries)
            seen += _photos_whole(entries, photos)
            snapshots += _snapshots_agree(store, project, entries)
    if manifest is not None:
        _agrees_with(manifest, heads)
    return Verified(count, heads, seen, snapshots)


def _photos_whole(entries: list[Entry], photos: Path | None) -> int:
    bodies = [entry.fact.body for entry in entries]
    taken = {one.digest: one.media for one in bodies if isinstance(one, PhotoTaken)}
    for digest, media in taken.items():
        if photos is not None:
            _check_photo(photo_path(photos, digest, media), digest)
    return len(taken)


def _snapshots_agree(store: Store, project: str, entries: Sequence[Entry]) -> int:
    """Fold anew up to each snapshot that could still be used, and compare."""
    state, count = State(), 0
    for at, digest, _ in reversed(store.snapshot_places(project)):
        stored = store.snapshot(project, at)
        if at > len(entries) or entries[at - 1].digest != digest or stored is None:
            continue
        if load_state(stored) is None:
            continue
        state = _folded_to(state, entries[:at])
        if dump_state(state) != stored:
            raise ChainBroken(
                asked=f"fold the record anew up to entry {at}",
                found="another state than the snapshot kept there",
                allowed="the same",
                do="throw the snapshots away: rivetwright record refold",
            )
        count += 1
    return count


def _folded_to(state: State, entries: Sequence[Entry]) -> State:
    """The state after all these entries, folded on where none counts earlier."""
    fresh = entries[state.position :]
    ids = {entry.fact.id for entry in fresh}
    starts = placed_on(fresh, state.ends)[0][0]
    is_after = starts > state.last_place and not any(
        (isinstance(fact.body, Undone) and fact.body.fact not in ids)
        or fact.device_seq <= state.ends.get(fact.device, (0, ""))[0]
        for fact in (entry.fact for entry in fresh)
    )
    return fold_onto(state, fresh) if is_after else fold(entries)


def refold(place: Path | str) -> int:
    """Throw every snapshot away, so that the facts are folded anew; gives how many.

    Raises:
        StoreRefused: it cannot be opened, or another program writes in it.
    """
    address = place if isinstance(place, str) else place / RECORD / DATABASE
    with open_store(address, clock=utc_now) as store:
        there = [
            (project, [at for at, _, _ in store.snapshot_places(project)])
            for project in store.projects()
        ]
        for project, places in there:
            store.drop_snapshots(project, places)
    return sum(len(places) for _, places in there)


def _agrees_with(manifest: dict[str, object], heads: dict[str, Head]) -> None:
    said = manifest.get("heads")
    found = {
        name: {"position": head.seq, "digest": head.digest}
        for name, head in heads.items()
    }
    if said != found:
        raise ChainBroken(
            asked="compare the backup with its manifest",
            found="another digest of the chain",
            allowed="the one written down when it was made",
            do="take another backup; this one was changed since",
        )


def restore(
    backup: Path, folder: Path, *, files: FileLayer | None = None, database: str = ""
) -> Verified:
    """Put a backup in the place of an aircraft's record.

    The record that is there is kept aside under another name. It is replaced only
    where its chain is the beginning of the backup's, or where it is torn: nothing
    that was kept is lost. A PostgreSQL database is given the facts it has not.

    Args:
        backup: the folder of one backup.
        folder: the aircraft's folder.
        files: the disk.
        database: address of a PostgreSQL database, where the facts belong there.

    Raises:
        ChainBroken: the backup does not verify.
        StoreRefused: the record has facts that the backup has not, or is in use.
    """
    disk = files or RealFiles()
    verified = verify(backup)
    record, part = folder / RECORD, folder / (RECORD + PART_WRITTEN)
    if database:
        with open_store(database, clock=utc_now) as store, _copy_of(backup) as copy:
            _see_that_none_is_lost(store, copy)
        for photo in sorted((backup / PHOTOS).glob("*/*")):
            target = record / PHOTOS / photo.parent.name / photo.name
            if not target.is_file():
                write_for_good(target, photo.read_bytes(), disk)
        copy_missing(backup / DATABASE, database)
        return verified
    with told("restore the backup"), _held(record / DATABASE, backup):
        if part.exists():
            shutil.rmtree(part)
        provide_folder(part, disk)
        for source in sorted(backup.rglob("*")):
            target = part / source.relative_to(backup)
            if source.is_dir():
                provide_folder(target, disk)
            elif source.name != MANIFEST:
                _copy_photo(source, target, disk)
    with told("restore the backup"):
        if record.exists():
            disk.rename(record, _free_name(folder))
        disk.rename(part, record)
        disk.sync_folder(folder)
    return verified


def _free_name(folder: Path) -> Path:
    k = 1
    while (folder / f"{RECORD}-before-{k}").exists():
        k += 1
    return folder / f"{RECORD}-before-{k}"


@contextmanager
def _held(database: Path, backup: Path) -> Iterator[None]:
    """Let no program write in a record while its backup is copied beside it."""
    if not database.is_file():
        yield
        return
    with hold(database):
        if database.stat().st_size:
            with (
                suppress(ChainBroken),
                _copy_of(backup) as copy,
                open_store(database, clock=utc_now, read_only=True) as store,
            ):
                _see_that_none_is_lost(store, copy)
        yield


def _copy_of(backup: Path) -> Store:
    return open_store(backup / DATABASE, clock=utc_now, read_only=True)


def _see_that_none_is_lost(store: Store, copy: Store) -> None:
    """Each chain that is there must be the beginning of the copy's.

    Raises:
        StoreRefused: it is not.
    """
    for project in store.projects():
        there = store.head(project)
        same = copy.digest_at(project, there.seq) if there.seq else there.digest
        if same != there.digest:
            more = there.seq - copy.head(project).seq
            raise StoreRefused(
                asked="restore a backup over this record",
                found=f"{more} facts that the backup has not"
                if more > 0
                else f"another fact at place {there.seq} than in the backup",
                allowed="a record that is empty or the beginning of the backup",
                do="move the folder record aside yourself if you mean it",
            )


def integrity(database: Path) -> list[str]:
    """What SQLite itself says of a file; `ok` alone when it is whole."""
    with closing(sqlite3.connect(database)) as pages:
        return [line for (line,) in pages.execute("PRAGMA integrity_check")]

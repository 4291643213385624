"""What must hold of a record after anything that may happen to it."""

from __future__ import annotations

import hashlib
import sqlite3
from collections.abc import Iterable
from contextlib import closing
from pathlib import Path

from rivetwright.record import chain
from rivetwright.record.backup import verify
from rivetwright.record.chain import Entry
from rivetwright.record.files import PART_WRITTEN
from rivetwright.record.kinds import PhotoTaken
from tests.fault.made_facts import PROJECT, fact_id, made_fact
from tests.fault.opened import open_store

Promise = tuple[str, str]


def check_record(folder: Path, promised: Iterable[Promise]) -> int:
    """See that a record opens and holds all that was acknowledged.

    Returns:
        How many facts it holds.
    """
    place = folder / "record" / "record.sqlite"
    with open_store(place) as store:
        entries = list(store.entries(PROJECT))
        assert chain.verify(entries) == store.head(PROJECT)
        with closing(sqlite3.connect(place)) as pages:
            assert pages.execute("pragma integrity_check").fetchall() == [("ok",)]
    check_promises(entries, promised)
    check_photos(folder / "record" / "photos", entries)
    return len(entries)


def check_promises(entries: Iterable[Entry], promised: Iterable[Promise]) -> None:
    """See that every acknowledged fact is there once, as it was made."""
    kept = [entry.fact for entry in entries]
    by_id = {fact.id: fact for fact in kept}
    assert len(by_id) == len(kept)
    for what, named in promised:
        if what == "fact":
            device, _, number = named.partition(":")
            found = by_id.get(fact_id(device, int(number)))
            assert found, f"acknowledged and lost: {named}"
            made = made_fact(device, int(number), body=found.body, saw=found.saw)
            assert found == made


def check_photos(photos: Path, entries: Iterable[Entry]) -> None:
    """See that every photo that a fact speaks of is there, and whole."""
    for entry in entries:
        if isinstance(entry.fact.body, PhotoTaken):
            named = entry.fact.body.digest
            (path,) = (photos / named[:2]).glob(f"{named}.*")
            content = path.read_bytes()
            assert hashlib.sha256(content).hexdigest() == named
            assert len(content) == entry.fact.body.byte_count


def check_backups(folder: Path, promised: Iterable[Promise]) -> None:
    """See that every backup that was told is there, and every one that is there whole.

    One that is still being made has another ending.
    """
    there = {path.name for path in folder.glob("*") if path.suffix != PART_WRITTEN}
    facts = {name: verify(folder / name).facts for name in there}
    for what, named in promised:
        if what == "backup":
            count, _, path = named.partition(" ")
            assert facts[Path(path).name] == int(count)

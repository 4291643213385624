"""Several programs at one record, and its way into a backup and back."""

from __future__ import annotations

import threading
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest

from rivetwright.errors import StoreRefused
from rivetwright.record.backup import back_up, refold, restore, verify
from rivetwright.record.chain import Head
from rivetwright.record.chain import verify as follow_chain
from rivetwright.record.devices import MARKS, Doors
from rivetwright.record.store import Store, open_store
from tests.contract.conftest import Clock
from tests.contract.test_store import PROJECT, Open, fact

WRITERS, FACTS_EACH = 3, 30


def test_second_program_writes_in_line_or_not_at_all(
    opened: Open, place: str | Path
) -> None:
    """SQLite refuses it; PostgreSQL puts the facts of all in one chain, no gap seen."""
    first = opened()
    first.append([fact(1)])
    if isinstance(place, Path):
        with pytest.raises(StoreRefused) as refused:
            opened()
        assert "another program" in refused.value.found
        assert first.append([fact(2)])[0].seq == 2
        return
    stores = [opened() for _ in range(WRITERS)]
    everything = 1 + WRITERS * FACTS_EACH

    def write(number: int) -> None:
        for k in range(FACTS_EACH):
            one = fact(1000 * (number + 1) + k, f"phone-{number}")
            stores[number].append([one])

    def look() -> None:
        while len(list(first.entries(PROJECT))) < everything and not over.is_set():
            continue

    over = threading.Event()
    with ThreadPoolExecutor(WRITERS + 1) as threads:
        looking = threads.submit(look)
        writing = [threads.submit(write, number) for number in range(WRITERS)]
        try:
            for one in writing:
                one.result()
        finally:
            over.set()
        looking.result()
    entries = list(first.entries(PROJECT))
    assert follow_chain(entries) == first.head(PROJECT)
    assert len(entries) == everything


def test_record_is_read_while_another_program_writes(
    opened: Open, place: str | Path
) -> None:
    """What was committed is seen at once; nothing can be written by the reader."""
    writer = opened()
    writer.append([fact(1)])
    with open_store(place, clock=Clock(), read_only=True) as reader:
        writer.append([fact(2)])
        assert reader.head(PROJECT) == writer.head(PROJECT)
        assert len(list(reader.entries(PROJECT))) == 2
        with pytest.raises(StoreRefused):
            reader.append([fact(3)])


def test_longest_names_are_kept(opened: Open) -> None:
    """As long as a fact may have them, in letters of four bytes."""
    long = "\N{ROCKET}" * 200
    store = opened()
    one = fact(1, long, project=long, assembly=long, person=long)
    store.append([one])
    assert [entry.fact for entry in store.entries(long)] == [one]


def test_more_facts_at_once_than_a_statement_takes(opened: Open) -> None:
    """33,000 facts of a day offline, sent in one go, then again."""
    store = opened()
    many = [fact(k) for k in range(1, 33_001)]
    assert store.append(many)[-1].seq == 33_000
    assert not any(one.is_new for one in store.append(many))


@pytest.fixture
def kept(opened: Open, place: str | Path, tmp_path: Path) -> Store:
    """A store with facts, a document and a paired device."""
    store = opened()
    store.append([fact(k) for k in range(1, 10)])
    store.append([fact(1, project="another")])
    store.put_document("text/plain", b"a plan")
    Doors(store).add("phone", "builder", MARKS)
    return store


def copied(place: str | Path, folder: Path) -> Path:
    """A backup of the record at a place."""
    address = place if isinstance(place, str) else ""
    return back_up(folder, folder / "safe", database=address)


def put_back(backup: Path, place: str | Path, folder: Path) -> None:
    """The backup in the place of the record."""
    restore(backup, folder, database=place if isinstance(place, str) else "")


def test_backup_goes_from_either_database_into_either(
    kept: Store,
    place: str | Path,
    tmp_path: Path,
    new_database: Callable[[], str],
) -> None:
    """Same chains, same document, and no device; put back twice it is there once."""
    heads = {name: kept.head(name) for name in (PROJECT, "another")}
    (document,) = {kept.put_document("text/plain", b"a plan")}
    backup = copied(place, tmp_path)
    assert verify(backup).heads == heads
    file = tmp_path / "other" / "record" / "record.sqlite"
    for target in (file, new_database()):
        for _ in range(2):
            put_back(backup, target, tmp_path / "other")
        with open_store(target, clock=Clock()) as there:
            assert {name: there.head(name) for name in heads} == heads
            assert there.document(document) == ("text/plain", b"a plan")
            assert Doors(there).devices() == []


def test_backup_is_not_put_over_another_chain(
    kept: Store, place: str | Path, tmp_path: Path, opened: Open
) -> None:
    """One that went on, and one as long that says something else."""
    backup = copied(place, tmp_path)
    kept.append([fact(10)])
    head = kept.head(PROJECT)
    kept.close()
    with pytest.raises(StoreRefused) as refused:
        put_back(backup, place, tmp_path)
    assert "1 facts that the backup has not" in refused.value.found
    longer = opened()
    assert longer.head(PROJECT) == head
    with open_store(tmp_path / "rival.sqlite", clock=Clock()) as rival:
        rival.append([fact(k, "tablet") for k in range(1, 20)])
    longer.close()
    made = tmp_path / "rival" / "record"
    made.mkdir(parents=True)
    (tmp_path / "rival.sqlite").rename(made / "record.sqlite")
    backup = back_up(made.parent, tmp_path / "safe")
    with pytest.raises(StoreRefused) as refused:
        put_back(backup, place, tmp_path)
    assert "another fact at place" in refused.value.found
    assert opened().head(PROJECT) == head


def test_snapshots_can_be_thrown_away(
    kept: Store, place: str | Path, tmp_path: Path
) -> None:
    """Every one of every project; the facts stay."""
    kept.save_snapshot(PROJECT, Head(3, "a" * 64), "x", b"one")
    kept.save_snapshot("another", Head(1, "b" * 64), "y", b"two")
    head = kept.head(PROJECT)
    kept.close()
    assert refold(place if isinstance(place, str) else tmp_path) == 2
    with open_store(place, clock=Clock(), read_only=True) as again:
        assert again.snapshot_places(PROJECT) == []
        assert again.head(PROJECT) == head

"""Files cut short or with bytes turned: told as such, or every fact is there."""

from __future__ import annotations

import random
import shutil
from dataclasses import dataclass
from pathlib import Path

import pytest

from rivetwright.errors import Refusal
from rivetwright.record import chain
from tests.fault.made_facts import PROJECT, made_facts
from tests.fault.opened import open_store
from tests.fault.refused import is_clear, refusal_of

DEVICE = "phone-one"
FACTS = 150


@dataclass(frozen=True)
class Whole:
    """A record as files: closed in order, or left with its newest facts in the WAL."""

    folder: Path
    stored: tuple[bytes, ...]

    def copied(self, to: Path) -> Path:
        """A copy of its files; returns the place of the record."""
        shutil.rmtree(to, ignore_errors=True)
        shutil.copytree(self.folder, to)
        return to / "record.sqlite"


@pytest.fixture(scope="module")
def closed(tmp_path_factory: pytest.TempPathFactory) -> Whole:
    """A record that was closed: everything is in one file."""
    folder = tmp_path_factory.mktemp("closed")
    with open_store(folder / "record.sqlite") as store:
        for after in range(0, FACTS, 10):
            store.append(made_facts(DEVICE, 10, after=after))
        stored = tuple(entry.stored for entry in store.entries(PROJECT))
    return Whole(folder, stored)


@pytest.fixture(scope="module")
def unclosed(tmp_path_factory: pytest.TempPathFactory) -> Whole:
    """A record as a kill leaves it: the newest facts are in the WAL alone."""
    folder, left = tmp_path_factory.mktemp("open"), tmp_path_factory.mktemp("left")
    with open_store(folder / "record.sqlite") as store:
        for after in range(0, FACTS, 10):
            store.append(made_facts(DEVICE, 10, after=after))
        stored = tuple(entry.stored for entry in store.entries(PROJECT))
        for name in ("record.sqlite", "record.sqlite-wal", "record.sqlite-begun"):
            shutil.copy(folder / name, left / name)
    return Whole(left, stored)


def read_all(place: Path) -> tuple[bytes, ...]:
    """Every entry of a record, after its chain was followed to its head."""
    with open_store(place) as store:
        entries = list(store.entries(PROJECT))
        assert chain.verify(entries) == store.head(PROJECT)
        return tuple(entry.stored for entry in entries)


def told_or_read(place: Path) -> Refusal | tuple[bytes, ...]:
    """What is read, or a clear refusal; nothing else may come out."""
    read: list[tuple[bytes, ...]] = []
    refused = refusal_of(lambda: read.append(read_all(place)))
    assert read or is_clear(refused)
    return refused or read[0]


def test_a_file_cut_short_is_told(closed: Whole, tmp_path: Path) -> None:
    """At any length the refusal says so, the torn file stays as it was found.

    With the whole file put back the record opens as before.
    """
    chance = random.Random("cut short")
    size = (closed.folder / "record.sqlite").stat().st_size
    for length in [
        0,
        1,
        99,
        100,
        4096,
        *(chance.randrange(1, size) for _ in range(20)),
    ]:
        place = closed.copied(tmp_path / "cut")
        content = place.read_bytes()
        place.write_bytes(content[:length])
        assert isinstance(told_or_read(place), Refusal), length
        assert place.read_bytes() == content[:length], length
        place.write_bytes(content)
        assert read_all(place) == closed.stored


def test_turned_bytes_are_told_or_touch_no_fact(closed: Whole, tmp_path: Path) -> None:
    """One byte turned anywhere: a refusal, or exactly the facts that were there."""
    chance, told = random.Random("turned"), 0
    size = (closed.folder / "record.sqlite").stat().st_size
    for _ in range(60):
        place, at = closed.copied(tmp_path / "turned"), chance.randrange(size)
        content = bytearray(place.read_bytes())
        content[at] ^= 1 << chance.randrange(8)
        place.write_bytes(content)
        found = told_or_read(place)
        assert isinstance(found, Refusal) or found == closed.stored, at
        told += isinstance(found, Refusal)
    assert told


def test_a_page_of_noise_is_told_or_touches_no_fact(
    closed: Whole, tmp_path: Path
) -> None:
    """A page overwritten with noise: a refusal, or the facts that were there."""
    chance = random.Random("noise")
    size = (closed.folder / "record.sqlite").stat().st_size
    for page in range(size // 4096):
        place = closed.copied(tmp_path / "noise")
        content = bytearray(place.read_bytes())
        content[page * 4096 : (page + 1) * 4096] = chance.randbytes(4096)
        place.write_bytes(content)
        found = told_or_read(place)
        assert isinstance(found, Refusal) or found == closed.stored, page


def test_a_torn_wal_loses_only_from_where_it_is_torn(
    unclosed: Whole, tmp_path: Path
) -> None:
    """Cut or turned, what stood before that place is read, and the chain holds."""
    chance = random.Random("wal")
    wal = "record.sqlite-wal"
    size = (unclosed.folder / wal).stat().st_size
    lengths = []
    for number in range(30):
        place = unclosed.copied(tmp_path / "wal")
        content, at = (
            bytearray((place.parent / wal).read_bytes()),
            chance.randrange(size),
        )
        if number % 2:
            content[at] ^= 0xFF
        (place.parent / wal).write_bytes(content if number % 2 else content[:at])
        found = told_or_read(place)
        if not isinstance(found, Refusal):
            assert found == unclosed.stored[: len(found)], at
            lengths.append(len(found))
    assert max(lengths) > min(lengths)


def test_a_file_that_is_no_record_is_told(tmp_path: Path) -> None:
    """A picture under the record's name is refused and left as it is."""
    place = tmp_path / "record.sqlite"
    place.write_bytes(b"\xff\xd8\xff\xe0" + bytes(8000))
    before = place.read_bytes()
    assert is_clear(refusal_of(lambda: open_store(place)))
    assert place.read_bytes() == before

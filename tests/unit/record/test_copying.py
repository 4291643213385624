"""A copy of the database is whole, one file, and lets nobody in."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

import pytest

from rivetwright.errors import StoreRefused
from rivetwright.record.copying import copy_database
from rivetwright.record.devices import MARKS, Doors
from rivetwright.record.files import RealFiles
from rivetwright.record.kinds import RivetsSet
from rivetwright.record.store import open_store
from tests.unit.record.made import PROJECT, fact


def clock() -> datetime:
    """One moment."""
    return datetime(2026, 11, 25, 23, tzinfo=UTC)


def test_copy_beside_a_writer_is_one_whole_file(tmp_path: Path) -> None:
    """Facts still in the writer's log are in it; no log lies beside the copy."""
    target = tmp_path / "safe" / "record.sqlite"
    target.parent.mkdir()
    with open_store(tmp_path / "record.sqlite", clock=clock) as store:
        store.append([fact(k, RivetsSet((f"row:{k}",), "BD4-2")) for k in (1, 2)])
        digest = store.put_document("text/yaml", b"plan: 1")
        _, token = Doors(store).add("phone", "builder", MARKS)
        copy_database(tmp_path / "record.sqlite", target, RealFiles())
        there = [entry.stored for entry in store.entries(PROJECT)]
    assert [path.name for path in target.parent.iterdir()] == ["record.sqlite"]
    with open_store(target, clock=clock, read_only=True) as copy:
        assert [entry.stored for entry in copy.entries(PROJECT)] == there
        assert copy.document(digest) == ("text/yaml", b"plan: 1")
        assert Doors(copy).device_of(token) is None
        assert Doors(copy).devices() == []


def test_copy_of_no_record_is_refused(tmp_path: Path) -> None:
    """Nothing is made where nothing is."""
    with pytest.raises(StoreRefused):
        copy_database(tmp_path / "none.sqlite", tmp_path / "copy.sqlite", RealFiles())
    assert list(tmp_path.iterdir()) == []

"""A schema is brought up to date without a byte of a fact changing."""

from __future__ import annotations

from pathlib import Path

import pytest

from rivetwright.errors import StoreRefused
from rivetwright.record import migrate
from rivetwright.record.store import open_store
from rivetwright.record.tables import absent_triggers
from tests.contract.conftest import Clock
from tests.contract.newer import AHEAD, schema_ahead
from tests.contract.test_store import PROJECT, Open, fact


def stored(opened: Open) -> list[bytes]:
    """The bytes of every fact, as an opened store has them."""
    store = opened()
    lines = [entry.stored for entry in store.entries(PROJECT)]
    store.close()
    return lines


def test_upgrade_keeps_every_byte_and_every_guard(
    opened: Open, place: str | Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The table of facts made anew: same bytes, guards there, facts go on."""
    store = opened()
    store.append([fact(k) for k in range(1, 40)])
    store.close()
    before = stored(opened)
    monkeypatch.setattr(migrate, "SCHEMA", schema_ahead(tmp_path))
    assert stored(opened) == before
    store = opened()
    with store.database.reading() as connection:
        assert absent_triggers(connection) == []
        assert migrate.schema_of(connection) == AHEAD
        (column,) = migrate.drift(connection)
    assert "tested" in str(column), "the step's own column is the only difference"
    assert store.append([fact(40)])[0].seq == 40
    store.close()
    if isinstance(place, Path):
        (copy,) = place.parent.glob("record-before-*.sqlite")
        with open_store(copy, clock=Clock(), read_only=True) as older:
            assert [one.stored for one in older.entries(PROJECT)] == before


def test_upgrade_that_breaks_off_changes_nothing(
    opened: Open, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """All of a step or none: the older program opens the record as before."""
    store = opened()
    store.append([fact(1), fact(2)])
    store.close()
    before = stored(opened)
    with monkeypatch.context() as patched:
        patched.setattr(migrate, "SCHEMA", schema_ahead(tmp_path, breaks_off=True))
        with pytest.raises(StoreRefused):
            opened()
    assert stored(opened) == before
    store = opened()
    with store.database.reading() as connection:
        assert migrate.drift(connection) == []
        assert absent_triggers(connection) == []


def test_record_of_a_newer_program_is_left_alone(
    opened: Open, place: str | Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Refused for writing and for reading; the newer program still opens it."""
    ahead = schema_ahead(tmp_path)
    with monkeypatch.context() as patched:
        patched.setattr(migrate, "SCHEMA", ahead)
        store = opened()
        store.append([fact(1)])
        store.close()
    for read_only in (False, True):
        with pytest.raises(StoreRefused) as refused:
            open_store(place, clock=Clock(), read_only=read_only)
        assert AHEAD in refused.value.found
    monkeypatch.setattr(migrate, "SCHEMA", ahead)
    assert len(stored(opened)) == 1


def test_place_without_a_record_is_not_read(place: str | Path, tmp_path: Path) -> None:
    """Looking makes nothing: no file, no table."""
    for _ in range(2):
        with pytest.raises(StoreRefused):
            open_store(place, clock=Clock(), read_only=True)
    assert not list(tmp_path.rglob("*.sqlite"))

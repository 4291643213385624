"""Backups hold everything, verify, and are put back without losing a fact."""

from __future__ import annotations

import io
import json
import sqlite3
from collections.abc import Callable
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path

import pytest
from PIL import Image

from rivetwright.errors import ChainBroken, FactRefused, StoreRefused
from rivetwright.record.backup import MANIFEST, back_up, integrity, restore, verify
from rivetwright.record.devices import MARKS, Doors
from rivetwright.record.files import RealFiles
from rivetwright.record.kinds import PhotoTaken, RivetsSet
from rivetwright.record.photos import (
    PRINT_BYTES_MAX,
    PRINT_SIDE_PX,
    keep_photo,
    photo_path,
    print_copy_path,
)
from rivetwright.record.store import open_store
from tests.unit.record.made import PROJECT, fact


def clock() -> datetime:
    """One moment."""
    return datetime(2026, 11, 25, 23, tzinfo=UTC)


def picture(size: tuple[int, int] = (900, 600)) -> bytes:
    """A picture with enough in it not to shrink to nothing."""
    out = io.BytesIO()
    Image.effect_noise(size, 60).convert("RGB").save(out, "JPEG", quality=95)
    return out.getvalue()


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """An aircraft's folder with three facts and a photo, and a paired device."""
    made = tmp_path / "ostrel"
    stored = keep_photo(made / "record" / "photos", picture(), RealFiles())
    taken = PhotoTaken(stored.digest, stored.media, stored.byte_count)
    with open_store(made / "record" / "record.sqlite", clock=clock) as store:
        store.append([fact(k, RivetsSet((f"row:{k}",), "BD4-2")) for k in (1, 2)])
        store.append([fact(3, taken)])
        Doors(store).add("phone", "builder", MARKS)
    return made


def put(folder: Path, number: int) -> None:
    """One more fact."""
    with open_store(folder / "record" / "record.sqlite", clock=clock) as store:
        store.append([fact(number, RivetsSet((f"row:{number}",), "BD4-2"))])


def test_backup_holds_facts_and_photos_and_verifies(
    folder: Path, tmp_path: Path
) -> None:
    """Three facts, one photo with its copy; the manifest has the chain's digest."""
    made = back_up(folder, tmp_path / "safe", clock=clock)
    found = verify(made)
    assert (found.facts, found.photos) == (3, 1)
    assert found.heads == verify(folder).heads
    said = json.loads((made / MANIFEST).read_text("utf-8"))
    assert said["heads"][PROJECT]["digest"] == found.heads[PROJECT].digest
    assert integrity(made / "record.sqlite") == ["ok"]
    assert len(list((made / "photos").rglob("*.jpg"))) == 2


def test_backup_is_made_beside_a_program_that_writes(
    folder: Path, tmp_path: Path
) -> None:
    """The record is open for writing meanwhile."""
    with open_store(folder / "record" / "record.sqlite", clock=clock) as store:
        made = back_up(folder, tmp_path / "safe", clock=clock)
        store.append([fact(4, RivetsSet(("row:4",), "BD4-2"))])
    assert verify(made).facts == 3


def test_backup_gives_nobody_a_way_in(folder: Path, tmp_path: Path) -> None:
    """Devices are not in it."""
    made = back_up(folder, tmp_path / "safe", clock=clock)
    with closing(sqlite3.connect(made / "record.sqlite")) as copy:
        assert copy.execute("SELECT count(*) FROM devices").fetchone() == (0,)


def test_restored_record_is_the_same(folder: Path, tmp_path: Path) -> None:
    """Into an empty folder, and over a record that is the beginning of it."""
    put(folder, 4)
    made = back_up(folder, tmp_path / "safe", clock=clock)
    empty = tmp_path / "new"
    empty.mkdir()
    for target in (empty, folder):
        restore(made, target)
        assert verify(target).heads == verify(made).heads
    assert (folder / "record-before-1" / "record.sqlite").is_file()


def test_restore_refuses_to_lose_a_fact(folder: Path, tmp_path: Path) -> None:
    """The record went on since the backup: it stays as it is."""
    made = back_up(folder, tmp_path / "safe", clock=clock)
    put(folder, 4)
    with pytest.raises(StoreRefused) as refused:
        restore(made, folder)
    assert "1 facts that the backup has not" in refused.value.found
    assert verify(folder).facts == 4


def test_torn_record_is_replaced_and_kept_aside(folder: Path, tmp_path: Path) -> None:
    """Pages overwritten, or only a stump left: the backup goes in, the file stays."""
    made = back_up(folder, tmp_path / "safe", clock=clock)
    place = folder / "record" / "record.sqlite"
    whole = place.read_bytes()
    for k, torn in enumerate((b"\x00" * len(whole), whole[:100], b""), start=1):
        place.write_bytes(torn)
        restore(made, folder)
        assert verify(folder).heads == verify(made).heads
        aside = folder / f"record-before-{k}" / "record.sqlite"
        assert aside.read_bytes() == torn


def test_record_in_use_is_not_replaced(folder: Path, tmp_path: Path) -> None:
    """The program that writes in it is named, and goes on."""
    made = back_up(folder, tmp_path / "safe", clock=clock)
    with open_store(folder / "record" / "record.sqlite", clock=clock) as store:
        with pytest.raises(StoreRefused) as refused:
            restore(made, folder)
        assert "another program" in refused.value.found
        store.append([fact(4, RivetsSet(("row:4",), "BD4-2"))])
    assert verify(folder).facts == 4


def spoil_photo(made: Path) -> None:
    """Another picture under a photo's name."""
    next((made / "photos").rglob("[0-9a-f]*.jpg")).write_bytes(picture((90, 60)))


def lose_photo(made: Path) -> None:
    """No file where a fact speaks of one."""
    for file in (made / "photos").rglob("*.jpg"):
        file.unlink()


def turn_a_byte(made: Path) -> None:
    """A fact that was altered by hand, past the guards."""
    with closing(sqlite3.connect(made / "record.sqlite")) as pages:
        pages.execute("DROP TRIGGER facts_never_changed")
        pages.execute(
            "UPDATE facts SET stored = CAST(replace(CAST(stored AS TEXT), "
            "'row:2', 'row:9') AS BLOB) WHERE seq = 2"
        )
        pages.commit()


def change_manifest(made: Path) -> None:
    """Another digest written beside it."""
    text = (made / MANIFEST).read_text("utf-8")
    (made / MANIFEST).write_text(text.replace('"position": 3', '"position": 2'))


@pytest.mark.parametrize(
    "spoil", [spoil_photo, lose_photo, turn_a_byte, change_manifest]
)
def test_spoilt_backup_is_found_out_and_not_restored(
    folder: Path, tmp_path: Path, spoil: Callable[[Path], None]
) -> None:
    """Whatever was changed: it is told, and nothing is put back."""
    made = back_up(folder, tmp_path / "safe", clock=clock)
    spoil(made)
    with pytest.raises(ChainBroken):
        verify(made)
    before = verify(folder).heads
    with pytest.raises(ChainBroken):
        restore(made, folder)
    assert verify(folder).heads == before


def test_photo_has_a_small_copy(tmp_path: Path) -> None:
    """At most 1400 pixels and 130 KB, however large the photo."""
    content = picture((3000, 2000))
    stored = keep_photo(tmp_path, content, RealFiles())
    assert stored.path.read_bytes() == content
    assert stored.path == photo_path(tmp_path, stored.digest, "image/jpeg")
    copy = print_copy_path(tmp_path, stored.digest)
    assert copy.stat().st_size <= PRINT_BYTES_MAX
    with Image.open(copy) as small:
        assert max(small.size) <= PRINT_SIDE_PX
    assert keep_photo(tmp_path, content, RealFiles()) == stored


def test_turned_photo_stands_upright_in_the_copy(tmp_path: Path) -> None:
    """A camera held sideways writes that down; the copy is turned."""
    tags = Image.Exif()
    tags[0x0112] = 6
    out = io.BytesIO()
    Image.new("RGB", (400, 200), "white").save(out, "JPEG", exif=tags)
    stored = keep_photo(tmp_path, out.getvalue(), RealFiles())
    with Image.open(stored.print_path) as copy:
        assert copy.size == (200, 400)


def test_digest_that_is_none_leads_nowhere(tmp_path: Path) -> None:
    """No path can be smuggled in."""
    for wrong in ("../../etc", "A" * 64, "", "g" * 64):
        with pytest.raises(FactRefused):
            photo_path(tmp_path, wrong, "image/jpeg")

"""A disk that falls sick while a photo or a backup is written to it."""

from __future__ import annotations

from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest

from rivetwright.record.backup import back_up, verify
from rivetwright.record.photos import keep_photo
from tests.fault.jobs import made_picture
from tests.fault.made_facts import PROJECT, made_facts
from tests.fault.noted_layer import NotedFiles, noted_disk
from tests.fault.opened import open_store
from tests.fault.refused import is_clear, refusal_of
from tests.fault.sqlite_shim import Shim, let_pass
from tests.fault.test_sick_disks import SICK, nth

Sick = tuple[Shim, NotedFiles]


@pytest.fixture
def disk() -> Iterator[Sick]:
    """A disk that can fall sick."""
    with noted_disk() as both:
        yield both


def left_in(folder: Path) -> list[str]:
    """Every file below a folder."""
    return sorted(path.name for path in folder.rglob("*") if path.is_file())


@pytest.mark.parametrize("sickness", list(SICK))
@pytest.mark.parametrize("number", [1, 2])
def test_a_photo_on_a_sick_disk_is_refused_and_leaves_nothing(
    sickness: str, number: int, tmp_path: Path, disk: Sick
) -> None:
    """At its first or its second fault: no half photo stays; once well it is kept."""
    shim, files = disk
    picture = made_picture("phone-one", 1)
    shim.judge = nth(number, SICK[sickness])
    assert is_clear(refusal_of(lambda: keep_photo(tmp_path, picture, files)))
    assert not [name for name in left_in(tmp_path) if name.endswith(".part")]
    shim.judge = let_pass
    photo = keep_photo(tmp_path, picture, files)
    assert photo.path.read_bytes() == picture
    assert left_in(tmp_path) == sorted((photo.path.name, photo.print_path.name))


@pytest.mark.parametrize("sickness", list(SICK))
@pytest.mark.parametrize("number", [1, 3, 5])
def test_a_backup_on_a_sick_disk_is_refused_and_leaves_nothing(
    sickness: str, number: int, tmp_path: Path, disk: Sick
) -> None:
    """A backup that could not be made takes no room; once well it is made whole."""
    shim, files = disk
    into = tmp_path / "backups"
    into.mkdir()
    with open_store(tmp_path / "record" / "record.sqlite") as store:
        store.append(made_facts("phone-one", 20))
        shim.judge = nth(number, SICK[sickness])
        refused = refusal_of(lambda: back_up(tmp_path, into, files=files))
        assert is_clear(refused)
        assert left_in(into) == []
        shim.judge = let_pass
        assert verify(back_up(tmp_path, into, files=files)).facts == 20
        store.append(made_facts("phone-one", 1, after=20))
        assert store.head(PROJECT).seq == 21


def test_the_same_photo_sent_by_many_at_once_is_one_file(tmp_path: Path) -> None:
    """Eight senders of one photo, as when answers are lost: each is told it is kept."""
    picture = made_picture("phone-one", 2)
    with noted_disk() as (_, files), ThreadPoolExecutor(8) as senders:
        kept = list(
            senders.map(lambda _: keep_photo(tmp_path, picture, files), range(8))
        )
    assert len({photo.digest for photo in kept}) == 1
    assert kept[0].path.read_bytes() == picture
    assert left_in(tmp_path) == sorted((kept[0].path.name, kept[0].print_path.name))

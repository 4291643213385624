"""Files are written whole or not at all, and are on the disk when that is told."""

from __future__ import annotations

import errno
from pathlib import Path

import pytest

from rivetwright.errors import StoreRefused
from rivetwright.record.files import RealFiles, provide_folder, write_for_good


class Noted(RealFiles):
    """The real disk, with each step written down; one step may go wrong."""

    def __init__(self, breaks: str = "") -> None:
        self.steps: list[tuple[str, str]] = []
        self.breaks = breaks

    def _note(self, step: str, path: Path) -> None:
        self.steps.append((step, path.name))
        if step == self.breaks:
            raise OSError(errno.ENOSPC, "No space left on device")

    def write_new(self, path: Path, content: bytes) -> None:
        """Write a file that is not there yet."""
        super().write_new(path, content[: len(content) // 2])
        self._note("write", path)
        path.write_bytes(content)

    def sync(self, path: Path) -> None:
        """Wait for a file."""
        self._note("sync", path)
        super().sync(path)

    def rename(self, old: Path, new: Path) -> None:
        """Give a file another name."""
        self._note("rename", new)
        super().rename(old, new)

    def make_folder(self, path: Path) -> None:
        """Make a folder."""
        self._note("folder", path)
        super().make_folder(path)

    def sync_folder(self, path: Path) -> None:
        """Wait for names."""
        self._note("names", path)
        super().sync_folder(path)


def test_content_is_on_the_disk_before_its_name(tmp_path: Path) -> None:
    """Write, sync, rename, sync the names: in this order, under a name of its own."""
    disk = Noted()
    write_for_good(tmp_path / "a.txt", b"rivet", disk)
    assert disk.steps[:3] == [
        ("write", "a.txt.part"),
        ("sync", "a.txt.part"),
        ("rename", "a.txt"),
    ]
    assert disk.steps[3] == ("names", tmp_path.name)
    assert (tmp_path / "a.txt").read_bytes() == b"rivet"


def test_made_folders_are_on_the_disk_too(tmp_path: Path) -> None:
    """Each new folder is followed by syncing the one it stands in."""
    disk = Noted()
    provide_folder(tmp_path / "record" / "photos", disk)
    assert disk.steps == [
        ("folder", "record"),
        ("names", tmp_path.name),
        ("folder", "photos"),
        ("names", "record"),
    ]


@pytest.mark.parametrize("breaks", ["write", "sync", "rename", "folder"])
def test_full_disk_leaves_no_half_file(tmp_path: Path, breaks: str) -> None:
    """Whatever step goes wrong: refused, the old content stands, no part is left."""
    old = tmp_path / "b.txt"
    old.write_bytes(b"old")
    target = tmp_path / "new" / "a.txt" if breaks == "folder" else old
    with pytest.raises(StoreRefused) as refused:
        write_for_good(target, b"rivet", Noted(breaks))
    assert refused.value.found == "No space left on device"
    assert "5 bytes" in refused.value.allowed
    assert [path.name for path in tmp_path.iterdir()] == ["b.txt"]
    assert old.read_bytes() == b"old"


def test_part_left_by_a_killed_program_is_written_anew(tmp_path: Path) -> None:
    """Half a file from before is not in the way and not in the result."""
    (tmp_path / "a.txt.part").write_bytes(b"half of something longer")
    write_for_good(tmp_path / "a.txt", b"rivet", RealFiles())
    assert (tmp_path / "a.txt").read_bytes() == b"rivet"
    assert [path.name for path in tmp_path.iterdir()] == ["a.txt"]

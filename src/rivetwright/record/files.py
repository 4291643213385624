"""Writing files so that they are still there after the power fails.

A file is written under another name, synced, renamed, and its folder synced; only
then does a fact speak of it. Everything that writes files takes a `FileLayer`, so
that a test can stand in for a disk that loses what was not synced.
"""

from __future__ import annotations

import os
import shutil
from contextlib import suppress
from pathlib import Path
from threading import Lock
from typing import Protocol

from rivetwright.errors import StoreRefused

PART_WRITTEN = ".part"
# The same photo sent twice at once must not be written by two into one part.
_ONE_AT_A_TIME = Lock()


class FileLayer(Protocol):
    """What the record needs of a disk."""

    def write_new(self, path: Path, content: bytes) -> None:
        """Write a file that is not there yet."""

    def copy_new(self, source: Path, path: Path) -> None:
        """Copy a file to one that is not there yet."""

    def sync(self, path: Path) -> None:
        """Wait until a file's content is on the disk."""

    def rename(self, old: Path, new: Path) -> None:
        """Give a file another name in one go."""

    def make_folder(self, path: Path) -> None:
        """Make a folder whose parent is there; nothing happens where it is."""

    def sync_folder(self, path: Path) -> None:
        """Wait until the names in a folder are on the disk."""

    def remove(self, path: Path) -> None:
        """Remove a file."""


class RealFiles:
    """The disk as it is."""

    def write_new(self, path: Path, content: bytes) -> None:
        """Write a file that is not there yet."""
        with path.open("xb") as file:
            file.write(content)

    def copy_new(self, source: Path, path: Path) -> None:
        """Copy a file to one that is not there yet."""
        with source.open("rb") as old, path.open("xb") as new:
            shutil.copyfileobj(old, new)

    def sync(self, path: Path) -> None:
        """Wait until a file's content is on the disk."""
        with path.open("rb+") as file:
            os.fsync(file.fileno())

    def rename(self, old: Path, new: Path) -> None:
        """Give a file another name in one go."""
        old.replace(new)

    def make_folder(self, path: Path) -> None:
        """Make a folder whose parent is there; nothing happens where it is."""
        path.mkdir(exist_ok=True)

    def sync_folder(self, path: Path) -> None:
        """Wait until the names in a folder are on the disk."""
        if os.name == "nt":  # a folder cannot be opened there; renames are journalled
            return
        handle = os.open(path, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)

    def remove(self, path: Path) -> None:
        """Remove a file."""
        path.unlink()


def provide_folder(folder: Path, files: FileLayer) -> None:
    """See to it that a folder is there for good, its parents too."""
    if folder.is_dir():
        return
    provide_folder(folder.parent, files)
    files.make_folder(folder)
    files.sync_folder(folder.parent)


def write_for_good(path: Path, content: bytes, files: FileLayer) -> None:
    """Write a file whole or not at all; on the disk when this returns.

    Raises:
        StoreRefused: the disk is full, read-only or at fault.
    """
    part = path.with_name(path.name + PART_WRITTEN)
    try:
        with _ONE_AT_A_TIME:
            provide_folder(path.parent, files)
            if part.exists():
                files.remove(part)
            files.write_new(part, content)
            files.sync(part)
            files.rename(part, path)
            sync_names(path, files)
    except OSError as problem:
        with suppress(OSError):
            files.remove(part)
        raise StoreRefused(
            asked=f"write {path.name}",
            found=problem.strerror or str(problem),
            allowed=f"a disk with room for {len(content)} bytes, that can be written",
            do="make room, or mend the disk, then send it again; nothing that was "
            "kept is lost",
        ) from problem


def sync_names(path: Path, files: FileLayer) -> None:
    """Wait until a file's name, and that of its folder, are on the disk.

    Both may be there and yet not on the disk: a process may have been killed just
    after it made them.
    """
    files.sync_folder(path.parent)
    files.sync_folder(path.parent.parent)

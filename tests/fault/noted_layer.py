"""Files as the product writes them, with every step shown to a judge first."""

from __future__ import annotations

import errno
import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from unittest.mock import patch

from rivetwright.record import database
from rivetwright.record.files import RealFiles
from tests.fault.events import (
    Event,
    FolderMade,
    FolderSynced,
    Opened,
    Removed,
    Renamed,
    Synced,
    Written,
)
from tests.fault.sqlite_shim import (
    FINE,
    FULL,
    READ_ONLY,
    Judge,
    Shim,
    let_pass,
    noted_files,
)

_NUMBERS = {FULL: errno.ENOSPC, READ_ONLY: errno.EROFS}


class NotedFiles(RealFiles):
    """The real files, but nothing waits for the disk and the judge may refuse.

    A refused write leaves half of the file, as a full disk does.
    """

    def __init__(self, judge: Judge) -> None:
        self._judge = judge

    def _ask(self, event: Event, path: Path) -> None:
        answer = self._judge(event)
        if answer != FINE:
            number = _NUMBERS.get(answer, errno.EIO)
            raise OSError(number, os.strerror(number), str(path))

    def write_new(self, path: Path, content: bytes) -> None:
        """Write a file that is not there yet."""
        self._ask(Opened(real(path), True), path)
        try:
            self._ask(Written(real(path), 0, content), path)
        except OSError:
            super().write_new(path, content[: len(content) // 2])
            raise
        super().write_new(path, content)

    def copy_new(self, source: Path, path: Path) -> None:
        """Copy a file to one that is not there yet."""
        self.write_new(path, source.read_bytes())

    def sync(self, path: Path) -> None:
        """Note that a file's content was to be forced to disk."""
        self._ask(Synced(real(path)), path)

    def rename(self, old: Path, new: Path) -> None:
        """Give a file another name."""
        self._ask(Renamed(real(old), real(new)), old)
        super().rename(old, new)

    def make_folder(self, path: Path) -> None:
        """Make a folder."""
        if not path.is_dir():
            self._ask(FolderMade(real(path)), path)
        super().make_folder(path)

    def sync_folder(self, path: Path) -> None:
        """Note that the names in a folder were to be forced to disk."""
        self._ask(FolderSynced(os.path.realpath(path)), path)

    def remove(self, path: Path) -> None:
        """Remove a file."""
        self._ask(Removed(real(path)), path)
        super().remove(path)


def real(path: Path) -> str:
    """A path as SQLite writes it; the file itself may not be there yet."""
    return os.path.join(os.path.realpath(path.parent), path.name)


def is_on(event: Event, *names: str) -> bool:
    """Whether an event is about a file with such a word in its path."""
    return any(name in getattr(event, "path", "") for name in names)


@contextmanager
def noted_disk(judge: Judge = let_pass) -> Iterator[tuple[Shim, NotedFiles]]:
    """Have SQLite and the record's own files go through one list of events."""
    with noted_files(judge) as shim:
        files = NotedFiles(shim.ask)
        with patch.object(database, "RealFiles", lambda: files):
            yield shim, files

"""What a disk would hold after the power went: a model fed with events.

It grants nothing that the rules for files do not promise. Content is there once the
file was synced, a name once its folder was. Everything else may be there or not,
in part and in any order; only the names in one folder keep theirs.
"""

from __future__ import annotations

import os
import random
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from pathlib import Path

from tests.fault.events import (
    Acknowledged,
    Event,
    FolderMade,
    FolderSynced,
    Opened,
    Removed,
    Renamed,
    Synced,
    Truncated,
    Written,
)

SECTOR = 512


@dataclass
class FileOnDisk:
    """One file: what is surely there, and what was done since its last sync."""

    durable: bytearray = field(default_factory=bytearray)
    waiting: list[Written | Truncated] = field(default_factory=list)

    def sync(self) -> None:
        """What waited is there now."""
        for one in self.waiting:
            _do(self.durable, one)
        self.waiting.clear()

    def after(self, survivors: Iterable[Written | Truncated]) -> bytes:
        """Its content where these of the waiting came through."""
        content = bytearray(self.durable)
        for one in survivors:
            _do(content, one)
        return bytes(content)


def _do(content: bytearray, one: Written | Truncated) -> None:
    if isinstance(one, Truncated):
        del content[one.length :]
        content.extend(bytes(one.length - len(content)))
        return
    content.extend(bytes(max(one.at - len(content), 0)))
    content[one.at : one.at + len(one.content)] = one.content


Names = dict[str, FileOnDisk | None]  # None: a folder
NameEvent = Opened | FolderMade | Renamed | Removed


class Disk:
    """The files under one folder, as they stand and as they would be found."""

    def __init__(self, folder: Path) -> None:
        self.folder = os.path.realpath(folder)
        self.names: Names = {self.folder: None}
        for path in sorted(Path(self.folder).rglob("*")):
            is_folder = path.is_dir()
            content = b"" if is_folder else path.read_bytes()
            self.names[str(path)] = None if is_folder else _durable(content)
        self.durable_names: Names = dict(self.names)
        self.waiting_names: dict[str, list[tuple[NameEvent, FileOnDisk | None]]] = {}

    def take(self, event: Event) -> None:
        """Follow one event; what lies outside the folder is not followed."""
        if isinstance(event, Acknowledged) or not self._is_inside(event.path):
            return
        if isinstance(event, Written | Truncated):
            self._file(event.path).waiting.append(event)
        elif isinstance(event, Synced):
            self._file(event.path).sync()
            if event.with_folder:
                self._sync_folder(os.path.dirname(event.path))
        elif isinstance(event, FolderSynced):
            self._sync_folder(event.path)
        else:
            self._take_name(event)

    def _is_inside(self, path: str) -> bool:
        return path == self.folder or path.startswith(self.folder + os.sep)

    def _file(self, path: str) -> FileOnDisk:
        found = self.names[path]
        assert found is not None, f"{path} is a folder"
        return found

    def _take_name(self, event: NameEvent) -> None:
        if isinstance(event, Opened) and event.path in self.names:
            return
        if isinstance(event, FolderMade) and event.path in self.names:
            return
        about = FileOnDisk() if isinstance(event, Opened) else None
        about = self.names[event.path] if isinstance(event, Renamed) else about
        _name(self.names, event, about)
        folder = os.path.dirname(event.path)
        self.waiting_names.setdefault(folder, []).append((event, about))
        if isinstance(event, Removed) and event.with_folder:
            self._sync_folder(folder)

    def _sync_folder(self, folder: str) -> None:
        for event, about in self.waiting_names.pop(folder, ()):
            _name(self.durable_names, event, about)

    def found(self, outage: Outage, chance: random.Random) -> dict[str, bytes]:
        """Content by path below the folder, as the power left it."""
        names = dict(self.durable_names)
        for waiting in self.waiting_names.values():
            for event, about in outage.names(waiting, chance):
                _name(names, event, about)
        left = {}
        for path, file in names.items():
            if file is not None and self._is_reached(path, names):
                survivors = outage.content(file.waiting, chance)
                left[os.path.relpath(path, self.folder)] = file.after(survivors)
        return left

    def _is_reached(self, path: str, names: Names) -> bool:
        """Whether every folder above has a name that came through."""
        while path != self.folder:
            path = os.path.dirname(path)
            if path not in names:
                return False
        return True

    @property
    def is_quiet(self) -> bool:
        """Whether nothing waits for a sync."""
        files = [one for one in self.names.values() if one is not None]
        return not any(self.waiting_names.values()) and not any(
            one.waiting for one in files
        )


def _durable(content: bytes) -> FileOnDisk:
    return FileOnDisk(bytearray(content))


def _name(names: Names, event: NameEvent, about: FileOnDisk | None) -> None:
    """Do to a folder's names what an event says."""
    if isinstance(event, Removed):
        names.pop(event.path, None)
    elif isinstance(event, Renamed):
        names.pop(event.path, None)
        names[event.new] = about
    else:
        names[event.path] = about


Waiting = list[Written | Truncated]
WaitingNames = list[tuple[NameEvent, FileOnDisk | None]]


@dataclass(frozen=True)
class Outage:
    """One way for the power to go: what of the waiting came through."""

    name: str
    content: Callable[[Waiting, random.Random], Waiting]
    names: Callable[[WaitingNames, random.Random], WaitingNames]


def _torn(waiting: Waiting, chance: random.Random) -> Waiting:
    """All but the last write, and of that some whole sectors."""
    if not waiting or isinstance(waiting[-1], Truncated):
        return waiting[:-1]
    last = waiting[-1]
    ends = last.at + len(last.content)
    edges = range(last.at - last.at % SECTOR + SECTOR, ends, SECTOR)
    cut = chance.choice(edges) if edges else last.at
    return [*waiting[:-1], Written(last.path, last.at, last.content[: cut - last.at])]


def _half(waiting: Waiting, chance: random.Random) -> Waiting:
    return [one for one in waiting if chance.random() < 0.5]


def _some_first(waiting: WaitingNames, chance: random.Random) -> WaitingNames:
    return waiting[: chance.randint(0, len(waiting))]


OUTAGES = (
    Outage("nothing unsynced", lambda waiting, _: [], lambda waiting, _: []),
    Outage("a random half", _half, _some_first),
    Outage("the last write torn", _torn, lambda waiting, _: waiting),
)

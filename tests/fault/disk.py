"""What a disk would hold after the power went: a model fed with events.

It grants nothing that the rules for files do not promise. Content is there once the
file was synced, a name once its folder was. Everything else may be there or not,
in part and in any order; only the names in one folder keep theirs.
"""

from __future__ import annotations

import os
import random
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field
from pathlib import Path

from tests.fault.events import (
    Acknowledged,
    Dropped,
    Event,
    FolderMade,
    FolderSynced,
    Opened,
    Read,
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


# What was done to names in one go: each with what it names since then, or nothing.
NameChange = tuple[tuple[str, "FileOnDisk | FolderOnDisk | None"], ...]


@dataclass
class FolderOnDisk:
    """One folder: its names as they stand, and as they surely are on the disk."""

    names: dict[str, FileOnDisk | FolderOnDisk] = field(default_factory=dict)
    durable: dict[str, FileOnDisk | FolderOnDisk] = field(default_factory=dict)
    waiting: list[NameChange] = field(default_factory=list)

    def change(self, *change: tuple[str, FileOnDisk | FolderOnDisk | None]) -> None:
        """Give or take names in one go."""
        _rename(self.names, change)
        self.waiting.append(change)

    def sync(self) -> None:
        """What waited is there now."""
        for change in self.waiting:
            _rename(self.durable, change)
        self.waiting.clear()

    @property
    def is_quiet(self) -> bool:
        """Whether nothing in it waits for a sync, however deep."""
        return not self.waiting and all(
            one.is_quiet if isinstance(one, FolderOnDisk) else not one.waiting
            for one in self.names.values()
        )


def _rename(names: dict[str, FileOnDisk | FolderOnDisk], change: NameChange) -> None:
    for name, named in change:
        names.pop(name, None)
        if named is not None:
            names[name] = named


class Disk:
    """The files under one folder, as they stand and as they would be found."""

    def __init__(self, folder: Path) -> None:
        self._path = os.path.realpath(folder)
        self._top = _as_found(Path(self._path))

    def take(self, event: Event) -> None:
        """Follow one event; what lies outside the folder is not followed."""
        if isinstance(event, Acknowledged | Read) or not self._is_inside(event.path):
            return
        if isinstance(event, FolderSynced):
            self._folder(event.path).sync()
        elif isinstance(event, Written | Truncated | Synced | Dropped):
            self._take_content(event)
        else:
            self._take_name(event)

    def _take_content(self, event: Written | Truncated | Synced | Dropped) -> None:
        above, name = self._above(event.path)
        file = above.names[name]
        assert isinstance(file, FileOnDisk)
        if isinstance(event, Written | Truncated):
            file.waiting.append(event)
        elif isinstance(event, Dropped):
            file.waiting.clear()
        else:
            file.sync()
            if event.with_folder:
                above.sync()

    def _take_name(self, event: Opened | FolderMade | Renamed | Removed) -> None:
        above, name = self._above(event.path)
        if isinstance(event, Removed):
            above.change((name, None))
            if event.with_folder:
                above.sync()
        elif isinstance(event, Renamed):
            beside, new = self._above(event.new)
            assert beside is above, "a rename from folder to folder is not followed"
            above.change((name, None), (new, above.names[name]))
        elif name not in above.names:
            is_file = isinstance(event, Opened)
            above.change((name, FileOnDisk() if is_file else FolderOnDisk()))

    def _is_inside(self, path: str) -> bool:
        return path == self._path or path.startswith(self._path + os.sep)

    def _folder(self, path: str) -> FolderOnDisk:
        at = self._top
        for name in Path(path).relative_to(self._path).parts:
            below = at.names[name]
            assert isinstance(below, FolderOnDisk), f"{path} is no folder"
            at = below
        return at

    def _above(self, path: str) -> tuple[FolderOnDisk, str]:
        return self._folder(os.path.dirname(path)), os.path.basename(path)

    def found(self, outage: Outage, chance: random.Random) -> dict[str, bytes]:
        """Content by path below the folder, as the power left it."""
        return dict(_left(self._top, "", outage, chance))

    @property
    def is_quiet(self) -> bool:
        """Whether nothing waits for a sync."""
        return self._top.is_quiet


def _as_found(folder: Path) -> FolderOnDisk:
    """A folder that was there before the first event: all of it is on the disk."""
    names: dict[str, FileOnDisk | FolderOnDisk] = {
        one.name: _as_found(one)
        if one.is_dir()
        else FileOnDisk(bytearray(one.read_bytes()))
        for one in sorted(folder.iterdir())
    }
    return FolderOnDisk(dict(names), dict(names))


def _left(
    folder: FolderOnDisk, within: str, outage: Outage, chance: random.Random
) -> Iterator[tuple[str, bytes]]:
    names = dict(folder.durable)
    for change in outage.names(folder.waiting, chance):
        _rename(names, change)
    for name, named in names.items():
        if isinstance(named, FolderOnDisk):
            yield from _left(named, f"{within}{name}/", outage, chance)
        else:
            yield within + name, named.after(outage.content(named.waiting, chance))


Waiting = list[Written | Truncated]
WaitingNames = list[NameChange]


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

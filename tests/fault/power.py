"""Every moment of a run at which the power might have gone."""

from __future__ import annotations

import random
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path

from tests.fault.disk import OUTAGES, Disk
from tests.fault.events import (
    Acknowledged,
    Event,
    FolderSynced,
    Removed,
    Renamed,
    Synced,
)

# Just before these the most is at stake, just after an acknowledgement nothing may be.
TURNING = (Synced, FolderSynced, Renamed, Removed)


@dataclass(frozen=True)
class Cut:
    """One power cut: how, after how many events, what was promised, what is left."""

    outage: str
    event_count: int
    promised: tuple[Acknowledged, ...]
    left: dict[str, bytes]

    def __str__(self) -> str:
        """Name the cut so that it can be found again."""
        return f"power gone after {self.event_count} events, {self.outage}"


def cuts(
    disk: Disk,
    events: Iterable[Event],
    chance: random.Random,
    before: Iterable[Acknowledged] = (),
) -> Iterator[Cut]:
    """The cuts at every acknowledgement, and before every sync, rename and removal.

    Args:
        disk: as it was before the first event.
        events: the run.
        chance: chooses what of the unsynced comes through.
        before: what was acknowledged before the first event.
    """
    promised = list(before)
    for count, event in enumerate(events):
        if isinstance(event, TURNING) and not disk.is_quiet:
            yield from _at(disk, count, promised, chance)
        disk.take(event)
        if isinstance(event, Acknowledged):
            promised.append(event)
            yield from _at(disk, count + 1, promised, chance)


def _at(
    disk: Disk, count: int, promised: list[Acknowledged], chance: random.Random
) -> Iterator[Cut]:
    seen: list[dict[str, bytes]] = []
    for outage in OUTAGES:
        left = disk.found(outage, chance)
        if left not in seen:
            seen.append(left)
            yield Cut(outage.name, count, tuple(promised), left)


def restart(cut: Cut, folder: Path) -> Path:
    """An empty folder filled with what a cut left."""
    folder.mkdir(parents=True)
    for name, content in cut.left.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(content)
    return folder

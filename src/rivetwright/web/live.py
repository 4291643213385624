"""News of new facts for every page that listens: looked for and worded once.

Streams run in several threads and event loops: the pages for this machine and those
for the network have one each. They share only what is under the lock here.
"""

from __future__ import annotations

import json
import time
from collections import OrderedDict
from itertools import islice
from threading import Lock

from rivetwright.bench.telling import told
from rivetwright.bench.workshop import Workshop
from rivetwright.record.chain import Entry

LOOK_EVERY_S, LOOK_DATABASE_S = 0.1, 0.5
AT_ONCE, KEPT_EVENTS = 200, 500


class News:
    """Facts of one workshop as server-sent events, each with its position."""

    def __init__(self, workshop: Workshop) -> None:
        self._workshop = workshop
        self._lock = Lock()
        self._position = 0
        self._looked = float("-inf")
        self._events: OrderedDict[int, str] = OrderedDict()

    @property
    def pause_s(self) -> float:
        """Seconds between two looks: the database of several programs is asked less."""
        return LOOK_DATABASE_S if self._workshop.is_shared else LOOK_EVERY_S

    @property
    def is_due(self) -> bool:
        """Whether the last look is so long ago that another one is worth it."""
        return time.monotonic() - self._looked >= self.pause_s

    @property
    def seen(self) -> int:
        """The record's position at the last look."""
        return self._position

    def look(self) -> int:
        """The record's position; however many ask, it is looked up once a pause."""
        with self._lock:
            if self.is_due:
                self._position = self._workshop.position()
                self._looked = time.monotonic()
            return self._position

    def after(self, position: int) -> list[tuple[int, str]]:
        """Positions and events of the next facts after one, some hundreds at most.

        Raises:
            StoreRefused: the record cannot be read.
        """
        last = self.look()
        with self._lock:
            wanted = range(position + 1, min(last, position + AT_ONCE) + 1)
            if all(seq in self._events for seq in wanted):
                return [(seq, self._events[seq]) for seq in wanted]
            fresh = islice(self._workshop.entries(position), len(wanted))
            return [self._worded(entry) for entry in fresh]

    def _worded(self, entry: Entry) -> tuple[int, str]:
        said = json.dumps(told(self._workshop, entry))
        event = f"id: {entry.seq}\nevent: fact\ndata: {said}\n\n"
        self._events[entry.seq] = event
        while len(self._events) > KEPT_EVENTS:
            self._events.popitem(last=False)
        return entry.seq, event

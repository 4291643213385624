"""A copy of the demo with its record begun, and marks as a phone sends them."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest

from rivetwright.bench.keep import MARKS, Answer, Sender, keep
from rivetwright.bench.workshop import Workshop
from rivetwright.model.columns import parse_hole_range
from rivetwright.record.order import write_utc
from tests.worked_once import worked_once  # noqa: F401  (for every test)


@dataclass
class Clock:
    """A clock that stands until it is moved on."""

    now: datetime = datetime(2026, 11, 25, 19, 0, tzinfo=UTC)

    def __call__(self) -> datetime:
        """What it shows."""
        return self.now

    def go_on(self, **spent: float) -> None:
        """Move it on."""
        self.now += timedelta(**spent)


@dataclass
class Phone:
    """A phone in the workshop: it counts its marks and says what it saw."""

    workshop: Workshop
    device: str = "phone-1"
    person: str = "builder"
    role: str = MARKS
    count: int = 0
    marks: list[dict[str, Any]] = field(default_factory=list)

    @property
    def sender(self) -> Sender:
        """Who it is."""
        return Sender(self.device, self.person, self.role)

    def mark(
        self,
        kind: str,
        *holes: str,
        key: str = "aileron",
        saw: int | None = None,
        revision: int = 1,
        **body: Any,
    ) -> dict[str, Any]:
        """The next mark; holes are given by the plan's names."""
        self.count += 1
        ids = self.workshop.hole_ids(key) if key else None
        if holes and ids is not None:
            where = [
                at for name in holes for at in ids.holes.indices(parse_hole_range(name))
            ]
            body["holes"] = list(ids.ranges(where))
        said = {
            "fact": 1,
            "id": f"{self.device}:{self.count}".encode().hex().zfill(32),
            "kind": kind,
            "version": 1,
            "assembly": key,
            "device_seq": self.count,
            "happened": write_utc(self.workshop.clock()),
            "revision": revision,
            "saw": self.workshop.position() if saw is None else saw,
            "body": body,
        }
        self.marks.append(said)
        return said

    def send(self, *marks: dict[str, Any]) -> Answer:
        """Send marks; the answer says what became of each."""
        return keep(self.workshop, self.sender, marks)

    def record(self, kind: str, *holes: str, **said: Any) -> Answer:
        """Make a mark and send it."""
        return self.send(self.mark(kind, *holes, **said))


@pytest.fixture
def clock() -> Clock:
    """An evening in the workshop, at seven."""
    return Clock()


@pytest.fixture
def demo_copy(root: Path, tmp_path: Path) -> Path:
    """The demo's files in a folder of their own."""
    folder = tmp_path / "ostrel"
    shutil.copytree(root / "examples" / "ostrel", folder)
    return folder


@pytest.fixture
def workshop(demo_copy: Path, clock: Clock) -> Iterator[Workshop]:
    """The demo with its record begun."""
    opened = Workshop(demo_copy, clock=clock)
    opened.begin()
    yield opened
    opened.close()


@pytest.fixture
def phone(workshop: Workshop) -> Phone:
    """The builder's phone."""
    return Phone(workshop)

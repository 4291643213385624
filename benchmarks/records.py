"""Made-up records to measure with: invented facts, as many as wanted."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

from rivetwright.record.fact import Fact
from rivetwright.record.kinds import DRILLED, HoleWorked, Kind, RivetsSet
from rivetwright.record.order import write_utc
from rivetwright.record.store import Store, open_store

PROJECT = "7d0c7f3e-0000-4000-8000-000000000001"
BEGIN = datetime(2026, 1, 1, tzinfo=UTC)
ROWS, HOLES_A_ROW = 500, 30
BATCH = 5000


def now() -> datetime:
    """The time on this machine's clock."""
    return datetime.now(UTC)


def made_fact(number: int, device: str = "phone", project: str = PROJECT) -> Fact:
    """The n-th fact of a made-up record: a hole drilled, or a rivet set in it."""
    row, hole = number % ROWS, number // ROWS % HOLES_A_ROW + 1
    holes = (f"row-{row}:{hole}",)
    body: Kind = (
        HoleWorked(holes, DRILLED)
        if number // (ROWS * HOLES_A_ROW) % 2 == 0
        else RivetsSet(holes, "MS20470AD4-4", people=("builder",))
    )
    return Fact(
        id=f"{number:032x}",
        project=project,
        assembly=f"assembly-{row % 20}",
        person="builder",
        device=device,
        device_seq=number + 1,
        happened=write_utc(BEGIN + timedelta(seconds=number)),
        body=body,
        revision=1,
    )


def made_facts(count: int) -> Iterator[list[Fact]]:
    """So many facts, in batches."""
    for first in range(0, count, BATCH):
        last = min(first + BATCH, count)
        yield [made_fact(number) for number in range(first, last)]


def made_record(file: Path, count: int) -> Store:
    """A record of so many facts in a file."""
    store = open_store(file, clock=now)
    for some in made_facts(count):
        store.append(some)
    return store

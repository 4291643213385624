"""Made-up records to measure with: invented facts, as many as wanted."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

from rivetwright.record.fact import Fact
from rivetwright.record.kinds import (
    DEBURRED,
    DIMPLED,
    DRILLED,
    PRIMED,
    HeadChecked,
    HolderMoved,
    HoleWorked,
    Kind,
    NoteWritten,
    RivetRemoved,
    RivetsSet,
)
from rivetwright.record.order import write_utc
from rivetwright.record.store import Store, open_store

PROJECT = "7d0c7f3e-0000-4000-8000-000000000001"
BEGIN = datetime(2026, 1, 1, tzinfo=UTC)
ROWS, HOLES_A_ROW = 500, 30
HOLES = ROWS * HOLES_A_ROW
BATCH = 5000
NOTE_EVERY = 100
CODE = "MS20470AD4-4"


def now() -> datetime:
    """The time on this machine's clock."""
    return datetime.now(UTC)


def life_of(holes: tuple[str, ...]) -> tuple[Kind, ...]:
    """What happens to one hole, over and over: worked, set, looked at, taken out."""
    return (
        *(HoleWorked(holes, work, part) for part in ("501", "502") for work in WORK),
        HolderMoved(holes, True),
        HolderMoved(holes, False),
        RivetsSet(holes, CODE, people=("builder", "friend")),
        HeadChecked(holes, 5.0, 1.6),
        RivetRemoved(holes, "leans"),
    )


WORK = (DRILLED, DEBURRED, DIMPLED, PRIMED)
LIFE = len(life_of(()))


def made_body(number: int) -> Kind:
    """What the n-th fact says; every hundredth is a note."""
    if number % NOTE_EVERY == NOTE_EVERY - 1:
        return NoteWritten(f"made-up note {number}")
    # Notes come out of the count, or they would fall on the same holes each time.
    number -= number // NOTE_EVERY
    row, hole = number % ROWS, number // ROWS % HOLES_A_ROW + 1
    return life_of((f"row-{row}:{hole}",))[number // HOLES % LIFE]


def made_fact(number: int, device: str = "phone", project: str = PROJECT) -> Fact:
    """The n-th fact of a made-up record."""
    return Fact(
        id=f"{number:032x}",
        project=project,
        assembly=f"assembly-{(number - number // NOTE_EVERY) % 20}",
        person="builder",
        device=device,
        device_seq=number + 1,
        happened=write_utc(BEGIN + timedelta(seconds=number)),
        body=made_body(number),
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

"""Facts made for these tests: each follows from its device and number alone."""

from __future__ import annotations

import hashlib
import random
from datetime import UTC, datetime, timedelta

from rivetwright.record.fact import Fact
from rivetwright.record.kinds import (
    DRILLED,
    PRIMED,
    HeadChecked,
    HoleWorked,
    Kind,
    NoteWritten,
    RivetRemoved,
    RivetsSet,
)

PROJECT = "0b7c5d2e-4a61-4a39-9d0e-6f1f5a3c2b11"
ASSEMBLY = "demo-flap"
ROWS = ("row-a", "row-b", "row-c")
HOLES_A_ROW = 40
# Long past on every machine: what is told before it happened counts as of its arrival.
DAY = datetime(2020, 11, 25, 18, 0, tzinfo=UTC)


def utc(when: datetime) -> str:
    """A time as facts write it."""
    return when.strftime("%Y-%m-%dT%H:%M:%S.") + f"{when.microsecond // 1000:03d}Z"


def fact_id(device: str, device_seq: int) -> str:
    """The id of a device's fact: the same however often it is made."""
    return hashlib.sha256(f"{device}:{device_seq}".encode()).hexdigest()[:32]


def made_fact(
    device: str, device_seq: int, *, body: Kind | None = None, saw: int = 0
) -> Fact:
    """A device's fact: an observation ten seconds after the one before it."""
    chance = random.Random(f"{device}:{device_seq}")
    return Fact(
        id=fact_id(device, device_seq),
        project=PROJECT,
        assembly=ASSEMBLY,
        person="Invented Builder",
        device=device,
        device_seq=device_seq,
        happened=utc(DAY + timedelta(seconds=10 * device_seq)),
        body=body or _body(chance),
        revision=1,
        saw=saw,
    )


def _body(chance: random.Random) -> Kind:
    row, first = chance.choice(ROWS), chance.randint(1, HOLES_A_ROW - 4)
    holes = (f"{row}:{first}-{first + chance.randint(0, 4)}",)
    bodies: tuple[Kind, ...] = (
        HoleWorked(holes, chance.choice((DRILLED, PRIMED))),
        RivetsSet(holes, callout="MS20470AD4-4", run_s=chance.randint(20, 200)),
        HeadChecked(holes, width_mm=chance.randint(480, 540) / 100),
        RivetRemoved(holes, reason="leans"),
        NoteWritten(f"note {chance.randint(0, 999)}: ø ½ – \u2028 end", holes),
    )
    return chance.choice(bodies)


def made_facts(device: str, count: int, after: int = 0) -> list[Fact]:
    """The next so many facts of a device."""
    return [made_fact(device, after + number) for number in range(1, count + 1)]

"""Disks that are full, read-only or at fault: a clear refusal, and nothing is lost."""

from __future__ import annotations

import random
from collections.abc import Callable, Iterator
from functools import partial
from pathlib import Path

import pytest

from rivetwright.record import chain
from rivetwright.record.store import Store
from tests.fault.disk import Disk
from tests.fault.events import (
    Acknowledged,
    Event,
    Opened,
    Read,
    Synced,
    Truncated,
    Written,
)
from tests.fault.made_facts import PROJECT, fact_id, made_facts
from tests.fault.opened import open_store
from tests.fault.power import cuts, restart
from tests.fault.refused import is_clear, refusal_of
from tests.fault.sqlite_shim import (
    FINE,
    FULL,
    READ_FAULT,
    READ_ONLY,
    SYNC_FAULT,
    WRITE_FAULT,
    Judge,
    Shim,
    let_pass,
    noted_files,
)

DEVICE = "phone-one"


def on(kinds: tuple[type, ...], answer: int) -> Judge:
    """Answer so to events of these kinds."""

    def judge(event: Event) -> int:
        return answer if isinstance(event, kinds) else FINE

    return judge


SICK = {
    "full": on((Written,), FULL),
    "read-only": on((Written, Truncated, Opened), READ_ONLY),
    "a write at fault": on((Written,), WRITE_FAULT),
    "a sync at fault": on((Synced,), SYNC_FAULT),
}


def kept_ids(store: Store) -> list[str]:
    """The ids in a record, after its chain was followed."""
    entries = list(store.entries(PROJECT))
    assert chain.verify(entries) == store.head(PROJECT)
    return [entry.fact.id for entry in entries]


def ids(first: int, last: int) -> list[str]:
    """The ids of the device's facts from one number to another."""
    return [fact_id(DEVICE, number) for number in range(first, last + 1)]


@pytest.fixture
def shim() -> Iterator[Shim]:
    """The layer that can fall sick."""
    with noted_files() as layer:
        yield layer


@pytest.mark.parametrize("sickness", list(SICK))
def test_a_sick_disk_is_refused_and_the_store_goes_on_after_it(
    sickness: str, tmp_path: Path, shim: Shim
) -> None:
    """What was kept stays, what is refused is not kept; once well, all goes on."""
    with open_store(tmp_path / "record.sqlite") as store:
        store.append(made_facts(DEVICE, 5))
        shim.judge = SICK[sickness]
        assert is_clear(
            refusal_of(lambda: store.append(made_facts(DEVICE, 3, after=5)))
        )
        assert kept_ids(store) == ids(1, 5)
        shim.judge = let_pass
        store.append(made_facts(DEVICE, 3, after=5))
        assert kept_ids(store) == ids(1, 8)
    with open_store(tmp_path / "record.sqlite") as store:
        assert kept_ids(store) == ids(1, 8)


@pytest.mark.parametrize("sickness", ["full", "read-only", "a write at fault"])
def test_a_disk_sick_from_the_start_is_refused_on_opening(
    sickness: str, tmp_path: Path, shim: Shim
) -> None:
    """A record that cannot be begun says so; with a well disk it is begun."""
    shim.judge = SICK[sickness]
    assert is_clear(refusal_of(lambda: open_store(tmp_path / "record.sqlite")))
    shim.judge = let_pass
    with open_store(tmp_path / "record.sqlite") as store:
        store.append(made_facts(DEVICE, 1))
        assert kept_ids(store) == ids(1, 1)


@pytest.mark.parametrize("sickness", ["full", "read-only", "a write at fault"])
def test_a_record_on_a_disk_fallen_sick_is_refused_or_opened(
    sickness: str, tmp_path: Path, shim: Shim
) -> None:
    """One that was there: refused clearly or opened; once well it is all there."""
    place = tmp_path / "record.sqlite"
    with open_store(place) as store:
        store.append(made_facts(DEVICE, 5))
    shim.judge = SICK[sickness]
    opened: list[Store] = []
    refused = refusal_of(lambda: opened.append(open_store(place)))
    assert opened or is_clear(refused)
    for store in opened:
        assert is_clear(
            refusal_of(partial(store.append, made_facts(DEVICE, 1, after=5)))
        )
        store.close()
    shim.judge = let_pass
    with open_store(place) as store:
        assert kept_ids(store) == ids(1, 5)


def test_a_fault_in_reading_is_told_and_reading_goes_on_after_it(
    tmp_path: Path, shim: Shim
) -> None:
    """A page that cannot be read is told; once it can be, every fact is there."""
    place = tmp_path / "record.sqlite"
    with open_store(place) as store:
        store.append(made_facts(DEVICE, 300))
    with open_store(place) as store:
        shim.judge = on((Read,), READ_FAULT)
        assert is_clear(refusal_of(lambda: list(store.entries(PROJECT))))
        shim.judge = let_pass
        assert kept_ids(store) == ids(1, 300)


def nth(number: int, judge: Judge) -> Callable[[Event], int]:
    """Fall sick at the so-manieth event, for that one only."""
    seen = 0

    def asked(event: Event) -> int:
        nonlocal seen
        if judge(event) == FINE:
            return FINE
        seen += 1
        return judge(event) if seen == number else FINE

    return asked


@pytest.mark.parametrize("sickness", list(SICK))
def test_one_fault_at_any_write_loses_nothing_acknowledged(
    sickness: str, tmp_path: Path, shim: Shim
) -> None:
    """A single fault, at each write in turn: refused or kept, never in between."""
    with open_store(tmp_path / "record.sqlite") as store:
        sent, promised = 0, 0
        for number in range(1, 30):
            shim.judge = nth(number % 7 + 1, SICK[sickness])
            sent += 2
            batch = made_facts(DEVICE, sent - promised, after=promised)
            refused = refusal_of(partial(store.append, batch))
            shim.judge = let_pass
            promised = promised if refused else sent
            assert kept_ids(store) == ids(1, promised)
            assert refused is None or is_clear(refused)
        shim.judge = let_pass
        store.append(made_facts(DEVICE, sent - promised, after=promised))
        assert kept_ids(store) == ids(1, sent)
    with open_store(tmp_path / "record.sqlite") as store:
        assert kept_ids(store) == ids(1, sent)


def test_what_a_failed_sync_held_is_never_trusted(tmp_path: Path, shim: Shim) -> None:
    """A system drops what it could not sync: later promises must not rest on it.

    Each third sync fails and its writes are gone for good, though reading still shows
    them. After a power cut at any moment every acknowledged fact is there.
    """
    run = tmp_path / "run"
    run.mkdir()
    disk, sent = Disk(run), 0
    with open_store(run / "record.sqlite") as store:
        for number in range(1, 25):
            shim.judge = (
                nth(1, SICK["a sync at fault"]) if number % 3 == 0 else let_pass
            )
            batch = made_facts(DEVICE, 2, after=sent)
            if refusal_of(partial(store.append, batch)) is None:
                sent += 2
                shim.told.append(Acknowledged("facts", str(sent)))
    for number, cut in enumerate(cuts(disk, list(shim.told), random.Random(3))):
        shim.judge = let_pass
        found = restart(cut, tmp_path / str(number))
        promised = int(cut.promised[-1].named) if cut.promised else 0
        with open_store(found / "record.sqlite") as store:
            assert set(ids(1, promised)) <= set(kept_ids(store)), str(cut)
    assert 24 < sent < 48

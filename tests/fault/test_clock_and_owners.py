"""A clock that was set back, and two servers that want one record."""

from __future__ import annotations

import subprocess
import sys
from datetime import timedelta
from pathlib import Path

import pytest

from rivetwright.errors import StoreRefused
from rivetwright.record import chain
from rivetwright.record.kinds import Counted
from tests.conftest import ROOT
from tests.fault.made_facts import DAY, PROJECT, made_fact, made_facts, utc
from tests.fault.opened import open_store

DEVICE = "phone-one"
COUNTED = Counted("stock", "MS20470AD4-4", 120)


class Clock:
    """A clock that a person can set."""

    def __init__(self) -> None:
        self.now = DAY

    def __call__(self):  # type: ignore[no-untyped-def]
        """What it shows."""
        return self.now


def test_a_clock_set_back_never_turns_arrival_back(tmp_path: Path) -> None:
    """Marks are taken with the last time of arrival; the chain verifies."""
    clock = Clock()
    with open_store(tmp_path / "record.sqlite", clock=clock) as store:
        store.append(made_facts(DEVICE, 1))
        clock.now = DAY - timedelta(hours=3)
        store.append(made_facts(DEVICE, 1, after=1))
        clock.now = DAY + timedelta(seconds=1)
        store.append(made_facts(DEVICE, 1, after=2))
        entries = list(store.entries(PROJECT))
        assert chain.verify(entries) == store.head(PROJECT)
    assert [one.arrived for one in entries] == [
        utc(DAY),
        utc(DAY),
        utc(DAY + timedelta(seconds=1)),
    ]


def test_a_decision_waits_until_the_clock_is_right(tmp_path: Path) -> None:
    """Over two minutes behind, a decision is refused; put right, it is taken."""
    clock = Clock()
    with open_store(tmp_path / "record.sqlite", clock=clock) as store:
        store.append(made_facts(DEVICE, 1))
        decision = made_fact(DEVICE, 2, body=COUNTED, saw=1)
        clock.now = DAY - timedelta(minutes=2, seconds=1)
        with pytest.raises(StoreRefused) as refused:
            store.append([decision])
        assert "clock" in str(refused.value)
        assert store.head(PROJECT).seq == 1
        clock.now = DAY - timedelta(minutes=1, seconds=59)
        (kept,) = store.append([decision])
        assert (kept.seq, kept.is_new) == (2, True)


def test_a_second_server_on_one_record_is_refused(tmp_path: Path) -> None:
    """The second writer is told; the first goes on, and a reader may look."""
    place = tmp_path / "record.sqlite"
    with open_store(place) as first:
        first.append(made_facts(DEVICE, 1))
        with pytest.raises(StoreRefused) as refused:
            open_store(place)
        assert refused.value.do
        with open_store(place, read_only=True) as reader:
            assert reader.head(PROJECT).seq == 1
        first.append(made_facts(DEVICE, 1, after=1))
        assert first.head(PROJECT).seq == 2
    with open_store(place) as second:
        assert second.head(PROJECT).seq == 2


ANOTHER = """
import sys
from rivetwright.errors import StoreRefused
from tests.fault.opened import open_store
try:
    with open_store(sys.argv[1]):
        print("opened")
except StoreRefused as refused:
    print("refused", refused.do)
"""


def in_another_process(place: Path) -> str:
    """What another process is told when it opens a record."""
    asked = [sys.executable, "-c", ANOTHER, str(place)]
    done = subprocess.run(asked, cwd=ROOT, capture_output=True, text=True, check=True)
    return done.stdout


def test_a_second_server_in_another_process_is_refused(tmp_path: Path) -> None:
    """So it is from another process, until the first has closed."""
    place = tmp_path / "record.sqlite"
    with open_store(place) as first:
        first.append(made_facts(DEVICE, 1))
        assert in_another_process(place).startswith("refused ")
    assert in_another_process(place).startswith("opened")

"""The power goes at every acknowledgement and before every sync: nothing is lost."""

from __future__ import annotations

import pickle
import random
import shutil
import sqlite3
from collections.abc import Iterable
from pathlib import Path

import pytest

from rivetwright.errors import RivetwrightError
from rivetwright.record import migrate
from tests.fault.checked import check_backups, check_record
from tests.fault.child import Nursery
from tests.fault.disk import Disk
from tests.fault.events import Acknowledged, Event
from tests.fault.figures import KILLS
from tests.fault.jobs import JOBS, Job
from tests.fault.noted_layer import noted_disk
from tests.fault.older import FACTS, newer_schema, older_record
from tests.fault.power import Cut, cuts, restart

ROUNDS = min(max(KILLS // 60, 1), 4)
ROUNDS_OF = {"marks": 12, "photos": 5, "backups": 3}


def recorded(job: str, folder: Path, after: int, rounds: int) -> list[Event]:
    """Do a job and note all that it did to the disk."""
    with noted_disk() as (shim, files):

        def tell(what: str, named: str) -> None:
            shim.told.append(Acknowledged(what, named))

        JOBS[job](Job(folder, f"device-{job}", tell, files, after, rounds))
        return shim.told


def check_cuts(run: Path, found_cuts: Iterable[Cut]) -> int:
    """See that nothing promised is lost in any of the cuts; return how many."""
    count = 0
    for count, cut in enumerate(found_cuts, start=1):
        promised = [(one.what, one.named) for one in cut.promised]
        found = restart(cut, run.parent / "found")
        try:
            check_record(found, promised)
            check_backups(found / "backups", promised)
        except (AssertionError, RivetwrightError, sqlite3.Error) as lost:
            lost.add_note(str(cut))
            raise
        shutil.rmtree(found)
    return count


@pytest.fixture
def run(tmp_path: Path) -> Path:
    """An empty folder, in which a record can be begun."""
    (tmp_path / "run").mkdir()
    return tmp_path / "run"


@pytest.mark.parametrize("job", list(ROUNDS_OF))
def test_power_gone_at_any_moment_loses_nothing_acknowledged(
    job: str, run: Path
) -> None:
    """From synced writes alone the record opens, verifies and holds what it told.

    So it does with a random half of the unsynced writes, and with the last one torn.
    """
    disk = Disk(run)
    events = recorded(job, run, 0, ROUNDS_OF[job] * ROUNDS)
    counted = check_cuts(run, cuts(disk, events, random.Random(f"power in {job}")))
    assert counted >= sum(isinstance(one, Acknowledged) for one in events) > 0


def test_power_gone_during_an_upgrade_loses_nothing(
    run: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A record half brought to a newer schema is the old one, or the new one."""
    older_record(run, "device-marks")
    disk = Disk(run)
    monkeypatch.setattr(migrate, "SCHEMA", newer_schema(tmp_path))
    before = [Acknowledged("fact", f"device-marks:{n}") for n in range(1, FACTS + 1)]
    events = recorded("marks", run, FACTS, 2)
    counted = check_cuts(run, cuts(disk, events, random.Random("upgrade"), before))
    assert counted > 10


@pytest.mark.parametrize("job", ["marks", "photos"])
def test_power_gone_after_a_kill_loses_nothing_acknowledged(
    job: str, run: Path, children: Nursery
) -> None:
    """What a killed process left unsynced is not relied on by the next one.

    It finds files, folders and facts there that no sync ever forced to disk. Half of
    the kills hit a record as it is made, half one that was there before.
    """
    chance = random.Random(f"power after a kill in {job}")
    for number in sorted(chance.sample(range(1, 90), min(5 * ROUNDS, 89))):
        folder, noted = run.parent / str(number) / "run", run.parent / "events"
        shutil.copytree(run, folder)
        if number % 2:
            older_record(folder, "device-before")
        disk = Disk(folder)
        ended = children.see_through(
            job=job,
            folder=str(folder),
            device=f"device-{job}",
            after=0,
            kill_at_event=number,
            events=str(noted),
        )
        assert ended.was_killed
        before = pickle.loads(noted.read_bytes())
        for event in before:
            disk.take(event)
        after = sum(what == "fact" for what, _ in ended.told)
        told = [one for one in before if isinstance(one, Acknowledged)]
        events = recorded(job, folder, after, rounds=2)
        assert check_cuts(folder, cuts(disk, events, chance, told))

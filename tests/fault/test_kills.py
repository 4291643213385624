"""Killed at random moments, the record loses nothing that it acknowledged."""

from __future__ import annotations

import random
import shutil
from contextlib import closing
from pathlib import Path

import pytest

from rivetwright.bench.workshop import Workshop
from rivetwright.record import migrate
from rivetwright.record.backup import back_up, restore, verify
from rivetwright.record.kinds import Kind
from tests.conftest import ROOT
from tests.fault.checked import check_backups, check_record
from tests.fault.child import Nursery
from tests.fault.figures import KINDS, Figures, Work
from tests.fault.made_facts import made_facts
from tests.fault.older import FACTS, newer_schema, older_record
from tests.fault.opened import open_store


def kill_at(work: Work, chance: random.Random) -> dict[str, float]:
    """A random moment: half by the clock, half at an event of the disk."""
    if chance.random() < 0.5:
        return {"kill_after_s": chance.uniform(0, work.seconds)}
    return {"kill_at_event": chance.randint(1, work.events)}


@pytest.mark.parametrize("job", ["marks", "photos", "backups"])
def test_kills_lose_nothing_acknowledged(
    job: str, tmp_path: Path, children: Nursery
) -> None:
    """After each kill the record opens, verifies, and holds all it acknowledged.

    Several kills hit one record, and each child goes on where the last was killed.
    """
    work, figures = KINDS[job], Figures(job)
    chance = random.Random(f"kills during {job}")
    promised: list[tuple[str, str]] = []
    folder = tmp_path / "record"
    for number in range(figures.kills):
        if number % work.kills_a_record == 0:
            promised = []
            shutil.rmtree(folder, ignore_errors=True)
            folder.mkdir()
        after = sum(what == "fact" for what, _ in promised)
        ended = children.see_through(
            job=job,
            folder=str(folder),
            device=f"device-{job}",
            after=after,
            **kill_at(work, chance),
        )
        assert ended.was_killed, f"round {number} ended with {ended.status}"
        promised += ended.told
        check_record(folder, promised)
        check_backups(folder / "backups", promised)
        figures.count(ended)
    figures.keep()


def test_kills_during_an_upgrade_lose_nothing(
    tmp_path: Path, children: Nursery, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Killed while its tables are made anew, a record has all its facts and guards."""
    work, figures = KINDS["upgrade"], Figures("upgrade")
    chance, device = random.Random("kills during an upgrade"), "device-upgrade"
    older_record(tmp_path / "older", device)
    schema = newer_schema(tmp_path)
    monkeypatch.setattr(migrate, "SCHEMA", schema)
    for _ in range(figures.kills):
        folder = tmp_path / "record"
        shutil.copytree(tmp_path / "older", folder)
        ended = children.see_through(
            job="marks",
            folder=str(folder),
            device=device,
            after=FACTS,
            schema=str(schema),
            **kill_at(work, chance),
        )
        assert ended.was_killed
        before = [("fact", f"{device}:{number}") for number in range(1, FACTS + 1)]
        check_record(folder, [*before, *ended.told])
        figures.count(ended)
        shutil.rmtree(folder)
    figures.keep()


def test_kills_while_a_record_is_begun_leave_nothing_out_and_nothing_twice(
    tmp_path: Path, children: Nursery
) -> None:
    """Begun again after a kill, it holds the facts of one that was never killed."""
    work, figures = KINDS["begin"], Figures("begin")
    chance, plans = random.Random("kills during begin"), ROOT / "examples" / "ostrel"

    def begun(folder: Path) -> dict[str, Kind]:
        with closing(Workshop(folder)) as workshop:
            workshop.begin()
            kept = [entry.fact for entry in workshop.entries()]
        assert len({fact.id for fact in kept}) == len(kept)
        return {fact.id: fact.body for fact in kept}

    expected = begun(shutil.copytree(plans, tmp_path / "whole"))
    for _ in range(figures.kills):
        folder = shutil.copytree(plans, tmp_path / "folder")
        ended = children.see_through(
            job="begin",
            folder=str(folder),
            device="phone-one",
            after=0,
            kill_at_event=chance.randint(1, work.events),
        )
        assert ended.was_killed
        check_record(folder, ended.told)
        assert expected.items() <= begun(folder).items()
        figures.count(ended)
        shutil.rmtree(folder)
    figures.keep()


def test_kills_while_a_backup_is_put_back_lose_nothing(
    tmp_path: Path, children: Nursery
) -> None:
    """Killed at any moment, putting it back again gives every fact of the backup.

    Until it is there, what was there before lies in its place or beside it.
    """
    work, figures = KINDS["restore"], Figures("restore")
    chance, device = random.Random("kills during restore"), "device-restore"
    ready = tmp_path / "ready"
    older_record(ready, device)
    shutil.copytree(ready / "record", tmp_path / "older")
    with open_store(ready / "record" / "record.sqlite") as store:
        store.append(made_facts(device, 20, after=FACTS))
    made = back_up(ready, ready / "backups")
    shutil.rmtree(ready / "record")
    shutil.copytree(tmp_path / "older", ready / "record")
    for _ in range(figures.kills):
        folder = shutil.copytree(ready, tmp_path / "folder")
        ended = children.see_through(
            job="restore",
            folder=str(folder),
            device=device,
            after=FACTS + 20,
            kill_at_event=chance.randint(1, work.events),
        )
        assert ended.was_killed
        there = [*folder.glob("record"), *folder.glob("record-before-*")]
        assert max(verify(one).facts for one in there) >= FACTS
        if not ended.told:
            restore(folder / "backups" / made.name, folder)
        before = [("fact", f"{device}:{n}") for n in range(1, FACTS + 21)]
        check_record(folder, [*before, *ended.told])
        figures.count(ended)
        shutil.rmtree(folder)
    figures.keep()

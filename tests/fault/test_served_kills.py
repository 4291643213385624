"""The served program killed while a phone posts marks and photos to it."""

from __future__ import annotations

import os
import random
import shutil
import subprocess
import sys
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path
from threading import Timer

import pytest

from rivetwright.bench.workshop import Workshop
from rivetwright.record import chain
from rivetwright.record.fact import Fact
from tests.conftest import ROOT
from tests.fault.bench_client import DEVICE, BenchClient
from tests.fault.checked import check_photos
from tests.fault.child import KILLED, Ended, Nursery
from tests.fault.figures import KINDS, Figures
from tests.fault.opened import open_store


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """The demo's folder, its record begun."""
    copied = shutil.copytree(ROOT / "examples" / "ostrel", tmp_path / "ostrel")
    with closing(Workshop(copied)) as workshop:
        workshop.begin()
    return copied


def facts_kept(folder: Path) -> list[Fact]:
    """Every fact of a record, after its chain and its photos were looked at."""
    with open_store(folder / "record" / "record.sqlite") as store:
        (project,) = store.projects()
        entries = list(store.entries(project))
        assert chain.verify(entries) == store.head(project)
    check_photos(folder / "record" / "photos", entries)
    return [entry.fact for entry in entries]


def see_that_none_is_lost(folder: Path, client: BenchClient) -> None:
    """What was acknowledged is there, nothing is there twice."""
    ids = [fact.id for fact in facts_kept(folder)]
    assert len(ids) == len(set(ids))
    assert client.kept <= set(ids)


def test_a_killed_server_loses_nothing_acknowledged(
    folder: Path, children: Nursery
) -> None:
    """Killed again and again while a phone posts; in the end every mark is there once.

    The phone sends again what was not answered, as its page does.
    """
    work, figures, client = KINDS["serve"], Figures("serve"), BenchClient()
    chance = random.Random("kills of the server")
    for _ in range(figures.kills):
        acknowledged = len(client.kept)
        said = children.begin(job="serve", folder=str(folder), device="", after=0)
        (_, pid), (_, address) = next(said), next(said)
        killer = Timer(chance.uniform(0, work.seconds), os.kill, (int(pid), 9))
        killer.start()
        client.work(address.split()[0])
        killer.join()
        ((_, status),) = said
        assert int(status) == KILLED
        see_that_none_is_lost(folder, client)
        told = [("fact", "")] * (len(client.kept) - acknowledged)
        figures.count(Ended(KILLED, tuple(told)))
    figures.keep()


def command(folder: Path) -> list[str]:
    """The command that serves a folder on any free port."""
    return [sys.executable, "-m", "rivetwright", "serve", str(folder), "--port", "0"]


@contextmanager
def served(folder: Path) -> Iterator[tuple[subprocess.Popen[str], str]]:
    """The command running, and the address it named; killed at the end."""
    with subprocess.Popen(
        command(folder), cwd=ROOT, stdout=subprocess.PIPE, text=True
    ) as server:
        try:
            assert server.stdout
            yield server, server.stdout.readline().split()[1]
        finally:
            server.kill()


def test_a_second_server_on_one_folder_says_so_and_ends(folder: Path) -> None:
    """It names what is allowed, changes nothing, and the first goes on."""
    client = BenchClient()
    client.waiting = client.make(3)
    with served(folder) as (_, url):
        second = subprocess.run(
            command(folder), cwd=ROOT, capture_output=True, text=True, timeout=120
        )
        assert second.returncode not in (0, KILLED)
        said = " ".join((second.stdout + second.stderr).split())
        assert "one program at a time" in said
        assert "Traceback" not in said
        client.empty(url)
    assert len(client.kept) == 3
    see_that_none_is_lost(folder, client)


def test_the_command_itself_is_killed_and_goes_on(folder: Path) -> None:
    """`rivetwright serve`, killed while marks come, then served again to the end."""
    client = BenchClient()
    client.waiting = client.make(3)  # however slow the machine, something comes
    with served(folder) as (server, url):
        killer = Timer(0.3, server.kill)
        killer.start()
        client.work(url)
        killer.join()
    assert server.returncode == KILLED
    see_that_none_is_lost(folder, client)
    with served(folder) as (_, url):
        client.empty(url)
    numbers = [one.device_seq for one in facts_kept(folder) if one.device == DEVICE]
    assert sorted(numbers) == list(range(1, client.made + 1))
    assert len(client.kept) == client.made > 0

"""The same store in both databases: SQLite in a file, PostgreSQL started here."""

from __future__ import annotations

import itertools
import os
import shutil
import subprocess
import tempfile
from collections.abc import Callable, Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from rivetwright.record.store import Store, open_store

PROGRAMS = Path("/usr/lib/postgresql")
_NUMBERS = itertools.count(1)
START = datetime(2026, 11, 25, 19, 0, tzinfo=UTC)


class Clock:
    """A clock that a test moves."""

    def __init__(self) -> None:
        self.time = START

    def __call__(self) -> datetime:
        """The time on it."""
        return self.time

    def move(self, **by: int) -> None:
        """Set it forward, or back."""
        self.time += timedelta(**by)


def program(name: str) -> str:
    """A program of PostgreSQL, of the newest version that is installed."""
    found = sorted(PROGRAMS.glob(f"*/bin/{name}"), key=lambda p: p.parts[4].zfill(3))
    path = str(found[-1]) if found else shutil.which(name)
    assert path, "PostgreSQL is not installed: python3 run.py test installs it"
    return path


@pytest.fixture(scope="session")
def postgresql() -> Iterator[str]:
    """A database server of our own on a socket; gives the folder of the socket."""
    folder = Path(tempfile.mkdtemp(prefix="pg"))
    # The server refuses to run as root, so it gets a user of its own where we are.
    as_user = {"user": "postgres"} if os.geteuid() == 0 else {}
    if as_user:
        shutil.chown(folder, "postgres")
    place = folder / "cluster"

    def call(*words: str) -> None:
        subprocess.run(
            words,
            check=True,
            cwd=folder,
            stdout=subprocess.DEVNULL,
            **as_user,  # type: ignore[call-overload]
        )

    make = (program("initdb"), "-D", str(place), "-U", "postgres")
    call(*make, "-A", "trust", "--no-sync", "-E", "UTF8")
    options = f"-c listen_addresses='' -c unix_socket_directories='{folder}'"
    run = (program("pg_ctl"), "-D", str(place), "-w", "-l", str(folder / "log"))
    call(*run, "-o", options, "start")
    yield str(folder)
    call(*run, "-m", "immediate", "stop")
    shutil.rmtree(folder, ignore_errors=True)


def psql(socket: str, words: str) -> None:
    """Say something to the server."""
    subprocess.run(
        (program("psql"), "-h", socket, "-U", "postgres", "-q", "-c", words),
        check=True,
    )


@pytest.fixture
def new_database(postgresql: str) -> Iterator[Callable[[], str]]:
    """Make empty PostgreSQL databases; gives the address of each."""
    made: list[str] = []

    def make() -> str:
        made.append(f"t{next(_NUMBERS)}")
        psql(postgresql, f"CREATE DATABASE {made[-1]}")
        return f"postgresql+psycopg://postgres@/{made[-1]}?host={postgresql}"

    yield make
    for name in made:
        psql(postgresql, f"DROP DATABASE {name} WITH (FORCE)")


@pytest.fixture(params=["sqlite", "postgresql"])
def place(request: pytest.FixtureRequest, tmp_path: Path) -> str | Path:
    """Where an empty store may be made, in each database in turn."""
    if request.param == "sqlite":
        return tmp_path / "record" / "record.sqlite"
    make: Callable[[], str] = request.getfixturevalue("new_database")
    return make()


@pytest.fixture
def clock() -> Clock:
    """A clock that a test moves."""
    return Clock()


@pytest.fixture
def opened(place: str | Path, clock: Clock) -> Iterator[Callable[[], Store]]:
    """Open the store; whatever a test leaves open is closed."""
    stores: list[Store] = []

    def open_it() -> Store:
        store = open_store(place, clock=clock)
        stores.append(store)
        return store

    yield open_it
    for store in stores:
        store.close()

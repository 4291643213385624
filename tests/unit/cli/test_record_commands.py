"""The commands about the record and the devices, on a copy of the demo."""

from __future__ import annotations

import csv
import io
import re
import shutil
from datetime import UTC, datetime
from pathlib import Path

import pytest

from rivetwright.bench.workshop import Workshop
from rivetwright.record.store import open_store
from tests.unit.cli.conftest import Command

DIGEST = re.compile(r"digest ([0-9a-f]{64})")


def noon() -> datetime:
    """One moment."""
    return datetime(2026, 11, 25, 12, tzinfo=UTC)


@pytest.fixture
def folder(ostrel: Path, tmp_path: Path, command: Command) -> Path:
    """A copy of the demo whose record was begun."""
    there = tmp_path / "ostrel"
    shutil.copytree(ostrel, there)
    assert command("record", "begin", there).code == 0
    return there


def test_begun_twice_is_begun_once(folder: Path, command: Command) -> None:
    """The second time nothing is new, and the number of facts stays."""
    facts = command("record", "verify", folder).out
    again = command("record", "begin", folder)
    assert again.code == 0
    assert again.out.startswith("Nothing new")
    assert command("record", "verify", folder).out == facts


def test_backup_has_the_digest_of_the_record(folder: Path, command: Command) -> None:
    """Verified where it lies, and after it was put back."""
    (digest,) = DIGEST.findall(command("record", "verify", folder).out)
    made = command("record", "back-up", folder, "--to", folder.parent / "copies")
    assert (made.code, made.told) == (0, "")
    (backup,) = (folder.parent / "copies").iterdir()
    assert DIGEST.findall(command("record", "verify", backup).out) == [digest]
    shutil.rmtree(folder / "record")
    assert command("record", "restore", backup, folder).code == 0
    assert DIGEST.findall(command("record", "verify", folder).out) == [digest]


def test_snapshots_are_thrown_away_and_no_fact(folder: Path, command: Command) -> None:
    """The record verifies as before."""
    before = command("record", "verify", folder).out
    with open_store(folder / "record" / "record.sqlite", clock=noon) as store:
        (project,) = store.projects()
        store.save_snapshot(project, store.head(project), "9\t\t0\t0", b"rubbish")
    assert "thrown away: 1." in command("record", "refold", folder).out
    assert command("record", "verify", folder).out == before


def test_record_is_written_as_text_and_as_a_table(
    folder: Path, command: Command, tmp_path: Path
) -> None:
    """Each fact once in either; the table has as many cells in every line."""
    count = int(command("record", "verify", folder).out.split()[3])
    file = tmp_path / "record.txt"
    assert command("record", "write", folder, "--out", file).code == 0
    stored = [line for line in file.read_text("utf-8").splitlines() if '"fact"' in line]
    assert len(stored) == count
    table = command("record", "write", folder, "--form", "csv").out
    lines = list(csv.reader(io.StringIO(table)))
    assert len(lines) == count + 1
    assert len({len(line) for line in lines}) == 1


def test_no_record_is_told_and_what_to_do(ostrel: Path, command: Command) -> None:
    """Each command that needs one refuses with 2."""
    for words in (("record", "verify"), ("devices", "list"), ("devices", "pair")):
        done = command(*words, ostrel)
        assert (done.code, done.out) == (2, "")
        assert "begin" in done.told


def test_paired_device_is_listed_and_shut_out(folder: Path, command: Command) -> None:
    """A link that only reads: made, in, shut out; its token is shown once."""
    made = command("devices", "pair", folder, "--reads")
    token = made.out.split("/look/")[1].split()[0]
    listed = command("devices", "list", folder).out
    assert token not in listed
    device = listed.split()[0]
    assert "reads" in listed
    assert command("devices", "shut-out", device, folder).code == 0
    assert "shut out" in command("devices", "list", folder).out


def test_code_for_a_phone_has_a_picture(folder: Path, command: Command) -> None:
    """With the address that phones use; its slash at the end is not doubled."""
    done = command("devices", "pair", folder, "--address", "http://192.168.7.2:8766/")
    assert re.search(r"http://192\.168\.7\.2:8766/pair/[\w-]{22}\n", done.out)
    assert "█" in done.out


@pytest.mark.parametrize(
    "words", [("pair", "--person", "nobody"), ("shut-out", "0123456789abcdef")]
)
def test_unknown_person_or_device_is_refused(
    folder: Path, command: Command, words: tuple[str, ...]
) -> None:
    """What is known is named, or where it is listed."""
    done = command("devices", *words, folder)
    assert done.code == 2
    assert "builder" in done.told or "devices list" in done.told


def test_list_works_while_the_record_is_in_use(folder: Path, command: Command) -> None:
    """Looking needs no lock; letting in does, and says who holds it."""
    workshop = Workshop(folder)
    try:
        assert command("devices", "list", folder).code == 0
        done = command("devices", "pair", folder)
        assert (done.code, done.out) == (2, "")
    finally:
        workshop.close()
    assert command("devices", "pair", folder).code == 0

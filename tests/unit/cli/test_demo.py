"""The main job: the demo copied, worked out and printed; the module as a command."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from rivetwright import __version__
from tests.unit.cli.conftest import Command


def test_demo_works_in_a_copy(
    command: Command, ostrel: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Without a folder the demo is copied to build/demo and printed to build/print."""
    monkeypatch.chdir(tmp_path)
    done = command("demo", "--from", ostrel, "--no-serve")
    assert (done.code, done.told) == (0, "")
    copied = {path.name for path in Path("build/demo").iterdir()}
    assert copied == {path.name for path in ostrel.iterdir()}
    assert len(list(Path("build/print").glob("*.pdf"))) == 4


def test_demo_out_of_its_folder_says_where_it_is(
    command: Command, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """In a folder without examples nothing is made, and the way out is told."""
    monkeypatch.chdir(tmp_path)
    done = command("demo", "--no-serve")
    assert (done.code, done.out) == (2, "")
    assert "--from" in done.told
    assert list(tmp_path.iterdir()) == []


def test_module_is_the_command() -> None:
    """`python -m rivetwright --version` says what the command says."""
    done = subprocess.run(
        [sys.executable, "-m", "rivetwright", "--version"],
        capture_output=True,
        text=True,
        check=True,
    )
    assert done.stdout.strip() == f"rivetwright {__version__}"

"""The main job: the demo copied, worked out and printed; the module as a command."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from rivetwright import __version__
from rivetwright.bench.head_table import written_table
from rivetwright.bench.open import open_folder
from rivetwright.web.pages.downloads import PackBytes
from tests.unit.cli.conftest import Command


def test_demo_works_in_a_copy(
    command: Command, ostrel: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Without a folder: copied to build/demo, its record begun, printed."""
    monkeypatch.chdir(tmp_path)
    done = command("demo", "--from", ostrel, "--no-serve")
    assert (done.code, done.told) == (0, "")
    copied = {path.name for path in Path("build/demo").iterdir()}
    assert copied == {path.name for path in ostrel.iterdir()} | {"record"}
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


class Served:
    """Stands in for the pages: keeps what it was asked to serve."""

    def __init__(self) -> None:
        self.folder = Path()
        self.port = 0
        self.pack = b""
        self.wishes: dict[str, object] = {}

    def __call__(
        self, folder: Path, port: int, *, pack_bytes: PackBytes, **wishes: object
    ) -> None:
        """Keep what was asked, and print the first plan of the folder."""
        self.folder, self.port, self.wishes = folder, port, wishes
        first = open_folder(folder).assemblies[0].worked_plan
        self.pack = pack_bytes(first, paper="a4", heads=written_table(first))


@pytest.fixture
def served(monkeypatch: pytest.MonkeyPatch) -> Served:
    """The pages, not opened."""
    pages = Served()
    monkeypatch.setattr("rivetwright.web.serve.serve", pages)
    return pages


def test_serve_hands_folder_port_and_printing_to_the_pages(
    command: Command, ostrel: Path, served: Served
) -> None:
    """The pages can print, since the command opened them."""
    done = command("serve", ostrel, "--port", "0")
    assert (done.code, done.told) == (0, "")
    assert (served.folder, served.port) == (ostrel, 0)
    assert served.pack.startswith(b"%PDF")
    assert served.wishes == {"lan": False, "https": False, "database": ""}


def test_network_is_let_in_when_asked_for(
    command: Command, ostrel: Path, served: Served
) -> None:
    """Each wish is handed on as it was said."""
    place = "postgresql+psycopg://bench@/aircraft"
    assert command("serve", ostrel, "--lan", "--https", "--database", place).code == 0
    assert served.wishes == {"lan": True, "https": True, "database": place}


def test_demo_serves_its_copy_after_printing(
    command: Command,
    ostrel: Path,
    served: Served,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """What is served is the folder somebody may work in."""
    monkeypatch.chdir(tmp_path)
    done = command("demo", "--from", ostrel)
    assert done.code == 0
    assert served.folder == Path("build/demo")
    assert served.port == 8765

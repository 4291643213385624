"""The command run in this process, and the demo's folder."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import pytest

from rivetwright.bench.open import open_plan
from rivetwright.cli.main import run
from rivetwright.engines.plan import WorkedPlan
from tests.worked_once import worked_once  # noqa: F401  (for every test)


@dataclass(frozen=True)
class Done:
    """What a command ended with and said."""

    code: int
    out: str
    told: str


Command = Callable[..., Done]


@pytest.fixture
def command(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> Command:
    """Runs `rivetwright` with some words, as if piped into a file."""
    monkeypatch.delenv("COLUMNS", raising=False)

    def ran(*words: str | Path) -> Done:
        with pytest.raises(SystemExit) as left:
            run([str(word) for word in words])
        said = capsys.readouterr()
        assert isinstance(left.value.code, int)
        return Done(left.value.code, said.out, said.err)

    return ran


@pytest.fixture(scope="session")
def ostrel(root: Path) -> Path:
    """The folder of the invented demo."""
    return root / "examples" / "ostrel"


@pytest.fixture(scope="session")
def aileron(ostrel: Path) -> WorkedPlan:
    """The aileron of the demo, worked out once."""
    return open_plan(ostrel / "aileron.yaml")

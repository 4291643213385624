"""run.py: what it installs and when, and what it says."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from collections.abc import Sequence
from pathlib import Path

import pytest

import run


class Programs:
    """Stands in for other programs: notes each call, answers with an exit code."""

    def __init__(self) -> None:
        self.calls: list[list[str]] = []
        self.stopping = ""

    def __call__(
        self, command: Sequence[str], **more: object
    ) -> subprocess.CompletedProcess[str]:
        """Note a call; making an environment makes its folder."""
        self.calls.append(list(command))
        if "venv" in command:
            Path(command[-1]).mkdir(exist_ok=True)
        stops = self.stopping and self.stopping in " ".join(command)
        return subprocess.CompletedProcess(list(command), 1 if stops else 0, "", "")

    def with_word(self, word: str) -> list[list[str]]:
        """The calls that have a word."""
        return [call for call in self.calls if word in call]


@pytest.fixture
def programs(monkeypatch: pytest.MonkeyPatch) -> Programs:
    """Other programs, noted instead of run."""
    noted = Programs()
    monkeypatch.setattr(run.subprocess, "run", noted)
    return noted


@pytest.fixture
def project(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, programs: Programs
) -> Path:
    """A project of lock files in an empty folder."""
    for name in ("requirements.lock", "requirements-test.lock", "pyproject.toml"):
        (tmp_path / name).write_text(name, encoding="utf-8")
    monkeypatch.setattr(run, "ROOT", tmp_path)
    monkeypatch.setattr(run, "VENV", tmp_path / ".venv")
    monkeypatch.setattr(run, "STAMP", tmp_path / ".venv" / "set-up.json")
    return tmp_path


def test_first_set_up_makes_the_environment_and_installs(
    project: Path, programs: Programs
) -> None:
    """One environment, then the lock by its hashes, then the project itself."""
    run.set_up("main")
    made, locked, itself = programs.calls
    assert made[1:4] == ["-m", "venv", "--clear"]
    assert locked[-2:] == ["-r", "requirements.lock"]
    assert "--require-hashes" in locked
    assert itself[-4:] == ["--no-deps", "--no-build-isolation", "-e", "."]


def test_second_set_up_runs_nothing(project: Path, programs: Programs) -> None:
    """Where nothing changed, no program is started."""
    run.set_up("main")
    programs.calls.clear()
    run.set_up("main")
    assert programs.calls == []


def test_a_changed_lock_is_installed_into_the_same_environment(
    project: Path, programs: Programs
) -> None:
    """A new lock means one call of pip and no new environment."""
    run.set_up("main")
    programs.calls.clear()
    (project / "requirements.lock").write_text("other", encoding="utf-8")
    run.set_up("main")
    assert [call[-1] for call in programs.calls] == ["requirements.lock"]


def test_the_test_lock_serves_the_main_job_too(
    project: Path, programs: Programs
) -> None:
    """After the test tools are in, the main job installs nothing more."""
    run.set_up("test")
    programs.calls.clear()
    run.set_up("main")
    assert programs.calls == []


@pytest.mark.parametrize(("field", "value"), [("python", "3.10"), ("place", "/old")])
def test_another_python_or_place_makes_a_new_environment(
    field: str, value: str, project: Path, programs: Programs
) -> None:
    """An environment of another minor version, or one that was moved, is remade."""
    run.set_up("main")
    stamp = json.loads(run.STAMP.read_text(encoding="utf-8"))
    run.STAMP.write_text(json.dumps({**stamp, field: value}), encoding="utf-8")
    programs.calls.clear()
    run.set_up("main")
    assert len(programs.with_word("venv")) == 1


def test_a_set_up_that_stopped_is_not_taken_for_done(
    project: Path, programs: Programs
) -> None:
    """After pip stopped, the next set-up begins anew."""
    programs.stopping = "requirements.lock"
    with pytest.raises(run.SetUpStopped, match="exit code 1"):
        run.set_up("main")
    assert not run.STAMP.exists()


def test_missing_venv_module_is_named_where_we_are_not_root(
    project: Path, programs: Programs, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Who may not install is told the package and the command."""
    monkeypatch.setattr(run.importlib.util, "find_spec", lambda name: None)
    monkeypatch.setattr(run, "can_use_apt", lambda: False)
    with pytest.raises(run.SetUpStopped, match=rf"python{run.VERSION}-venv"):
        run.set_up("main")
    assert programs.calls == []


def test_missing_venv_module_is_installed_where_we_are_root(
    project: Path, programs: Programs, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The package lists are fetched first: a bare system has none."""
    monkeypatch.setattr(run.importlib.util, "find_spec", lambda name: None)
    monkeypatch.setattr(run, "can_use_apt", lambda: True)
    run.set_up("main")
    update, install, *_ = programs.calls
    assert update[:2] == ["apt-get", "update"]
    assert install[:2] == ["apt-get", "install"]
    assert install[-1] == f"python{run.VERSION}-venv"


def test_absent_test_programs_are_named_on_other_systems(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Without dpkg the programs themselves are looked for, and told."""
    monkeypatch.delenv("CHROMIUM", raising=False)
    monkeypatch.setattr(run.shutil, "which", lambda name: None)
    with pytest.raises(run.SetUpStopped, match="chromium pdftoppm"):
        run.provide_test_programs()


def test_a_browser_named_by_the_user_is_taken(monkeypatch: pytest.MonkeyPatch) -> None:
    """CHROMIUM in the environment stands before the path."""
    monkeypatch.setenv("CHROMIUM", "/opt/browser")
    assert run.find_program("chromium") == "/opt/browser"


def test_main_job_hands_over_with_its_options(
    project: Path, programs: Programs, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Options go on to the demo; the program is named by its full path."""
    handed: list[list[str]] = []
    monkeypatch.setattr(run, "hand_over", lambda command: handed.append(command) or 0)
    assert run.main(["--no-serve"]) == 0
    assert handed == [[run.in_venv("rivetwright"), "demo", "--no-serve"]]
    assert os.path.isabs(handed[0][0])


@pytest.mark.parametrize(
    ("words", "named"),
    [(["tset"], "setup, test, bench, check, fault"), (["check", "-x"], "-x")],
)
def test_unknown_words_are_refused_with_what_is_allowed(
    words: list[str], named: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """Exit code 2, and the words that would have been taken or were too many."""
    assert run.main(words) == 2
    assert named in capsys.readouterr().out


def test_an_older_python_is_told_which_is_needed(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Python 3.10 is refused before anything is done."""
    monkeypatch.setattr(run.sys, "version_info", (3, 10, 0))
    assert run.main(["setup"]) == 2
    assert "3.11" in capsys.readouterr().out


def test_help_names_every_command() -> None:
    """The help of the real script lists all that it can do."""
    shown = subprocess.run(
        [sys.executable, str(run.ROOT / "run.py"), "--help"],
        capture_output=True,
        text=True,
        check=True,
    ).stdout
    for command in ("setup", "test", "check", "bench", "fault", "--no-serve"):
        assert command in shown


def test_test_stops_at_a_failed_check_before_any_test(
    project: Path, programs: Programs, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A lint that fails ends the command; pytest is not started."""
    monkeypatch.setattr(run, "provide_test_programs", lambda: None)
    monkeypatch.setattr(run, "hand_over", lambda command: pytest.fail("started"))
    programs.stopping = "mypy"
    assert run.main(["test"]) == 1


def test_test_with_arguments_hands_them_to_pytest_alone(
    project: Path, programs: Programs, monkeypatch: pytest.MonkeyPatch
) -> None:
    """With arguments no check runs, and pytest gets them as they are."""
    handed: list[list[str]] = []
    monkeypatch.setattr(run, "provide_test_programs", lambda: None)
    monkeypatch.setattr(run, "hand_over", lambda command: handed.append(command) or 0)
    run.main(["test", "-k", "edge"])
    assert [call[1:] for call in handed] == [["-m", "pytest", "-k", "edge"]]
    assert programs.with_word("check") == []


def test_test_alone_runs_every_test_side_by_side(
    project: Path, programs: Programs, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Four checks, then pytest in as many processes as there are cores."""
    handed: list[list[str]] = []
    monkeypatch.setattr(run, "provide_test_programs", lambda: None)
    monkeypatch.setattr(run, "hand_over", lambda command: handed.append(command) or 0)
    assert run.main(["test"]) == 0
    checks = [Path(call[0]).stem for call in programs.calls if "pip" not in call]
    assert sorted(checks[-4:]) == ["lint-imports", "mypy", "ruff", "ruff"]
    assert [call[1:] for call in handed] == [["-m", "pytest", "-n", "auto"]]


@pytest.mark.parametrize(("named", "expected"), [("", "1000"), ("20", "20")])
def test_fault_kills_the_full_number_of_times(
    named: str,
    expected: str,
    project: Path,
    programs: Programs,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """A thousand kills, unless the environment names another number."""
    handed: list[list[str]] = []
    monkeypatch.setattr(run, "hand_over", lambda command: handed.append(command) or 0)
    # Set first, so that what the command leaves behind is taken away again.
    monkeypatch.setenv("RIVETWRIGHT_KILLS", named)
    if not named:
        monkeypatch.delenv("RIVETWRIGHT_KILLS")
    assert run.main(["fault", "-x"]) == 0
    assert handed[0][1:] == ["-m", "pytest", "tests/fault", "-x"]
    assert os.environ["RIVETWRIGHT_KILLS"] == expected

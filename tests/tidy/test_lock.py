"""The lock files: every package with its hash, and no word of where it came from."""

from __future__ import annotations

import ast
import re
import sys
import tomllib

import pytest

from tests.tidy.tree import ROOT, modules, none_found

LOCKS = ("requirements.lock", "requirements-test.lock")
PINNED = re.compile(r"^([a-z0-9.-]+)==(\S+)", re.MULTILINE)
HASHED = re.compile(
    r"^[a-z0-9.-]+==[^\n]*\\\n(    --hash=sha256:[0-9a-f]{64}( \\)?\n)+"
)
HOST = re.compile(r"://|--(?:extra-)?index|--find-links|--trusted|\bfile:", re.I)


def lock_text(name: str) -> str:
    """The text of a lock file."""
    return (ROOT / name).read_text(encoding="utf-8")


def pins(name: str) -> set[tuple[str, str]]:
    """Packages of a lock file with their versions."""
    return set(PINNED.findall(lock_text(name)))


def project() -> dict[str, object]:
    """The project table of pyproject.toml."""
    with (ROOT / "pyproject.toml").open("rb") as file:
        return dict(tomllib.load(file)["project"])


def asked_names(lines: list[str]) -> set[str]:
    """Names of required packages as the lock writes them."""
    names = (re.match(r"[\w.-]+", line) for line in lines)
    return {re.sub(r"[._]", "-", name[0].lower()) for name in names if name}


@pytest.mark.parametrize("name", LOCKS)
def test_every_package_has_its_hashes(name: str) -> None:
    """Each block of a lock file is one pinned version and its digests."""
    blocks = re.split(r"^(?=[a-z0-9])", lock_text(name), flags=re.MULTILINE)
    none_found(b for b in blocks if b and not HASHED.fullmatch(b))


@pytest.mark.parametrize("name", [*LOCKS, "pyproject.toml", "run.py"])
def test_no_registry_is_named(name: str) -> None:
    """Where packages come from is a setting of the machine, not of the project."""
    assert HOST.search(lock_text(name)) is None


def test_the_test_lock_holds_the_main_lock() -> None:
    """Tests run on the same versions as the main job."""
    assert pins(LOCKS[0]) <= pins(LOCKS[1])


def test_the_locks_hold_what_the_project_asks_for() -> None:
    """Every direct requirement, and the build backend, is pinned."""
    asked = project()
    main = asked_names(asked["dependencies"])  # type: ignore[arg-type]
    tests = asked_names(asked["optional-dependencies"]["test"])  # type: ignore[index]
    backend = {"hatchling", "editables"}
    assert main | backend <= {name for name, _ in pins(LOCKS[0])}
    assert main | backend | tests <= {name for name, _ in pins(LOCKS[1])}


def test_run_py_needs_only_the_standard_library() -> None:
    """The set-up runs before anything is installed."""
    (script,) = modules("run.py")
    imported = set()
    for part in ast.walk(script.tree):
        if isinstance(part, ast.Import):
            imported |= {one.name.partition(".")[0] for one in part.names}
        elif isinstance(part, ast.ImportFrom):
            imported.add((part.module or "").partition(".")[0])
    assert imported <= sys.stdlib_module_names

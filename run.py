#!/usr/bin/env python3
"""Set Rivetwright up and run it. Python 3.11 or later is all it needs.

    python3 run.py                  set up, then the main job: work out the example
                                    assemblies, write their print pack to
                                    build/print and serve the plan on this machine
    python3 run.py --no-serve       the same, and stop after writing
    python3 run.py setup            set up only; afterwards .venv/bin/rivetwright is
                                    the command
    python3 run.py test             set up the test tools, then check, then every test,
                                    side by side in as many processes as there are cores
    python3 run.py test ARGS...     only pytest, with these arguments
    python3 run.py check            lint, format, types, import contract, tidy tests
    python3 run.py fault [ARGS]...  kill and starve the record 1,000 times over; the
                                    tests do the same in short (RIVETWRIGHT_KILLS
                                    in the environment names another number)
    python3 run.py bench [NAME]...  measure; figures go to build/bench.json
    python3 run.py --help           this text

Everything is installed into .venv beside this file, from lock files with hashes.
Debian's python3 comes without its venv module, and the tests need a browser, a
PDF reader and a database: as root these are taken from apt-get; otherwise you are
told which to install.
"""

from __future__ import annotations

import hashlib
import importlib.util
import json
import os
import shutil
import subprocess
import sys
from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

ROOT = Path(__file__).resolve().parent
VENV = ROOT / ".venv"
STAMP = VENV / "set-up.json"
LOCKS = {"main": "requirements.lock", "test": "requirements-test.lock"}
OLDEST_PYTHON = (3, 11)
VERSION = f"{sys.version_info[0]}.{sys.version_info[1]}"
FULL_KILLS = "1000"
SIDE_BY_SIDE = ("-n", "auto")
TEST_PROGRAMS = ("chromium", "pdftoppm", "initdb")
TEST_PACKAGES = (
    *("chromium", "poppler-utils", "libatomic1", "fonts-dejavu-core"),
    "postgresql",
)


class SetUpStopped(Exception):
    """The set-up cannot go on; the text says what was found and what to do."""


def say(text: str) -> None:
    """Print a line now, also when the output is a file."""
    print(text, flush=True)


def in_venv(program: str) -> str:
    """The full path of a program of the environment."""
    if os.name == "nt":
        return str(VENV / "Scripts" / f"{program}.exe")
    return str(VENV / "bin" / program)


def call(command: Sequence[str], what: str, **extra: str) -> None:
    """Run a program to its end; stop the set-up when it does not succeed."""
    done = subprocess.run(command, cwd=ROOT, env={**os.environ, **extra})
    if done.returncode != 0:
        raise SetUpStopped(
            f"{what} stopped with exit code {done.returncode}; its own words stand "
            f"above.\nThe command was: {' '.join(command)}"
        )


def digest(name: str) -> str:
    """SHA-256 of a file of the project; it changes when the file does."""
    return hashlib.sha256((ROOT / name).read_bytes()).hexdigest()


# --- what comes from the system ---------------------------------------------------


def can_use_apt() -> bool:
    """Whether this is Debian, or a child of it, and we are root."""
    is_root = hasattr(os, "geteuid") and os.geteuid() == 0
    return is_root and shutil.which("apt-get") is not None


def apt_install(packages: Sequence[str], why: str) -> None:
    """Install system packages, or say which to install where we may not."""
    if not can_use_apt():
        raise SetUpStopped(
            f"{why}. On Debian or Ubuntu run, as root:\n"
            f"    apt-get update && apt-get install {' '.join(packages)}\n"
            "Elsewhere install the same programs your system's way, then run this "
            "again."
        )
    say(f"{why}: installing {', '.join(packages)} with apt-get")
    quiet = {"DEBIAN_FRONTEND": "noninteractive"}
    call(["apt-get", "update", "-qq"], "apt-get update", **quiet)
    install = ["apt-get", "install", "-y", "-qq", "--no-install-recommends"]
    call([*install, *packages], "apt-get install", **quiet)


def installed_by_apt(package: str) -> bool:
    """Whether a Debian package is there."""
    asked = subprocess.run(
        ["dpkg-query", "-W", "-f=${db:Status-Status}", package],
        capture_output=True,
        text=True,
    )
    return asked.stdout.strip() == "installed"


def provide_test_programs() -> None:
    """See to it that browser, PDF reader and database of the tests are there."""
    if shutil.which("dpkg-query"):
        absent = [name for name in TEST_PACKAGES if not installed_by_apt(name)]
        if os.environ.get("CHROMIUM") and "chromium" in absent:
            absent.remove("chromium")
    else:
        absent = [name for name in TEST_PROGRAMS if not find_program(name)]
    if absent:
        apt_install(absent, "The tests need more programs")


def find_program(name: str) -> str | None:
    """Where a test program is; CHROMIUM in the environment names a browser."""
    named = os.environ.get(name.upper())
    return named or shutil.which(name)


# --- the environment --------------------------------------------------------------


def read_stamp() -> dict[str, str]:
    """What the environment was made from; empty when there is none of ours."""
    if not STAMP.is_file():
        return {}
    stamp = json.loads(STAMP.read_text(encoding="utf-8"))
    # A Python of another minor version, or a moved folder, needs a new environment.
    # The patch level does not: installing python3.N-venv may itself raise it.
    made_here = stamp.get("python") == VERSION and stamp.get("place") == str(VENV)
    return stamp if made_here else {}


def make_venv() -> dict[str, str]:
    """Make an empty environment, with the system's venv module if need be."""
    if importlib.util.find_spec("ensurepip") is None:
        apt_install(
            [f"python{VERSION}-venv"], "This Python comes without its venv module"
        )
    say(f"Making the environment {VENV.name} with Python {VERSION}")
    call([sys.executable, "-m", "venv", "--clear", str(VENV)], "Making .venv")
    return {"python": VERSION, "place": str(VENV)}


def set_up(kind: str) -> None:
    """Bring the environment to the lock files; quick when nothing changed."""
    stamp = read_stamp() or make_venv()
    pip = [in_venv("python"), "-m", "pip", "--disable-pip-version-check"]
    install = [*pip, "install", "--quiet", "--no-input"]
    locked = digest(LOCKS[kind])
    if stamp.get(kind) != locked:
        say(f"Installing what {LOCKS[kind]} lists; the first time takes a minute")
        STAMP.unlink(missing_ok=True)
        hashed = ["--require-hashes", "--only-binary", ":all:", "-r", LOCKS[kind]]
        call([*install, *hashed], "pip")
        stamp[kind] = locked
        if kind == "test":  # the test lock holds everything of the main lock
            stamp["main"] = digest(LOCKS["main"])
    project = digest("pyproject.toml")
    if stamp.get("project") != project:
        STAMP.unlink(missing_ok=True)
        # The build backend is in the lock: nothing is fetched here.
        call([*install, "--no-deps", "--no-build-isolation", "-e", "."], "pip")
        stamp["project"] = project
    if not STAMP.is_file():
        STAMP.write_text(json.dumps(stamp, indent=1) + "\n", encoding="utf-8")


def hand_over(command: Sequence[str]) -> int:
    """Become another program, so that stopping us stops it; return its exit code.

    The first word is a full path: an interpreter started under a bare name would
    not see that it belongs to the environment.
    """
    os.chdir(ROOT)
    os.environ["PYTHONUTF8"] = "1"
    if os.name != "nt":
        sys.stdout.flush()
        os.execv(command[0], list(command))
    with subprocess.Popen(command) as program:
        while True:
            try:
                return program.wait()
            except KeyboardInterrupt:
                continue  # it got the same key and is closing; wait for it


# --- the commands -----------------------------------------------------------------


def run_setup(arguments: Sequence[str]) -> int:
    """Set up for the main job."""
    refuse_arguments("setup", arguments)
    set_up("main")
    say(f"Ready: {in_venv('rivetwright')}")
    return 0


def run_main_job(arguments: Sequence[str]) -> int:
    """Set up, then work out, print and serve the example assemblies."""
    set_up("main")
    return hand_over([in_venv("rivetwright"), "demo", *arguments])


def run_bench(arguments: Sequence[str]) -> int:
    """Set up, then measure what is named, or everything."""
    set_up("main")
    return hand_over([in_venv("python"), "-m", "benchmarks.run", *arguments])


def lint() -> list[str]:
    """Run every check that is not a test; return the names of those that fail."""
    checks = {
        "ruff check": ["ruff", "check", "."],
        "ruff format": ["ruff", "format", "--check", "."],
        "mypy": ["mypy"],
        "import contract": [
            "lint-imports",
            "--no-logo",
            "--cache-dir",
            "build/cache/imports",
        ],
    }
    with ThreadPoolExecutor(len(checks)) as side_by_side:
        done = list(side_by_side.map(checked, checks.values()))
    for name, one in zip(checks, done, strict=True):
        say(f"--- {name}\n{one.stdout.rstrip()}")
    return [name for name, one in zip(checks, done, strict=True) if one.returncode != 0]


def checked(check: Sequence[str]) -> subprocess.CompletedProcess[str]:
    """Run one check to its end; its words are kept."""
    program, *rest = check
    return subprocess.run(
        [in_venv(program), *rest],
        cwd=ROOT,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
    )


def run_check(arguments: Sequence[str]) -> int:
    """Lint, format, types, import contract and tidy tests."""
    refuse_arguments("check", arguments)
    set_up("test")
    failed = lint()
    say("--- tidy tests")
    tidy = [in_venv("python"), "-m", "pytest", "-q", "tests/tidy"]
    if subprocess.run(tidy, cwd=ROOT).returncode != 0:
        failed.append("tidy tests")
    return told(failed)


def told(failed: Sequence[str]) -> int:
    """Say which checks failed; return the exit code."""
    say(f"Checks that failed: {', '.join(failed)}" if failed else "All checks hold.")
    return 1 if failed else 0


def run_test(arguments: Sequence[str]) -> int:
    """Check, then every test; with arguments only pytest with these."""
    set_up("test")
    provide_test_programs()
    if not arguments and told(lint()):
        return 1
    browser = find_program("chromium")
    if browser:
        os.environ["CHROMIUM"] = browser
    return hand_over([in_venv("python"), "-m", "pytest", *(arguments or SIDE_BY_SIDE)])


def run_fault(arguments: Sequence[str]) -> int:
    """The tests of kills, power cuts and full disks, with the full number of kills."""
    set_up("test")
    os.environ.setdefault("RIVETWRIGHT_KILLS", FULL_KILLS)
    pytest = [in_venv("python"), "-m", "pytest", "tests/fault", *arguments]
    return hand_over(pytest)


def run_help(arguments: Sequence[str]) -> int:
    """Print how this file is used."""
    say((__doc__ or "").strip())
    return 0


COMMANDS = {
    "setup": run_setup,
    "test": run_test,
    "bench": run_bench,
    "check": run_check,
    "fault": run_fault,
    "--help": run_help,
    "-h": run_help,
    "help": run_help,
}


def refuse_arguments(command: str, arguments: Sequence[str]) -> None:
    """Stop where a command was given words that it does not take."""
    if arguments:
        raise SetUpStopped(
            f"{command} takes nothing after it; found {' '.join(arguments)}. "
            f"Run it as: python3 run.py {command}"
        )


def main(arguments: Sequence[str]) -> int:
    """Do what the first word says; without one, the main job."""
    if sys.version_info < OLDEST_PYTHON:
        say(f"Rivetwright needs Python 3.11 or later; this is {VERSION}.")
        return 2
    first, rest = (arguments[0], arguments[1:]) if arguments else ("", [])
    try:
        if first in COMMANDS:
            return COMMANDS[first](rest)
        if first and not first.startswith("-"):
            raise SetUpStopped(
                f"{first} is no command. Allowed: setup, test, bench, check, fault, "
                "or nothing for the main job. See: python3 run.py --help"
            )
        return run_main_job(arguments)
    except SetUpStopped as stopped:
        say(str(stopped))
        return 2
    except KeyboardInterrupt:
        say("Stopped.")
        return 130


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))

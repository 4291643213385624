"""Write the two lock files anew from pyproject.toml; needs uv on the path.

Every package is pinned for each Python from 3.11 on and each system, with its hashes
and without the address it came from. The test lock is held to the versions of the
main lock. Pins that still fit are kept: delete a lock file first to take newer ones.
"""

from __future__ import annotations

import subprocess
import tomllib
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
COMPILE = (
    *("uv", "pip", "compile", "--quiet", "--universal", "--python-version", "3.11"),
    *("--generate-hashes", "--no-header", "--no-annotate"),
)


def main() -> None:
    """Write requirements.lock, then requirements-test.lock."""
    with (ROOT / "pyproject.toml").open("rb") as file:
        backend = "\n".join(tomllib.load(file)["build-system"]["requires"])
    main_lock = ("-o", "requirements.lock")
    extras = ("--extra", "test", "--extra", "shop", "--extra", "lan")
    test_lock = (*extras, "-c", "requirements.lock")
    for extra in (main_lock, (*test_lock, "-o", "requirements-test.lock")):
        # The backend comes in by standard input: the project is then built
        # without fetching anything that has no hash.
        command = [*COMPILE, "pyproject.toml", "-", *extra]
        subprocess.run(command, cwd=ROOT, input=backend, text=True, check=True)


if __name__ == "__main__":
    main()

"""The parent's side of the nursery: order a child, read what it acknowledged."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from tests.conftest import ROOT

KILLED = -signal.SIGKILL


@dataclass(frozen=True)
class Ended:
    """How a child ended, and everything it had acknowledged by then."""

    status: int
    told: tuple[tuple[str, str], ...]

    @property
    def was_killed(self) -> bool:
        """Whether it was the kill that ended it."""
        return self.status == KILLED


class Nursery:
    """A warmed-up process that starts children and kills them."""

    def __init__(self, process: subprocess.Popen[str], words: Path) -> None:
        self._process, self._words = process, words

    def see_through(self, **order: Any) -> Ended:
        """Have a job begun, killed, and its acknowledgements read to the last."""
        *told, (_, status) = self.begin(**order)
        return Ended(int(status), tuple(told))

    def begin(self, **order: Any) -> Iterator[tuple[str, str]]:
        """Have a job begun; gives what it says, line by line, the last one `ended`."""
        assert self._process.stdin
        assert self._process.stdout
        self._process.stdin.write(json.dumps(order) + "\n")
        self._process.stdin.flush()
        for line in self._process.stdout:
            what, _, named = line.rstrip("\n").partition(" ")
            yield what, named
            if what == "ended":
                return
        raise AssertionError(f"the nursery itself ended; see {self._words}")


@contextmanager
def nursery(words_to: Path) -> Iterator[Nursery]:
    """A nursery for as long as it is needed.

    Args:
        words_to: file for what its children say when they fail.
    """
    with (
        words_to.open("a", encoding="utf-8") as words,
        subprocess.Popen(
            [sys.executable, "-m", "tests.fault.nursery"],
            cwd=ROOT,
            env={**os.environ, "PYTHONPATH": os.pathsep.join(sys.path)},
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=words,
            text=True,
        ) as process,
    ):
        yield Nursery(process, words_to)

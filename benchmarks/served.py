"""A folder served by a program of its own, as a builder would have it served."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from rivetwright.bench.workshop import Workshop


@contextmanager
def served(folder: Path) -> Iterator[str]:
    """Begin a folder's record and serve it; gives its address."""
    workshop = Workshop(folder)
    workshop.begin()
    workshop.close()
    command = [sys.executable, "-m", "rivetwright", "serve", str(folder), "--port", "0"]
    with subprocess.Popen(command, stdout=subprocess.PIPE, text=True) as program:
        assert program.stdout is not None
        words = program.stdout.readline().split()
        try:
            yield next(word for word in words if word.startswith("http://"))
        finally:
            program.terminate()

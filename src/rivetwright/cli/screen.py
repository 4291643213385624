"""Where the command speaks: results on stdout, progress and refusals on stderr."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager

from rich.console import Console
from rich.progress import Progress as Bar

from rivetwright.cli.words import counted, say
from rivetwright.engines.worked import Progress
from rivetwright.errors import PlanRefused, Refusal

# Into a file or another program every line still fits a page on its side.
PIPED_WIDTH = 140
REFUSED = 2


def results() -> Console:
    """Stdout: as wide as the terminal, or as COLUMNS says, or as a page."""
    is_told = sys.stdout.isatty() or os.environ.get("COLUMNS", "").isdigit()
    return Console(width=None if is_told else PIPED_WIDTH, highlight=False)


def told() -> Console:
    """Stderr."""
    return Console(stderr=True, highlight=False)


@contextmanager
def progress_bar() -> Iterator[Progress | None]:
    """A bar on a terminal, gone when the work is done; elsewhere nothing."""
    screen = told()
    if not screen.is_terminal:
        yield None
        return
    with Bar(console=screen, transient=True) as bar:
        task = bar.add_task(say("files.reading"), total=None)

        def progress(title: str, done: int, count: int) -> None:
            bar.update(task, description=title, completed=done, total=count)

        yield progress


def refuse(refusal: Refusal) -> None:
    """Tell a refusal; of a file, each mistake on a line that an editor can open."""
    screen = told()
    if isinstance(refusal, PlanRefused):
        screen.print(counted("files.mistake", len(refusal.faults)), markup=False)
        for fault in refusal.faults:
            line = str(fault).rstrip()
            screen.print(f"{line.rstrip('.')}.", markup=False, soft_wrap=True)
    else:
        screen.print(str(refusal), markup=False, soft_wrap=True)

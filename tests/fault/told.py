"""What is told after a run of how often was killed, and what became of it.

One process kills, and another tells where tests run side by side.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest

NAMES = ("kills", "acknowledged", "lost", "seconds")
FIGURES: dict[str, dict[str, float]] = {}


def pytest_sessionfinish(session: pytest.Session) -> None:
    """One of several processes hands over what it counted."""
    handed_over = getattr(session.config, "workeroutput", None)
    if handed_over is not None:
        handed_over["kills"] = FIGURES


@pytest.hookimpl(optionalhook=True)
def pytest_testnodedown(node: Any) -> None:
    """Take in what one of several processes counted."""
    FIGURES.update(getattr(node, "workeroutput", {}).get("kills", {}))


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    """Tell it, a line a kind of work."""
    for number, line in enumerate(lines()):
        if number == 0:
            terminalreporter.section("killed at random moments")
        terminalreporter.write_line(line)


def lines() -> Iterator[str]:
    """The figures of this run, one line a kind of work, and their sum."""
    for job, told in FIGURES.items():
        yield f"{job:>8}: {_line(told)}"
    if FIGURES:
        every = {name: sum(one[name] for one in FIGURES.values()) for name in NAMES}
        yield f"{'in all':>8}: {_line(every)}"


def _line(told: dict[str, float]) -> str:
    return (
        f"{told['kills']} kills, {told['acknowledged']} acknowledged, "
        f"{told['lost']} lost, {told['seconds']:.0f} s"
    )

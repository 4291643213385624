"""What the tests of faults share: a warmed-up process, and their figures."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from tests.fault.child import Nursery, nursery
from tests.fault.figures import lines


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    """After a run, tell how often was killed and what became of it."""
    for number, line in enumerate(lines()):
        if number == 0:
            terminalreporter.section("killed at random moments")
        terminalreporter.write_line(line)


@pytest.fixture(scope="session")
def children(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Nursery]:
    """One warmed-up process for every child that these tests kill."""
    with nursery(tmp_path_factory.mktemp("nursery") / "words") as started:
        yield started

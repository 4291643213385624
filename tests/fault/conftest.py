"""What the tests of faults share: a warmed-up process."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from tests.fault.child import Nursery, nursery


@pytest.fixture(scope="session")
def children(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Nursery]:
    """One warmed-up process for every child that these tests kill."""
    with nursery(tmp_path_factory.mktemp("nursery") / "words") as started:
        yield started

"""How tests are spread over the processes that run them side by side.

The tests of one file stay in one process, so that what a file sets up is set up once;
some files stay together too. The longest go first: at the end no process is left with
a long file while the others have nothing to do.
"""

from __future__ import annotations

import pytest
from xdist.remote import Producer
from xdist.scheduler.loadscope import LoadScopeScheduling

# Beginnings of the names of files that stay together, with what they share.
TOGETHER = {
    "tests/contract/": "one database server",
    "tests/fault/test_kills": "one count of kills",
    "tests/fault/test_served_kills": "one count of kills",
    "tests/paper/": "packs that are typeset once",
}
LONGEST = ("browser", "fault", "property", "paper", "published")


def stays_with(name: str) -> str:
    """What a test stays together with: its file, or what several files share."""
    file = name.partition("::")[0]
    shared = (TOGETHER[one] for one in TOGETHER if file.startswith(one))
    return next(shared, file)


def place(name: str) -> int:
    """Where in the line the folder of a test stands."""
    folder = name.split("/")[1]
    return LONGEST.index(folder) if folder in LONGEST else len(LONGEST)


class Spread(LoadScopeScheduling):
    """Hands out what stays together, in the order of the tests."""

    def _split_scope(self, nodeid: str) -> str:
        return stays_with(nodeid)


@pytest.hookimpl(trylast=True)
def pytest_collection_modifyitems(
    config: pytest.Config, items: list[pytest.Item]
) -> None:
    """Put the longest first where tests run side by side."""
    if hasattr(config, "workerinput"):
        items.sort(key=lambda one: place(one.nodeid))


@pytest.hookimpl(optionalhook=True)
def pytest_xdist_make_scheduler(config: pytest.Config, log: Producer) -> Spread:
    """What hands out the tests where they run side by side."""
    config.option.loadscopereorder = False
    return Spread(config, log)

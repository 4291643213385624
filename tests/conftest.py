"""What every test shares: repeatable chance, and where the browser is."""

from __future__ import annotations

import os
import shutil
from pathlib import Path

import pytest
from hypothesis import HealthCheck, settings
from hypothesis.configuration import set_hypothesis_home_dir

from tests.fault.told import (  # noqa: F401  (as hooks of a run)
    pytest_sessionfinish,
    pytest_terminal_summary,
    pytest_testnodedown,
)
from tests.spread import (  # noqa: F401  (as above)
    pytest_collection_modifyitems,
    pytest_xdist_make_scheduler,
)

ROOT = Path(__file__).resolve().parent.parent

# The same examples on every machine, and no verdict that rests on its speed.
set_hypothesis_home_dir(str(ROOT / "build" / "cache" / "hypothesis"))
settings.register_profile(
    "repeatable",
    database=None,
    deadline=None,
    derandomize=True,
    suppress_health_check=[HealthCheck.too_slow],
)
settings.load_profile("repeatable")


@pytest.fixture(scope="session")
def root() -> Path:
    """The folder of the project."""
    return ROOT


@pytest.fixture(scope="session")
def chromium_path() -> str:
    """The browser that the tests drive; CHROMIUM in the environment names another."""
    found = os.environ.get("CHROMIUM") or shutil.which("chromium")
    assert found, "no chromium: run python3 run.py test, or name one in CHROMIUM"
    return found

"""The demo's three assemblies, worked out once for all tests here."""

from __future__ import annotations

from pathlib import Path

import pytest

from rivetwright.engines.plan import WorkedPlan, work_out
from rivetwright.intake.plan_file import read_plan
from tests.worked_once import worked_once  # noqa: F401  (for every test)

FILES = ("aileron", "root-rib", "flap")


@pytest.fixture(scope="session")
def demo(root: Path) -> dict[str, WorkedPlan]:
    """The worked plans of the demo, by file name."""
    folder = root / "examples" / "ostrel"
    return {name: work_out(read_plan(folder / f"{name}.yaml")) for name in FILES}

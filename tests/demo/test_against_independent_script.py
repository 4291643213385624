"""Our numbers beside those of a script written apart from this project.

The script came with the demo, reads its tables and shares no code with us; what
it printed for each row is kept in independent_rows.csv. It rounds grip to 0.001
and sixteenths to 0.01, which are the tolerances here.
"""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from rivetwright.engines.plan import WorkedPlan

MM = 25.4

with (Path(__file__).parent / "independent_rows.csv").open(encoding="utf-8") as file:
    ROWS = list(csv.DictReader(file))
OF_FILE = {"A": "aileron", "B": "root-rib", "C": "flap"}


@pytest.mark.parametrize("printed", ROWS, ids=lambda row: row["row"])
def test_grip_and_wanted_length_agree(
    demo: dict[str, WorkedPlan], printed: dict[str, str]
) -> None:
    """Grip and wanted length of every row agree with the independent script."""
    worked = demo[OF_FILE[printed["row"][0]]].worked
    hole = worked.holes.index(f"{printed['row']}:1")
    grip = worked.at("grip_mm", hole) / MM
    assert grip == pytest.approx(float(printed["grip_in"]), abs=0.0005)
    if printed["wanted_in"]:
        wanted = worked.at("handbook_length_mm", hole) / MM
        assert wanted == pytest.approx(float(printed["wanted_in"]), abs=0.00005)


def test_every_row_of_the_demo_was_compared(demo: dict[str, WorkedPlan]) -> None:
    """The script printed each row of the three assemblies, and no other."""
    rows = {row.name for w in demo.values() for row in w.worked.plan.rows}
    assert rows == {printed["row"] for printed in ROWS}

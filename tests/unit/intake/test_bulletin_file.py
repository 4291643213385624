"""A bulletin file is checked against its plan, or refused with its lines."""

from __future__ import annotations

from pathlib import Path

import pytest

from rivetwright.errors import PlanRefused
from rivetwright.intake.bulletin_file import read_bulletin, read_bulletin_bytes
from rivetwright.intake.plan_file import read_plan

FOLDER = Path(__file__).parents[3] / "examples" / "ostrel"
PLAN = read_plan(FOLDER / "root-rib.yaml")
TEXT = (FOLDER / "sb-07.yaml").read_text("utf-8")


def test_bulletin_reads_its_kit_rows_and_access() -> None:
    """SB-07K: one 621, 20 rivets; B19 has an entry for each of its five holes."""
    bulletin = read_bulletin(FOLDER / "sb-07.yaml", PLAN)
    assert bulletin.kit_contents == (("621", 1), ("MS20470AD4-5", 20))
    rows = {row.name: row for row in bulletin.rows}
    access = rows["B19"].access
    assert access is not None
    # 1.10, 2.05 and 3.00 in.
    entries = (27.94, 52.07, 76.2, 52.07, 27.94)
    assert access.entry_by_hole_mm == pytest.approx(entries)
    assert access.entry_mm == pytest.approx(76.2)
    # No. 30 is 0.1285 in.
    assert rows["B19"].drill_mm == pytest.approx(3.2639)


def test_row_keeps_the_plans_access_when_the_bulletin_gives_none() -> None:
    """B9's access stays when its line is taken out of the bulletin."""
    line = "  - {rows: [B9], entry: 2.5, throat_flange: .625, tools: [Y2]}\n"
    assert line in TEXT
    bulletin = read_bulletin_bytes(TEXT.replace(line, "").encode(), "sb", PLAN)
    before = {row.name: row for row in PLAN.rows}["B9"]
    after = {row.name: row for row in bulletin.rows}["B9"]
    assert after.access == before.access
    assert after.access is not None


def test_row_takes_its_own_id_when_the_bulletin_gives_one() -> None:
    """A bulletin may give a row a permanent id of its own."""
    text = TEXT.replace("B9:  {face", "B9:  {id: other, face")
    assert text != TEXT
    bulletin = read_bulletin_bytes(text.encode(), "sb", PLAN)
    assert {row.name: row.id for row in bulletin.rows}["B9"] == "other"


@pytest.mark.parametrize(
    ("old", "new", "field", "found", "allowed"),
    [
        ("assembly: root-rib", "assembly: flap", "assembly", "flap", "root-rib"),
        ("before: 604", "before: 801", "layers[1].before", "part 801", "604"),
        (
            "face: B-W, part: 621",
            "face: B-X, part: 621",
            "layers[1].face",
            "B-X",
            "B-W",
        ),
        ("from: rib-7", "from: rib-9", "layers[1].from", "step rib-9", "rib-7"),
        ("rows: [B10]", "rows: [B1]", "access[2].rows[1]", "row B1", "B10"),
        (
            "[rib-2, part 621]",
            "[wing-15, part 621]",
            "steps.wing-15.needs",
            "rib-7",
            "back",
        ),
        ("[21.6, 25.8]", "[25.8, 21.6]", "layers[1].u", "not past", "less than"),
        ("from: rib-7", "fromm: rib-7", "layers[1].fromm", "fromm", "nearest: from"),
        ("unit: in", "unit: ft", "unit", "ft", "in or mm"),
        ("based_on: 1", "based_on: one", "based_on", "one", "whole number"),
        ("thickness: .040", "thickness: 0,04", "parts.621.04", "nothing", "comma"),
    ],
)
def test_bulletin_is_refused_with_field(
    old: str, new: str, field: str, found: str, allowed: str
) -> None:
    """One change of the example is told at its field."""
    assert TEXT.count(old) == 1
    with pytest.raises(PlanRefused) as refused:
        read_bulletin_bytes(TEXT.replace(old, new).encode(), "sb.yaml", PLAN)
    told = {fault.field: fault for fault in refused.value.faults}
    assert field in told, refused.value
    assert found in told[field].found
    assert allowed in told[field].allowed or allowed in told[field].do

"""Every broken file in tests/broken is refused, with its line, field and words."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from rivetwright.errors import PlanRefused
from rivetwright.intake.lined import BYTES_MOST
from rivetwright.intake.plan_file import read_plan, read_plan_bytes

BROKEN = Path(__file__).parents[2] / "broken"


def _expected() -> list[dict[str, str]]:
    """What each file is refused with, as typed when its mistake was made."""
    with (BROKEN / "expected.csv").open(encoding="utf-8", newline="") as lines:
        return list(csv.DictReader(lines))


EXPECTED = _expected()


@pytest.mark.parametrize("case", EXPECTED, ids=lambda case: case["file"])
def test_broken_file_is_refused_with_line_and_field(case: dict[str, str]) -> None:
    """One mistake gives one fault: its line, its field, found, allowed, what to do."""
    path = BROKEN / case["file"]
    with pytest.raises(PlanRefused) as refused:
        read_plan(path)
    told = "\n".join(str(fault) for fault in refused.value.faults)
    fault = refused.value.faults[0]
    assert (fault.line, fault.field) == (int(case["line"]), case["field"]), told
    assert case["found"] in fault.found, told
    assert case["allowed"] in fault.allowed, told
    assert case["do"] in fault.do, told
    assert fault.file == str(path)
    assert all(one.do and one.allowed for one in refused.value.faults), told
    assert len(refused.value.faults) == int(case["faults"]), told


def test_broken_files_are_at_least_sixty() -> None:
    """Each file of the folder has its line in the table, and there are 60 or more."""
    files = sorted(path.name for path in BROKEN.iterdir() if path.suffix != ".csv")
    assert files == sorted(case["file"] for case in EXPECTED)
    assert len(files) >= 60


def test_file_is_refused_when_it_is_not_there(tmp_path: Path) -> None:
    """No such file, or a folder in its place: a refusal, as for any other mistake."""
    with pytest.raises(PlanRefused) as refused:
        read_plan(tmp_path / "none.yaml")
    assert refused.value.faults[0].found == "No such file or directory"
    with pytest.raises(PlanRefused) as refused:
        read_plan(tmp_path)
    assert refused.value.faults[0].do == "Check its name and folder"


def test_file_is_refused_when_huge() -> None:
    """A file over the limit is refused before it is read as YAML."""
    with pytest.raises(PlanRefused) as refused:
        read_plan_bytes(b"#" * (BYTES_MOST + 1), "huge.yaml")
    assert refused.value.faults[0].found == "more than 4,000,000 bytes"
    assert refused.value.faults[0].do == "Split it: one assembly a file"

"""The commands import and export, as they are typed."""

from __future__ import annotations

from pathlib import Path

import pytest

from rivetwright.cli.main import run
from rivetwright.intake.plan_file import read_plan

ROOT = Path(__file__).parents[3]
FLAP = ROOT / "examples" / "ostrel" / "flap.yaml"
DRAWING = ROOT / "tests" / "dxf" / "gdal.dxf"


def ended(*words: str) -> int:
    """Run the command; its exit code."""
    with pytest.raises(SystemExit) as end:
        run(words)
    return int(end.value.code or 0)


def test_plan_goes_to_a_workbook_and_back(tmp_path: Path) -> None:
    """Export, then import: the rows are those of the file."""
    book, back = str(tmp_path / "f.xlsx"), str(tmp_path / "f.yaml")
    assert ended("export", str(FLAP), "-o", book) == 0
    assert ended("import", book, "-o", back) == 0
    assert read_plan(back).rows == read_plan(FLAP).rows


def test_template_is_written_alone(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """With a plan beside it the two words are refused; without any of them too."""
    out = str(tmp_path / "t.xlsx")
    assert ended("export", "--template", "-o", out) == 0
    assert ended("export", str(FLAP), "--template", "-o", out) == 2
    assert ended("export", "-o", out) == 2
    assert "give one of the two" in capsys.readouterr().err


def test_drawing_tells_what_became_nothing(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """The circle on layer CUT was not chosen: it is counted."""
    words = ("-o", str(tmp_path / "g.yaml"), "--unit", "mm", "--part", "SKIN=11:.8")
    callout = ("--callout", "MS20470AD4-4")
    assert ended("import", str(DRAWING), *words, *callout) == 0
    assert "1 circle(s) or outline(s) became nothing" in capsys.readouterr().out
    assert len(read_plan(tmp_path / "g.yaml").rows) == 1


def test_mistakes_of_a_table_write_nothing(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A folder without the sheet Assembly is refused with exit code 2."""
    (tmp_path / "Parts.csv").write_text("name\n11\n", encoding="utf-8")
    out = tmp_path / "p.yaml"
    assert ended("import", str(tmp_path), "-o", str(out)) == 2
    assert "no sheet Assembly" in capsys.readouterr().err
    assert not out.exists()

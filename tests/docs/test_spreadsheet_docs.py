"""The page about spreadsheets says what the sheets themselves are."""

from __future__ import annotations

from pathlib import Path

from rivetwright.intake.schema import plan_schema
from rivetwright.intake.sheets.layout_opening import SHEETS
from scripts.page_of_spreadsheet import spreadsheet_page
from tests.docs.test_plan_file_docs import fields_of


def test_page_is_the_one_the_sheets_make(root: Path) -> None:
    """Run python -m scripts.write_docs after a column changed."""
    assert (root / "docs" / "spreadsheet.md").read_text("utf-8") == spreadsheet_page()


def test_every_column_is_on_the_page() -> None:
    """Each sheet has its section with each of its columns."""
    page = spreadsheet_page()
    for sheet in SHEETS:
        section = page.partition(f"\n## {sheet.name}\n")[2].partition("\n## ")[0]
        assert [t for t in sheet.titles if f"| `{t}` |" not in section] == []


def test_every_field_of_the_plan_file_has_a_column() -> None:
    """A field that the sheets do not hold would be lost on the way through them."""
    held = {str(step) for sheet in SHEETS for step in sheet.into}
    held |= {
        str(step) for sheet in SHEETS for one in sheet.columns for step in one.path
    }
    assert fields_of(plan_schema()) - held == set()

"""Write the pages and schemas that are made from the code.

    python -m scripts.write_docs

A test holds the files equal to what this writes.
"""

from __future__ import annotations

from pathlib import Path

from rivetwright.engines.checks import CHECKS
from rivetwright.intake.schema import schema_files
from scripts.page_of_accuracy import accuracy_page
from scripts.page_of_commands import command_page
from scripts.page_of_record import record_page
from scripts.page_of_result import result_page, schema_text
from scripts.page_of_spreadsheet import spreadsheet_page
from scripts.pages_of_rules import (
    finding_index,
    finding_page,
    quantity_page,
    table_sources,
)

ROOT = Path(__file__).resolve().parent.parent


def pages() -> dict[str, str]:
    """Every file that is made from the code: its path and its text."""
    rows = table_sources()
    return {
        "docs/findings/README.md": finding_index(),
        **{
            f"docs/findings/{code}.md": finding_page(one, rows)
            for code, one in CHECKS.items()
        },
        "docs/quantities.md": quantity_page(rows),
        "docs/accuracy.md": accuracy_page(),
        "docs/plan-result.md": result_page(),
        "docs/command-line.md": command_page(),
        "docs/record.md": record_page(),
        "docs/spreadsheet.md": spreadsheet_page(),
        "schemas/plan-result.schema.json": schema_text(),
        **{f"schemas/{name}": text for name, text in schema_files().items()},
    }


def write(root: Path) -> list[str]:
    """Write them all under a folder; pages of codes that are gone are removed."""
    made = pages()
    (root / "docs" / "findings").mkdir(parents=True, exist_ok=True)
    (root / "schemas").mkdir(exist_ok=True)
    for page in (root / "docs" / "findings").glob("*.md"):
        if f"docs/findings/{page.name}" not in made:
            page.unlink()
    for path, text in made.items():
        (root / path).write_text(text, encoding="utf-8")
    return list(made)


if __name__ == "__main__":
    for written in write(ROOT):
        print(f"written {written}")

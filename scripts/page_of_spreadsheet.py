"""The page about spreadsheets: every sheet with its columns, from the code."""

from __future__ import annotations

from rivetwright.intake.sheets.help import help_lines
from rivetwright.intake.sheets.layout import Column, Sheet
from rivetwright.intake.sheets.layout_opening import SHEETS
from scripts.pages_of_rules import MADE

INTRODUCTION = """# The spreadsheet

A plan can be filled in as a workbook (XLSX) or as CSV files, one a sheet, in a folder
or a ZIP. The fields are those of [the plan file](plan-file.md), and so are the rules;
a mistake is told by sheet and cell, all of them at once, and then nothing is taken
over. A plan goes from one form to the other and back without loss.

```text
rivetwright export --template -o panel.xlsx     the workbook to fill in
rivetwright import panel.xlsx -o panel.yaml     a plan file of it
rivetwright export panel.yaml -o panel.xlsx     and back; a folder for CSV files
```

No formula is read or worked out. What would be taken for one is written in quotes. A
workbook is looked at before it is unpacked: at most 20 MB, 80 MB unpacked, 200,000
lines a sheet; locked files, and files that declare texts of their own, are refused.

## How it is read
"""
ONE = "one value"
REPEATED = "may go on, on lines below"


def spreadsheet_page() -> str:
    """The page about spreadsheets."""
    said = [
        f"{name}: {text}" if name and text else text for name, text in help_lines()[1:]
    ]
    rules = said[: said.index("")]
    lines = [MADE, "", INTRODUCTION, *(f"- {rule}" for rule in rules)]
    for sheet in SHEETS:
        lines += ["", f"## {sheet.name}", "", sheet.about, "", *_table(sheet)]
    return "\n".join(lines) + "\n"


def _table(sheet: Sheet) -> list[str]:
    """The columns of a sheet."""
    rows = [
        f"| `{one.title}` | {_field(one)} | {REPEATED if one.is_repeated else ONE} |"
        for one in sheet.columns
    ]
    return ["| Column | Field of the plan file | |", "|---|---|---|", *rows]


def _field(column: Column) -> str:
    """The field of the plan file that a column holds."""
    names = [one for one in column.path if isinstance(one, str) and one[0].isalpha()]
    if names:
        return f"`{'.'.join(names)}`"
    return "the value" if column.path and column.path[0] == "<value>" else "where it is"

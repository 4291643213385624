"""The sheet of help, and the template: titles, one line of example, no plan."""

from __future__ import annotations

from rivetwright.intake.sheets.layout import ASSEMBLY
from rivetwright.intake.sheets.layout_opening import SHEETS
from rivetwright.intake.sheets.spread import Lines

_RULES = (
    ("What it is", "One assembly as its drawings give it. The example is INVENTED."),
    ("Examples", "A line whose first cell begins with # is left out: write over it."),
    ("Entries", "The first column begins an entry. A line without it goes on above:"),
    ("", "further points, corners, needs and stacks may stand on lines of their own."),
    ("Lists", "Several values in one cell stand between semicolons: 11; 12 dimple."),
    ("Sizes", "In the unit of the sheet Assembly, or 3/32, 1-1/16, 0.8 mm, No. 40."),
    ("", "All cells are text, so that 1/8 stays a size and is not made a date."),
    ("Quotes", 'A text with a semicolon in a list stands in quotes: "a; b".'),
    ("Formulas", "None is read: paste values."),
    ("Ids", "project id is a uuid, made once, the same in all files of an aircraft."),
    ("Own notes", "A sheet whose name begins with _ is left alone."),
)


def help_lines() -> Lines:
    """The lines of the sheet of help."""
    lines = [["Help", "How this workbook is read"]]
    lines += [[name, text] for name, text in _RULES]
    lines += [["", ""], ["Sheet", "What stands on it"]]
    return lines + [[sheet.name, sheet.about] for sheet in SHEETS]


def template_sheets() -> dict[str, Lines]:
    """Every sheet with its titles and a line of example."""
    sheets: dict[str, Lines] = {}
    for sheet in SHEETS:
        if sheet is ASSEMBLY:
            fields = [[column.title, column.example] for column in sheet.columns]
            sheets[sheet.name] = [["field", "value"], *fields]
            continue
        lines = [list(sheet.titles)]
        if sheet.columns[0].example:
            example = [column.example for column in sheet.columns]
            lines.append([f"# {example[0]}", *example[1:]])
        sheets[sheet.name] = lines
    return sheets

"""Sheets of texts as an XLSX workbook, with help, lists to choose from and widths."""

from __future__ import annotations

import io
import re
import zipfile
from collections.abc import Mapping
from datetime import datetime
from typing import Any

from openpyxl import Workbook
from openpyxl.styles import Alignment, Font, PatternFill
from openpyxl.utils import get_column_letter, quote_sheetname
from openpyxl.worksheet.datavalidation import DataValidation

from rivetwright.intake.sheets.help import help_lines
from rivetwright.intake.sheets.layout import ASSEMBLY, Sheet
from rivetwright.intake.sheets.layout_opening import HELP, SHEETS
from rivetwright.intake.sheets.spread import Lines

# Lines that lists to choose from reach down to.
LINES_CHOSEN = 2000
AS_TEXT = "@"
WIDTH_LEAST, WIDTH_MOST = 10, 40
# The same plan makes the same bytes: no clock goes into the file.
DAY = datetime(2000, 1, 1)
# Saving writes the clock into the properties, whatever they were set to.
_CLOCK = re.compile(rb'(W3CDTF">)[^<]*<')
_STAMP = rb"\g<1>2000-01-01T00:00:00Z<"


def write_workbook(sheets: Mapping[str, Lines]) -> bytes:
    """Write lines of cells as a workbook; every cell is text.

    Args:
        sheets: lines by name of sheet, titles first.

    Returns:
        The bytes of an XLSX file.
    """
    book = Workbook()
    help_sheet = book.active
    assert help_sheet is not None, "a new workbook has one sheet"
    help_sheet.title = HELP
    _fill(help_sheet, help_lines())
    help_sheet.column_dimensions["A"].width = 20
    help_sheet.column_dimensions["B"].width = 100
    by_name = {sheet.name: sheet for sheet in SHEETS}
    for name, lines in sheets.items():
        made = book.create_sheet(name)
        _fill(made, lines)
        made.freeze_panes = "B2"
        _choices(made, by_name[name], set(sheets))
        for k in range(len(lines[0])):
            longest = max((len(line[k]) for line in lines[:200]), default=0) + 2
            letter = get_column_letter(k + 1)
            width = min(max(longest, WIDTH_LEAST), WIDTH_MOST)
            made.column_dimensions[letter].width = width
    book.properties.creator = "Rivetwright"
    packed = io.BytesIO()
    book.save(packed)
    return _dated(packed.getvalue())


def _fill(sheet: Any, lines: Lines) -> None:
    """Write every cell as text, the titles bold."""
    for number, line in enumerate(lines, start=1):
        for k, text in enumerate(line, start=1):
            one = sheet.cell(number, k)
            one.number_format = AS_TEXT
            if text:
                # Never a formula, whatever it begins with.
                one.value = text
                one.data_type = "s"
            if number == 1:
                one.font = Font(bold=True)
                one.fill = PatternFill("solid", fgColor="E8E2D4")
            elif "\n" in text:
                one.alignment = Alignment(wrap_text=True, vertical="top")


def _choices(made: Any, sheet: Sheet, names: set[str]) -> None:
    """Put lists to choose from to the columns that have them, and text below."""
    if sheet is ASSEMBLY:
        return
    for k, column in enumerate(sheet.columns, start=1):
        letter = get_column_letter(k)
        made.column_dimensions[letter].number_format = AS_TEXT
        source = ""
        if column.choices:
            source = f'"{",".join(column.choices)}"'
        elif column.choices_of in names:
            source = f"{quote_sheetname(column.choices_of)}!$A$2:$A${LINES_CHOSEN}"
        if source:
            offered = DataValidation("list", formula1=source, allow_blank=True)
            # A part may be called by any name: the list offers, it does not forbid.
            offered.showErrorMessage = bool(column.choices)
            made.add_data_validation(offered)
            offered.add(f"{letter}2:{letter}{LINES_CHOSEN}")


def _dated(packed: bytes) -> bytes:
    """The same file with one day for all of its parts."""
    made = io.BytesIO()
    with (
        zipfile.ZipFile(io.BytesIO(packed)) as old,
        zipfile.ZipFile(made, "w", zipfile.ZIP_DEFLATED) as new,
    ):
        for part in old.infolist():
            entry = zipfile.ZipInfo(part.filename, DAY.timetuple()[:6])
            entry.compress_type = zipfile.ZIP_DEFLATED
            new.writestr(entry, _CLOCK.sub(_STAMP, old.read(part)))
    return made.getvalue()

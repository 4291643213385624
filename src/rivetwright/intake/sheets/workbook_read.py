"""Cells of an XLSX workbook as text; no formula is worked out, nothing is fetched."""

from __future__ import annotations

import io
import struct
import warnings
import zipfile
import zlib
from collections.abc import Iterator
from datetime import date, datetime, time
from typing import Any
from xml.etree.ElementTree import ParseError

import openpyxl
from openpyxl.utils.exceptions import InvalidFileException

from rivetwright.intake.sheets.bounds import (
    COLUMNS_MOST,
    LINES_MOST,
    declares_nothing,
    opened_zip,
)
from rivetwright.intake.sheets.cell_faults import CellFaults
from rivetwright.intake.sheets.layout_opening import HELP

# What reading a torn or strange workbook comes to, from four libraries deep.
_TORN = (
    zipfile.BadZipFile, zlib.error, struct.error, ParseError, InvalidFileException,
    OSError, EOFError, NotImplementedError, KeyError, IndexError, ValueError,
    TypeError, AttributeError, OverflowError, RecursionError,
)  # fmt: skip


def read_workbook(raw: bytes, faults: CellFaults) -> dict[str, list[list[str]]]:
    """Read the cells of a workbook.

    Args:
        raw: the bytes of an XLSX file.
        faults: where mistakes are noted: formulas, broken cells, too much of it.

    Returns:
        Lines of texts by name of sheet; the sheet of help is left out.

    Raises:
        PlanRefused: the bytes are no workbook, or hold too much.
    """
    packed = opened_zip(raw, faults)
    faults.refuse()
    assert packed is not None, "what was not opened was refused"
    try:
        if declares_nothing(packed, faults):
            with warnings.catch_warnings():
                warnings.simplefilter("ignore")
                return dict(_sheets(raw, faults))
    except _TORN:
        do = "Open it in a spreadsheet program and save it as XLSX again"
        faults.add((), "a workbook that is torn", "a whole XLSX workbook", do)
    faults.refuse()
    return {}


def _sheets(raw: bytes, faults: CellFaults) -> Iterator[tuple[str, list[list[str]]]]:
    """Every sheet with its lines."""
    book = openpyxl.load_workbook(io.BytesIO(raw), read_only=True, keep_links=False)
    for sheet in book.worksheets:
        if sheet.title == HELP:
            continue
        # The size a sheet claims for itself may be missing or wrong.
        sheet.reset_dimensions()
        lines: list[list[str]] = []
        for number, cells in enumerate(sheet.iter_rows(max_col=COLUMNS_MOST), start=1):
            if number > LINES_MOST:
                found = f"more than {LINES_MOST:,} lines on sheet {sheet.title}"
                do = "Delete the empty lines below, or split the plan"
                faults.add((f"lines of {sheet.title}",), found, f"{LINES_MOST:,}", do)
                break
            lines.append([_text(one, sheet.title, faults) for one in cells])
        yield sheet.title, lines


def _text(one: Any, sheet: str, faults: CellFaults) -> str:
    """The text of a cell; a formula or a fault of the spreadsheet's own is noted."""
    value = one.value
    if value is None:
        return ""
    if one.data_type in ("f", "e"):
        at = (sheet, one.row, one.column - 1)
        shown = value if isinstance(value, str) else "a formula"
        allowed = "a value, never a formula"
        do = "Copy the cell and paste its value over it"
        faults.at_cell(at, "cell", shown, allowed, do)
        return ""
    return typed(value)


def typed(value: object) -> str:
    """A value of a spreadsheet as a person would have typed it."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return (
            str(int(value)) if value.is_integer() and abs(value) < 1e15 else repr(value)
        )
    if isinstance(value, datetime):
        is_day = value.time() == time()
        return value.date().isoformat() if is_day else value.isoformat(" ")
    if isinstance(value, date):
        return value.isoformat()
    return str(value)

"""Sheets as CSV files, one a sheet; and a table pasted from a spreadsheet."""

from __future__ import annotations

import csv
import io
import zipfile
from collections.abc import Mapping
from pathlib import Path

from rivetwright.intake.faults import Faults
from rivetwright.intake.lined import BYTES_MOST, decode, read_bytes
from rivetwright.intake.sheets.bounds import LINES_MOST, opened_zip
from rivetwright.intake.sheets.cell_faults import CellFaults
from rivetwright.intake.sheets.layout import Column
from rivetwright.intake.sheets.layout_opening import SHEETS
from rivetwright.intake.sheets.spread import Lines

ENDING = ".csv"
BETWEEN = (",", ";", "\t")
# A spreadsheet program takes a CSV file for UTF-8 only where this mark stands first.
MARK = "\ufeff"


def write_tables(sheets: Mapping[str, Lines]) -> dict[str, bytes]:
    """Write each sheet as a CSV file.

    Args:
        sheets: lines by name of sheet, titles first.

    Returns:
        Bytes by file name.
    """
    files = {}
    for name, lines in sheets.items():
        text = io.StringIO(newline="")
        csv.writer(text, lineterminator="\r\n").writerows(lines)
        files[name + ENDING] = (MARK + text.getvalue()).encode("utf-8")
    return files


def read_folder(folder: Path, faults: CellFaults) -> dict[str, Lines]:
    """Read the CSV files of a folder.

    Raises:
        PlanRefused: there is none, or one cannot be read.
    """
    files = sorted(folder.glob(f"*{ENDING}"))
    if len(files) > 2 * len(SHEETS):
        found, allowed = f"{len(files)} CSV files", "one CSV file for each sheet"
        faults.add((), found, allowed, "Put the plan into a folder of its own")
        faults.refuse()
    return {one.stem: _table(read_bytes(one), one.stem, faults) for one in files}


def read_packed_tables(raw: bytes, faults: CellFaults) -> dict[str, Lines]:
    """Read CSV files out of a zip file.

    Raises:
        PlanRefused: it is no zip file, or holds too much.
    """
    packed = opened_zip(raw, faults)
    faults.refuse()
    assert packed is not None, "what was not opened was refused"
    sheets = {}
    for part in packed.infolist():
        path = Path(part.filename)
        if path.suffix == ENDING and not path.name.startswith("."):
            try:
                sheets[path.stem] = _table(packed.read(part), path.stem, faults)
            except (zipfile.BadZipFile, OSError, EOFError, NotImplementedError):
                do = "Pack the files again"
                faults.add((), f"{path.name}, torn", "whole files", do)
                faults.refuse()
    return sheets


def _table(raw: bytes, name: str, faults: CellFaults) -> Lines:
    """The lines of one CSV file."""
    noted = Faults(f"{name}{ENDING}")
    text = decode(raw, noted) if raw.strip() else ""
    if len(noted):
        fault = noted.refusal().faults[0]
        faults.add((f"file {name}",), fault.found, fault.allowed, fault.do)
        return []
    return split_lines(text, faults, name)


def split_lines(text: str, faults: CellFaults, name: str = "table") -> Lines:
    """Cut the text of a table into cells; notes what cannot be cut."""
    first = text.partition("\n")[0]
    between = max(BETWEEN, key=first.count)
    limit = csv.field_size_limit(BYTES_MOST)
    lines: Lines = []
    try:
        for line in csv.reader(io.StringIO(text, newline=""), delimiter=between):
            if len(lines) == LINES_MOST:
                found = f"more than {LINES_MOST:,} lines"
                faults.add((f"lines of {name}",), found, f"{LINES_MOST:,}", "Split it")
                break
            lines.append(line)
    except csv.Error as why:
        do = "Look at the quotes of this file"
        faults.add((f"file {name}",), f"a broken table: {why}", "a CSV table", do)
    finally:
        csv.field_size_limit(limit)
    return lines


def pasted(text: str, sheet: str, file: str = "pasted table") -> Lines:
    """Lines of a table that was pasted for a sheet, its titles first.

    Where the first line holds no titles of the sheet, the columns are taken in the
    order of the template.

    Args:
        text: what a spreadsheet puts on the clipboard: tabs between cells.
        sheet: name of the sheet it is for.
        file: name to show in mistakes.

    Raises:
        PlanRefused: it is no table, or has more columns than the sheet.
    """
    faults = CellFaults(file)
    (columns,) = [one.columns for one in SHEETS if one.name == sheet]
    lines = [line for line in split_lines(text, faults) if any(line)]
    faults.refuse()
    titles = [" ".join(one.split()).lower() for one in lines[0]] if lines else []
    if set(titles) & {column.title for column in columns}:
        return lines
    return [_titles(lines, columns, faults), *lines]


def _titles(lines: Lines, columns: tuple[Column, ...], faults: CellFaults) -> list[str]:
    """Titles for lines without them."""
    width = max((len(line) for line in lines), default=0)
    if width > len(columns):
        found, allowed = f"{width} columns", f"at most {len(columns)}"
        faults.add((), found, allowed, "Paste the titles too")
        faults.refuse()
    return [column.title for column in columns[:width]]

"""A plan read from a spreadsheet, and written as one: XLSX, or CSV files.

Read whole or refused, every mistake with its sheet and cell, by the rules of the plan
file.  The same fields stand on both, so a plan goes from one to the other and back.
"""

from __future__ import annotations

import io
import zipfile
from collections.abc import Mapping
from pathlib import Path

from rivetwright.intake.build_plan import build_plan
from rivetwright.intake.forms import PlanForm
from rivetwright.intake.plan_file import unit_of
from rivetwright.intake.shape import check_shape
from rivetwright.intake.sheets.bounds import BYTES_MOST
from rivetwright.intake.sheets.cell_faults import CellFaults
from rivetwright.intake.sheets.gather import Cells, gather
from rivetwright.intake.sheets.help import template_sheets
from rivetwright.intake.sheets.layout_opening import SHEETS
from rivetwright.intake.sheets.spread import spread
from rivetwright.intake.sheets.tables import (
    read_folder,
    read_packed_tables,
    write_tables,
)
from rivetwright.intake.sheets.workbook_read import read_workbook
from rivetwright.intake.sheets.workbook_write import write_workbook
from rivetwright.intake.write_plan import plan_fields
from rivetwright.model.plan import Plan


def read_spreadsheet(path: Path | str) -> Plan:
    """Read a plan from an XLSX file, a folder of CSV files or a zip file of them.

    Args:
        path: the file or folder.

    Returns:
        The plan of the assembly.

    Raises:
        PlanRefused: it is not there or has mistakes; carries all with their cells.
    """
    path = Path(path)
    faults = CellFaults(str(path))
    if path.is_dir():
        return plan_of_sheets(read_folder(path, faults), faults)
    try:
        with path.open("rb") as opened:
            raw = opened.read(BYTES_MOST + 1)
    except OSError as why:
        found = why.strerror or "a file that cannot be read"
        do = "Check its name and folder"
        faults.add((), found, "a file that can be read", do)
        raise faults.refusal() from None
    return read_spreadsheet_bytes(raw, str(path))


def read_spreadsheet_bytes(raw: bytes, file: str) -> Plan:
    """Read a plan from the bytes of an XLSX file or of CSV files in a zip file.

    Args:
        raw: the bytes.
        file: name to show in mistakes; `.zip` for CSV files.

    Returns:
        The plan of the assembly.

    Raises:
        PlanRefused: the bytes have mistakes; carries all of them with their cells.
    """
    faults = CellFaults(file)
    read = read_packed_tables if file.lower().endswith(".zip") else read_workbook
    return plan_of_sheets(read(raw, faults), faults)


def sheet_names() -> tuple[str, ...]:
    """Names of all sheets a plan may have."""
    return tuple(sheet.name for sheet in SHEETS)


def plan_of_sheets(sheets: Mapping[str, Cells], faults: CellFaults) -> Plan:
    """Build a plan from lines of cells.

    Args:
        sheets: lines of texts by name of sheet, titles first.
        faults: mistakes found so far.

    Returns:
        The plan.

    Raises:
        PlanRefused: there is a mistake; carries all of them with their cells.
    """
    written = gather(sheets, faults)
    if not written:
        faults.refuse()
    unit = unit_of(written)
    form = check_shape(PlanForm, written, unit, faults)
    plan = build_plan(form, written, unit, faults) if form else None
    faults.refuse()
    assert plan is not None, "a form without faults makes a plan"
    return plan


def write_spreadsheet(plan: Plan) -> bytes:
    """Write a plan as an XLSX workbook.

    Args:
        plan: the plan.

    Returns:
        The bytes; the same plan makes the same bytes.
    """
    return write_workbook(spread(plan_fields(plan)))


def write_csv_files(plan: Plan) -> dict[str, bytes]:
    """Write a plan as CSV files, one a sheet.

    Args:
        plan: the plan.

    Returns:
        Bytes by file name.
    """
    return write_tables(spread(plan_fields(plan)))


def write_csv_zip(plan: Plan) -> bytes:
    """Write a plan as CSV files in one zip file.

    Args:
        plan: the plan.

    Returns:
        The bytes; the same plan makes the same bytes.
    """
    made = io.BytesIO()
    with zipfile.ZipFile(made, "w", zipfile.ZIP_DEFLATED) as packed:
        for name, raw in write_csv_files(plan).items():
            packed.writestr(zipfile.ZipInfo(name, (2000, 1, 1, 0, 0, 0)), raw)
    return made.getvalue()


def write_template() -> bytes:
    """An empty workbook to fill in: titles, lists to choose from, a line of example."""
    return write_workbook(template_sheets())

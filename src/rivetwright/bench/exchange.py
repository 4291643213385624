"""A plan brought in from another kind of file, and given out as one."""

from __future__ import annotations

import os
from collections.abc import Iterable
from pathlib import Path

from rivetwright.errors import Refusal
from rivetwright.intake.plan_file import read_plan
from rivetwright.intake.spreadsheet import (
    read_spreadsheet,
    sheet_names,
    write_csv_files,
    write_csv_zip,
    write_spreadsheet,
    write_template,
)
from rivetwright.intake.write_plan import write_plan
from rivetwright.model.plan import Plan

PLAN_ENDINGS = (".yaml", ".yml")
SHEET_ENDINGS = (".xlsx", ".zip")


def bring_in(path: Path) -> Plan:
    """Read a plan from any kind of file we know, by its ending.

    Args:
        path: a workbook, a folder or zip file of CSV files, or a plan file.

    Raises:
        PlanRefused: it has mistakes; carries all of them.
        Refusal: it is of a kind that is not read here.
    """
    ending = path.suffix.lower()
    if path.is_dir() or ending in SHEET_ENDINGS:
        return read_spreadsheet(path)
    if ending in PLAN_ENDINGS:
        return read_plan(path)
    raise Refusal(
        asked=f"bring in {path}",
        found=f"a file ending in {ending or 'nothing'}",
        allowed="XLSX, a folder or ZIP of CSV files, or YAML",
        do="save it as one of these",
    )


def give_out(plan: Plan, out: Path, *, replace: bool = False) -> list[Path]:
    """Write a plan as the kind of file that the ending names.

    Args:
        plan: the plan.
        out: where to: XLSX, ZIP of CSV files, YAML; without ending a folder of CSV.
        replace: whether a file that is there already may go.

    Returns:
        The files that were written.

    Raises:
        Refusal: it is there already, or the ending is none of these.
    """
    ending = out.suffix.lower()
    older: list[Path] = []
    if not ending:
        # A sheet left from another plan would be read as one of this plan.
        older = [out / f"{name}.csv" for name in sheet_names()]
        files = {out / name: raw for name, raw in write_csv_files(plan).items()}
    elif ending == ".xlsx":
        files = {out: write_spreadsheet(plan)}
    elif ending == ".zip":
        files = {out: write_csv_zip(plan)}
    elif ending in PLAN_ENDINGS:
        files = {out: write_plan(plan).encode("utf-8")}
    else:
        raise Refusal(
            asked=f"write {out}",
            found=f"the ending {ending}",
            allowed=".xlsx, .zip, .yaml, or a folder for CSV files",
            do="name the file with one of these endings",
        )
    return _written(files, older, replace=replace)


def give_template(out: Path, *, replace: bool = False) -> list[Path]:
    """Write the empty workbook to fill in.

    Args:
        out: where to.
        replace: whether a file that is there already may go.

    Raises:
        Refusal: it is there already.
    """
    return _written({out: write_template()}, replace=replace)


def _written(
    files: dict[Path, bytes], older: Iterable[Path] = (), *, replace: bool
) -> list[Path]:
    """Write files whole, each first beside its place; none over another unasked."""
    there = [path for path in (*files, *older) if path.exists()]
    if there and not replace:
        raise Refusal(
            asked=f"write {there[0]}",
            found="a file of that name",
            allowed="a new file, unless --replace is given",
            do="choose another name, or add --replace",
        )
    for path in set(there).difference(files):
        path.unlink()
    for path, raw in files.items():
        path.parent.mkdir(parents=True, exist_ok=True)
        partial = path.with_name(f"{path.name}.partial")
        partial.write_bytes(raw)
        os.replace(partial, path)
    return list(files)

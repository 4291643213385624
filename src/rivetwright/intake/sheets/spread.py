"""The fields of a plan laid out in sheets: lines of cells under their titles."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import zip_longest
from typing import Any

from rivetwright.intake.sheets.cells import cell, joined
from rivetwright.intake.sheets.layout import (
    ASSEMBLY,
    EACH,
    JOINED,
    KEY,
    SHEETS_FORMAT,
    VALUE,
    Column,
    Path,
    Sheet,
)
from rivetwright.intake.sheets.layout_opening import SHEETS

Lines = list[list[str]]


def spread(written: Mapping[str, Any]) -> dict[str, Lines]:
    """Lay the fields of a plan out in sheets.

    Args:
        written: the fields as a plan file has them, every value as text.

    Returns:
        Lines of cells by sheet, titles first; sheets without entries are left out.
    """
    sheets = {ASSEMBLY.name: _assembly(written)}
    for sheet in SHEETS[1:]:
        lines = [
            line
            for name, entry, outer in entries(written, sheet)
            for line in entry_lines(sheet, name, entry, outer)
        ]
        if lines:
            sheets[sheet.name] = [list(sheet.titles), *lines]
    return sheets


def _assembly(written: Mapping[str, Any]) -> Lines:
    """The sheet of single fields: one a line."""
    fields = {**written, "format": SHEETS_FORMAT}
    lines = [["field", "value"]]
    for column in ASSEMBLY.columns:
        for k, one in enumerate(_cells(column, fields)):
            lines.append([column.title if k == 0 else "", one])
    return lines


Entry = tuple[str, Any, dict[str, str]]


def entries(written: Mapping[str, Any], sheet: Sheet) -> Iterator[Entry]:
    """Every entry of a sheet: name, fields, and the columns outside of it.

    Args:
        written: the fields of the plan.
        sheet: the sheet.
    """
    yield from _entries(written, sheet.into, sheet.is_named, {})


def _entries(
    within: Any, into: tuple[str, ...], is_named: bool, outer: dict[str, str]
) -> Iterator[Entry]:
    """Walk down to where the entries are."""
    if not into:
        if is_named:
            yield from ((str(name), entry, outer) for name, entry in within.items())
        else:
            for k, entry in enumerate(within, 1):
                yield "", entry, {"<layer>": str(k), **outer}
        return
    step, *rest = into
    if not step.startswith("<"):
        if step in within:
            yield from _entries(within[step], tuple(rest), is_named, outer)
        return
    inner = within.items() if isinstance(within, Mapping) else enumerate(within, 1)
    for name, one in inner:
        # A layer goes by its number from the side seen, on both sheets.
        told = outer | {step: str(name)}
        yield from _entries(one, tuple(rest), is_named, told)


def entry_lines(
    sheet: Sheet, name: str, entry: Any, outer: Mapping[str, str]
) -> Iterator[list[str]]:
    """The lines of one entry: as many as its longest list.

    Args:
        sheet: the sheet.
        name: name of the entry; empty in a list.
        entry: its fields, or its one value.
        outer: values of columns that say where it belongs.
    """
    if isinstance(entry, str) and ("state",) in [one.path for one in sheet.columns]:
        entry = {"state": entry}
    columns = []
    for column in sheet.columns:
        if not column.path:
            columns.append([cell(name)])
        elif column.path == (VALUE,):
            columns.append([cell(entry)])
        elif str(column.path[0]).startswith("<"):
            columns.append([cell(outer.get(str(column.path[0]), ""))])
        else:
            columns.append(_cells(column, entry))
    yield from (list(line) for line in zip_longest(*columns, fillvalue=""))


def _cells(column: Column, entry: Mapping[str, Any]) -> list[str]:
    """The cells of a column, one below the other."""
    return _along(column.path, entry)


def _along(path: Path, value: Any) -> list[str]:
    """Follow a path; several cells where the value is a list."""
    if value is None:
        return [""]
    if not path:
        return [cell(str(value))]
    step, *rest = path
    if step == JOINED:
        return joined([str(one) for one in _listed(value)])
    if step == EACH:
        return [_along(tuple(rest), one)[0] for one in value]
    if step == KEY:
        return [cell(str(name)) for name in value]
    if step == VALUE:
        return [cell(str(one)) for one in value.values()]
    if isinstance(step, int):
        return _along(tuple(rest), value[step])
    return _along(tuple(rest), value.get(step))


def _listed(value: Any) -> list[Any]:
    """One value or several as a list."""
    return list(value) if isinstance(value, list | tuple) else [value]

"""Mistakes told by sheet and cell."""

from __future__ import annotations

from dataclasses import dataclass

from rivetwright.errors import Fault, PlanRefused
from rivetwright.intake.faults import Faults, Path

DESCRIBED_IN = "docs/spreadsheet.md"
# Sheets follow one another, so that mistakes are told in their order.
LINES_A_SHEET = 10_000_000


def column_letters(number: int) -> str:
    """What a spreadsheet calls a column, counted from 0: A, Z, AA."""
    letters = ""
    number += 1
    while number:
        number, one = divmod(number - 1, 26)
        letters = chr(ord("A") + one) + letters
    return letters


@dataclass(frozen=True)
class CellFault(Fault):
    """One mistake in a spreadsheet; `line` is the line of its sheet."""

    sheet: str = ""
    cell: str = ""

    def __str__(self) -> str:
        """Write the mistake on one line, sheet and cell first."""
        do = f" {self.do}" if self.do else ""
        at = f", sheet {self.sheet}" if self.sheet else ""
        at += f", cell {self.cell}" if self.cell else ""
        return (
            f"{self.file}{at}: {self.field}: found {self.found}; "
            f"allowed: {self.allowed}.{do}"
        )


class CellFaults(Faults):
    """Collects mistakes whose places are cells."""

    def __init__(self, file: str) -> None:
        super().__init__(file, described_in=DESCRIBED_IN)
        self._sheets: list[str] = []
        self._columns: dict[Path, int] = {}

    def place(self, path: Path, sheet: str, line: int, column: int) -> None:
        """Say in which cell a value stands; the first cell of a place counts."""
        if path in self.lines:
            return
        if sheet not in self._sheets:
            self._sheets.append(sheet)
        self.lines[path] = self._sheets.index(sheet) * LINES_A_SHEET + line
        self._columns[path] = column

    def at_cell(
        self,
        cell: tuple[str, int, int],
        field: str,
        found: str,
        allowed: str,
        do: str,
    ) -> None:
        """Note a mistake at a cell that belongs to no field."""
        path: Path = (f"{field} in {cell[0]}", cell[1], cell[2])
        self.place(path, *cell)
        self.add(path, found, allowed, do)

    def refusal(self) -> PlanRefused:
        """The refusal with everything found, in the order of sheets and lines."""
        refused = super().refusal()
        told = {id(fault): path for path, fault in self._told.items()}
        faults = [self._at_cell(fault, told.get(id(fault))) for fault in refused.faults]
        return PlanRefused(faults, self.described_in)

    def _at_cell(self, fault: Fault, path: Path | None) -> CellFault:
        """The same mistake with its cell."""
        sheet, cell, field = "", "", fault.field
        line = fault.line % LINES_A_SHEET
        if path is not None and path and " in " in str(path[0]):
            field = str(path[0]).rpartition(" in ")[0]
        while path and path not in self._columns:
            path = path[:-1]
        if path:
            sheet = self._sheets[self.lines[path] // LINES_A_SHEET]
            cell = f"{column_letters(self._columns[path])}{line}"
        return CellFault(
            fault.file,
            line,
            field,
            fault.found,
            fault.allowed,
            fault.do,
            sheet=sheet,
            cell=cell,
        )

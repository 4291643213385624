"""Read a table of printed figures once; look up exactly; refuse outside it.

Each CSV row keeps its cells as printed, in the printed unit, and ends in the columns
``document, place, status, note``.  Rows marked ``misprint`` stay in the file, so that
nobody adds them again, and are never looked up.
"""

from __future__ import annotations

import csv
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from importlib.resources import files
from types import MappingProxyType

from rivetwright.errors import OutsideTable
from rivetwright.standards.source import Looked, Source, Status, Value
from rivetwright.units.drills import MM_PER_INCH
from rivetwright.units.tolerance import Number, is_same
from rivetwright.units.wording import show_both, show_number

SOURCE_COLUMNS = ("document", "place", "status", "note")


@dataclass(frozen=True)
class Row:
    """One printed row with its source."""

    table: str
    line: int
    cells: Mapping[str, str]
    source: Source

    @property
    def label(self) -> str:
        """Name the row so that a person finds it: file and line."""
        return f"{self.table}:{self.line}"

    @property
    def is_misprint(self) -> bool:
        """Say whether the row is kept only as a warning."""
        return bool(self.cells.get("misprint"))

    def number(self, column: str) -> Fraction:
        """Give a printed number exactly, in the printed unit."""
        return Fraction(self.cells[column])

    def inches_mm(self, column: str) -> Fraction:
        """Give a length printed in inches [mm]."""
        return self.number(column) * MM_PER_INCH

    def inches_mm_or_none(self, column: str) -> Fraction | None:
        """Give a length printed in inches [mm], None where the cell is blank."""
        return self.inches_mm(column) if self.cells[column] else None

    def looked(self, value: Value) -> Looked[Value]:
        """Bind a value to this row."""
        return Looked(value, self.label, self.source)


@dataclass(frozen=True)
class Table:
    """A printed table: its usable rows and the misprints kept as a warning."""

    name: str
    rows: tuple[Row, ...]
    misprints: tuple[Row, ...]

    def where(self, **cells: str) -> tuple[Row, ...]:
        """Give the rows whose cells read exactly so, in printed order."""
        return tuple(
            row
            for row in self.rows
            if all(row.cells[column] == text for column, text in cells.items())
        )


@cache
def read_table(name: str) -> Table:
    """Read one of the project's tables, once.

    Args:
        name: file name under ``tables`` without its ending [-].

    Returns:
        The table with its rows in printed order.

    Source:
        The row's own document, place and status.
    """
    file = f"{name}.csv"
    text = files("rivetwright.standards").joinpath("tables", file).read_text("utf-8")
    # Lines count as an editor shows them: the column heads are line 1.
    rows = tuple(
        Row(file, line, MappingProxyType(cells), _source(cells))
        for line, cells in enumerate(csv.DictReader(text.splitlines()), start=2)
    )
    return Table(
        name,
        tuple(row for row in rows if not row.is_misprint),
        tuple(row for row in rows if row.is_misprint),
    )


def row_of_length(
    rows: Iterable[Row], length_mm: Number, *, column: str, asked: str
) -> Row:
    """Find the row printed for exactly this length.

    Args:
        rows: the rows to look in [-].
        length_mm: the length to find, within 1e-6 mm [mm].
        column: column of the printed length [in].
        asked: what is looked up, for the refusal [-].

    Returns:
        The first such row.

    Raises:
        OutsideTable: no row is printed for this length.

    Source:
        The row's own document, place and status.
    """
    rows = tuple(rows)
    printed = tuple(row for row in rows if _is_length(row.cells[column]))
    for row in printed:
        if is_same(row.inches_mm(column), length_mm):
            return row
    raise outside(
        printed or rows,
        asked=asked,
        found=str(show_both(length_mm)),
        allowed=", ".join(dict.fromkeys(row.cells[column] for row in printed))
        or "no length at all",
        unit=" in",
    )


def outside(
    rows: Iterable[Row], *, asked: str, found: str, allowed: str, unit: str = ""
) -> OutsideTable:
    """Build the refusal of a look-up outside these rows.

    Args:
        rows: the rows that were looked in [-].
        asked: what is looked up [-].
        found: what was asked for, with its unit [-].
        allowed: what the rows cover [unit].
        unit: unit of what the rows cover, with its space [-].

    Returns:
        The refusal, naming table, source and limits.

    Source:
        The rows' own documents.
    """
    looked_in = tuple(rows)
    documents = dict.fromkeys(row.source.document for row in looked_in)
    tables = dict.fromkeys(row.table for row in looked_in)
    return OutsideTable(
        asked=asked,
        found=found,
        allowed=f"{allowed}{unit}",
        do="take the figure from the drawing or the kit's designer; nothing is "
        "read beyond a table",
        source="; ".join([*tables, *documents]),
    )


def constant_row(table_name: str, name: str, *, asked: str) -> Row:
    """Give the row of a named figure.

    Args:
        table_name: a table with a column ``constant`` [-].
        name: a name in that column [-].
        asked: what is done, for the refusal [-].

    Returns:
        Its row [as the table says].

    Raises:
        OutsideTable: the table has no such figure.

    Source:
        The table's own; status per row.
    """
    table = read_table(table_name)
    rows = table.where(constant=name)
    if not rows:
        raise outside(
            table.rows,
            asked=asked,
            found=name,
            allowed=", ".join(row.cells["constant"] for row in table.rows),
        )
    return rows[0]


def chosen_set(table: Table, name: str, *, asked: str) -> tuple[Row, ...]:
    """Give the rows of a named set of rules.

    Args:
        table: a table with a column ``set`` [-].
        name: the set's name [-].
        asked: what is looked up, for the refusal [-].

    Returns:
        Its rows in printed order.

    Raises:
        OutsideTable: the table has no set of that name.

    Source:
        The rows' own documents.
    """
    rows = table.where(set=name)
    if rows:
        return rows
    raise outside(
        table.rows, asked=asked, found=f"set {name}", allowed=", ".join(sets_of(table))
    )


def sets_of(table: Table) -> tuple[str, ...]:
    """List the named sets of a table in printed order.

    Args:
        table: a table with a column ``set`` [-].

    Returns:
        The names.

    Source:
        The rows' own documents.
    """
    return tuple(dict.fromkeys(row.cells["set"] for row in table.rows))


def show_plain(number: Number) -> str:
    """Write a multiple or a code's number without needless digits.

    Args:
        number: the number [-].

    Returns:
        ``2``, ``2.5``, ``0.18``.

    Source:
        Own form; JUDGEMENT.
    """
    return show_number(number, digits=4, trim=True)


def _is_length(cell: str) -> bool:
    """Say whether a cell carries a length and not a word such as "any"."""
    return cell[:1].isdigit() or cell[:1] == "."


def _source(cells: Mapping[str, str]) -> Source:
    """Take the source columns of a row."""
    return Source(
        cells["document"], cells["place"], Status(cells["status"]), cells["note"]
    )

"""Tables: sources in every row, exact look-up, refusal outside."""

from __future__ import annotations

import re
from fractions import Fraction
from importlib.resources import files

import pytest

from rivetwright.errors import OutsideTable
from rivetwright.standards.table import (
    SOURCE_COLUMNS,
    chosen_set,
    read_table,
    row_of_length,
    sets_of,
    show_plain,
)

INCH = Fraction(254, 10)
NAMES = sorted(
    file.name.removesuffix(".csv")
    for file in files("rivetwright.standards").joinpath("tables").iterdir()
    if file.name.endswith(".csv")
)


@pytest.mark.parametrize("name", NAMES)
def test_every_row_names_its_document_and_status(name: str) -> None:
    """A row without a document, or with a status of its own making, cannot be read."""
    table = read_table(name)
    for row in table.rows + table.misprints:
        assert row.source.document, row.label
        assert tuple(row.cells)[-len(SOURCE_COLUMNS) :] == SOURCE_COLUMNS
        assert None not in row.cells, row.label
        assert None not in row.cells.values(), row.label


@pytest.mark.parametrize("name", NAMES)
def test_no_row_carries_a_web_address(name: str) -> None:
    """Documents are named by their titles, never by where a copy lay."""
    file = files("rivetwright.standards").joinpath("tables", f"{name}.csv")
    assert not re.search(r"https?:|www\.|\.(com|org|net|html)\b", file.read_text())


def test_rows_are_labelled_by_file_and_line() -> None:
    """The label leads a person to the line an editor shows."""
    first = read_table("heads").rows[0]
    assert first.label == "heads.csv:2"
    lines = files("rivetwright.standards").joinpath("tables", "heads.csv").read_text()
    assert lines.splitlines()[first.line - 1].startswith(first.cells["standard"])


def test_misprints_are_apart_from_the_rows() -> None:
    """The one misprinted row is kept, marked, and in no look-up."""
    table = read_table("spacing")
    assert [row.cells["printed"] for row in table.misprints] == ["0.5D"]
    assert not any(row.is_misprint for row in table.rows)
    assert "TM 10-7360-208-13&P" not in sets_of(table)


def test_table_is_read_once() -> None:
    """A second reading is the same table."""
    assert read_table("heads") is read_table("heads")


def test_length_is_found_through_a_double() -> None:
    """1/8 in as a double finds the row printed 1/8."""
    rows = read_table("heads").where(standard="MS20470")
    row = row_of_length(rows, 3.175, column="rivet_dia_in", asked="look")
    assert row.cells["rivet_dia_in"] == "1/8"
    assert row.inches_mm("head_dia_in") == INCH / 4


def test_refusal_names_table_source_and_limits() -> None:
    """7/64 is not printed: found with its unit, allowed, source, and what to do."""
    rows = read_table("heads").where(standard="MS20470")
    with pytest.raises(OutsideTable) as refusal:
        row_of_length(rows, INCH * 7 / 64, column="rivet_dia_in", asked="look")
    told = refusal.value
    assert told.found == "7/64 in (2.78 mm)"
    assert told.allowed == "1/16, 3/32, 1/8, 5/32, 3/16, 1/4 in"
    assert told.source == "heads.csv; standard sheet not read"
    assert "nothing is read beyond a table" in told.do


def test_refusal_where_no_length_is_printed() -> None:
    """A set that prints no length at all says so."""
    rows = read_table("holes").where(set="shank plus 0.1 mm")
    with pytest.raises(OutsideTable, match="no length at all"):
        row_of_length(rows, 3, column="rivet_dia_in", asked="look")


def test_unknown_set_is_refused_with_the_names() -> None:
    """A set that is not there is refused with those that are."""
    with pytest.raises(OutsideTable, match="set mine") as refusal:
        chosen_set(read_table("countersink_sheets"), "mine", asked="look")
    assert "two manuals' table" in refusal.value.allowed


@pytest.mark.parametrize(
    ("number", "shown"), [(Fraction(7, 2), "3.5"), (4, "4"), (0.18, "0.18")]
)
def test_plain_number_has_no_needless_digits(
    number: Fraction | int | float, shown: str
) -> None:
    """3.5, 4, 0.18."""
    assert show_plain(number) == shown

"""Plans survive the way through a spreadsheet; odd cells do no worse than a refusal."""

from __future__ import annotations

from dataclasses import replace

from hypothesis import example, given, settings
from hypothesis import strategies as st

from rivetwright.errors import PlanRefused
from rivetwright.intake.sheets.cell_faults import CellFaults
from rivetwright.intake.sheets.cells import cell, joined, parted, text_of
from rivetwright.intake.sheets.help import template_sheets
from rivetwright.intake.sheets.spread import spread
from rivetwright.intake.spreadsheet import (
    plan_of_sheets,
    read_spreadsheet_bytes,
    write_csv_zip,
    write_spreadsheet,
)
from rivetwright.intake.write_plan import plan_fields
from rivetwright.model.plan import Plan
from tests.property.strategies import plans

any_text = st.text(st.characters(exclude_categories=("Cs",)), max_size=40)
ODD = [
    "", " ", "#", "=1+1", "+1", "-", "@x", '"', '""', '"a', "a;b", ";", "\n", "0,8",
    "1/8", "2026-01-08", "x0041_", "_x0041_", "1e999", "nan", "true", "R1:1-0",
    "A" * 99,
]  # fmt: skip


@given(plans())
@settings(max_examples=60)
def test_plan_comes_back_equal_from_sheets(plan: Plan) -> None:
    """Sheets of cells hold the whole of a plan."""
    read = plan_of_sheets(spread(plan_fields(plan)), CellFaults(""))
    assert read == plan


@given(plans())
@settings(max_examples=15, deadline=None)
def test_plan_comes_back_equal_from_a_workbook_and_from_csv(plan: Plan) -> None:
    """The bytes of XLSX and of packed CSV files hold the whole of a plan."""
    book = read_spreadsheet_bytes(write_spreadsheet(plan), "p.xlsx")
    tables = read_spreadsheet_bytes(write_csv_zip(plan), "p.zip")
    assert replace(book, file="") == replace(tables, file="") == plan


@given(any_text)
@example("=2+3")
@example('"')
@example("_x000D_")
@example("\ufffe")
def test_text_comes_back_from_its_cell(text: str) -> None:
    """Whatever the text: the cell means it, and begins with nothing that runs."""
    written = cell(text)
    assert text_of(written) == text
    assert not written.startswith(("=", "@", "\t", "\r"))


@given(st.lists(any_text.filter(bool), max_size=6))
def test_list_comes_back_from_its_cells(texts: list[str]) -> None:
    """A list in a cell is the same list, semicolons and quotes in it or not."""
    assert [one for part in joined(texts) for one in parted(part)] == texts


@given(st.data())
@settings(max_examples=150)
def test_odd_cells_are_only_refused(data: st.DataObject) -> None:
    """The template with odd cells in it is read or refused, with a cell for each."""
    sheets = template_sheets()
    for _ in range(data.draw(st.integers(1, 6))):
        lines = sheets[data.draw(st.sampled_from(sorted(sheets)))]
        if len(lines) < 2 or data.draw(st.booleans()):
            lines.append([""] * len(lines[0]))
        line = data.draw(st.integers(0, len(lines) - 1))
        lines[line][data.draw(st.integers(0, len(lines[0]) - 1))] = data.draw(
            st.sampled_from([*ODD, "R1", "W", "11", "s-2", "1", "MS20470AD4-4"])
        )
    faults = None
    try:
        plan_of_sheets(sheets, CellFaults("odd"))
    except PlanRefused as refused:
        faults = refused.faults
    assert faults is None or all(one.found and one.allowed for one in faults)

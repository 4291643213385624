"""Spreadsheets: mistakes by sheet and cell, nothing run, nothing unfolded."""

from __future__ import annotations

import io
import zipfile
from dataclasses import replace
from pathlib import Path

import openpyxl
import pytest

from rivetwright.errors import PlanRefused
from rivetwright.intake.plan_file import read_plan
from rivetwright.intake.sheets.bounds import UNPACKED_MOST
from rivetwright.intake.sheets.cell_faults import CellFaults, column_letters
from rivetwright.intake.sheets.spread import Lines
from rivetwright.intake.sheets.tables import pasted
from rivetwright.intake.spreadsheet import (
    plan_of_sheets,
    read_spreadsheet,
    read_spreadsheet_bytes,
    write_csv_files,
    write_spreadsheet,
    write_template,
)
from rivetwright.model.pattern import Points, Straight

EXAMPLES = Path(__file__).parents[3] / "examples" / "ostrel"
PLANS = ("aileron", "flap", "root-rib")


def small() -> dict[str, Lines]:
    """A whole plan in few cells: two parts, one row of eight. INVENTED."""
    return {
        "Assembly": [
            ["field", "value"],
            ["format", "rivetwright spreadsheet 1"],
            ["project id", "0b3c5a4e-2f7d-4d1c-9b8a-6e5f4a3b2c1d"],
            ["project name", "My aeroplane"],
            ["assembly id", "panel"],
            ["assembly name", "Access panel"],
            ["unit", "in"],
        ],
        "Parts": [["name", "thickness"], ["11", ".032"], ["12", ".040"]],
        "Steps": [["name", "title"], ["s-1", "set"]],
        "Rows": [
            ["name", "at u", "at v", "by u", "by v", "count", "stack", "callout",
             "step"],
            ["R1", "1", "1.5", "1", "0", "8", "11; 12", "MS20470AD4-4", "s-1"],
        ],
    }  # fmt: skip


def told(sheets: dict[str, Lines]) -> list[str]:
    """Every mistake of some sheets, a line each."""
    with pytest.raises(PlanRefused) as refused:
        plan_of_sheets(sheets, CellFaults("p.xlsx"))
    return [str(fault) for fault in refused.value.faults]


@pytest.mark.parametrize("name", PLANS)
def test_demo_comes_back_equal(name: str) -> None:
    """Each demo assembly goes out as a workbook and comes back the same."""
    plan = read_plan(EXAMPLES / f"{name}.yaml")
    read = read_spreadsheet_bytes(write_spreadsheet(plan), "p.xlsx")
    assert replace(read, file="") == replace(plan, file="")


def test_demo_comes_back_equal_from_a_folder_of_csv(tmp_path: Path) -> None:
    """One CSV file a sheet; another file of ours begins with a line and is left."""
    plan = read_plan(EXAMPLES / "flap.yaml")
    for name, raw in write_csv_files(plan).items():
        (tmp_path / name).write_bytes(raw)
    (tmp_path / "_notes.csv").write_text("mine", encoding="utf-8")
    assert replace(read_spreadsheet(tmp_path), file="") == replace(plan, file="")


def test_same_plan_makes_the_same_bytes() -> None:
    """No clock goes into the workbook."""
    plan = read_plan(EXAMPLES / "flap.yaml")
    raw = write_spreadsheet(plan)
    assert raw == write_spreadsheet(plan)
    with zipfile.ZipFile(io.BytesIO(raw)) as book:
        core = book.read("docProps/core.xml").decode()
    assert core.count("2000-01-01T00:00:00Z") == 2


def test_small_plan_reads() -> None:
    """One row of eight holes, an inch apart from (1, 1.5): 25.4 and 38.1 mm."""
    plan = plan_of_sheets(small(), CellFaults("p.xlsx"))
    assert plan.rows[0].pattern == Straight((25.4, 38.1), (25.4, 0), 8)
    assert [sheet.part for sheet in plan.rows[0].stack] == ["11", "12"]


def test_line_without_a_name_goes_on_with_the_entry_above() -> None:
    """Three points on three lines are the three points of one row."""
    sheets = small()
    sheets["Faces"] = [["name"], ["W"]]
    sheets["Rows"] = [
        ["name", "face", "point u", "point v", "stack", "callout", "step"],
        ["R1", "W", "1", "2", "11", "MS20470AD4-4", "s-1"],
        ["", "", "2", "2", "12", "", ""],
        ["", "", "2", "4", "", "", ""],
    ]
    (row,) = plan_of_sheets(sheets, CellFaults("")).rows
    assert row.pattern == Points(((25.4, 50.8), (50.8, 50.8), (50.8, 101.6)))
    assert [sheet.part for sheet in row.stack] == ["11", "12"]


MISTAKES = [
    ("Parts", 1, 1, "thick", "sheet Parts, cell B2: parts.11.thickness: found thick"),
    ("Rows", 1, 8, "s-9", "sheet Rows, cell I2: rows.R1.step: found step s-9"),
    ("Rows", 1, 7, "", "sheet Rows, cell H2: rows.R1.callout: found no callout"),
    ("Rows", 1, 2, "", "sheet Rows, cell C2: at u: found nothing beside at u 1"),
    ("Rows", 1, 6, "11; 19", "sheet Rows, cell G2: rows.R1.stack[2]: found part 19"),
    ("Rows", 0, 7, "calout", "sheet Rows, cell H1: title: found calout"),
    ("Parts", 2, 0, "11", "sheet Parts, cell A3: name: found 11 a second time"),
    ("Parts", 2, 0, "", "sheet Parts, cell B3: thickness: found .040 on a line"),
    ("Assembly", 6, 1, "ft", "sheet Assembly, cell B7: unit: found ft"),
    ("Assembly", 6, 0, "unti", "sheet Assembly, cell A7: field: found unti"),
    ("Parts", 1, 1, "2026-01-08", "found the date 2026-01-08; allowed: a length"),
]


@pytest.mark.parametrize(("sheet", "line", "column", "text", "says"), MISTAKES)
def test_mistake_is_told_by_sheet_and_cell(
    sheet: str, line: int, column: int, text: str, says: str
) -> None:
    """One cell changed: the first mistake names its cell and what stood there."""
    sheets = small()
    sheets[sheet][line][column] = text
    assert any(says in one for one in told(sheets)), told(sheets)


def test_all_mistakes_come_at_once() -> None:
    """Three slips on three sheets give three mistakes, in the order of the sheets."""
    sheets = small()
    sheets["Parts"][1][1] = "0"
    sheets["Rows"][1][8] = "s-9"
    sheets["Rowz"] = [["name"]]
    found = told(sheets)
    assert len(found) == 3
    assert "nearest: Rows" in found[0]
    assert "sheet Parts, cell B2" in found[1]
    assert "sheet Rows, cell I2" in found[2]


def test_cut_out_goes_with_the_number_of_its_layer() -> None:
    """Layers in another order keep their cut-outs; a number nobody has is told."""
    sheets = small() | {
        "Faces": [["name"], ["W"]],
        "Layers": [
            ["face", "layer", "part", "u from", "u to", "v from", "v to"],
            ["W", "2", "12", "0", "9", "0", "4"],
            ["W", "1", "11", "0", "9", "0", "4"],
        ],
        "Cut-outs": [
            ["face", "layer", "centre u", "centre v", "radius"],
            ["W", "1", "5", "3", ".5"],
        ],
    }
    (face,) = plan_of_sheets(sheets, CellFaults("")).faces
    assert [len(layer.cut_outs) for layer in face.layers] == [0, 1]
    sheets["Cut-outs"][1][1] = "3"
    assert "sheet Cut-outs, cell A2: layer: found layer 3" in told(sheets)[0]


def with_cell(value: object, sheet: str = "Parts", at: str = "B2") -> bytes:
    """The small plan as a workbook with one cell changed by another program."""
    book = openpyxl.Workbook()
    for name, lines in small().items():
        made = book.create_sheet(name)
        for line in lines:
            made.append(line)
    book[sheet][at] = value
    del book["Sheet"]
    packed = io.BytesIO()
    book.save(packed)
    return packed.getvalue()


def test_numbers_typed_as_numbers_are_read() -> None:
    """A cell of the number 0.025 is .025 in: 0.635 mm."""
    plan = read_spreadsheet_bytes(with_cell(0.025), "p.xlsx")
    assert plan.parts[0].thickness_mm == pytest.approx(0.635)


def test_formula_is_told_and_not_run() -> None:
    """=1/32 in a cell is refused with its cell, whatever it would come to."""
    with pytest.raises(PlanRefused, match=r"Parts, cell B2: cell: found =1/32"):
        read_spreadsheet_bytes(with_cell("=1/32"), "p.xlsx")


def test_text_that_looks_like_a_formula_is_written_as_text() -> None:
    """A title =HYPERLINK(...) comes back as a title and is no formula in the file."""
    sheets = small()
    sheets["Steps"][1][1] = '=HYPERLINK("x")'
    plan = plan_of_sheets(sheets, CellFaults(""))
    book = openpyxl.load_workbook(io.BytesIO(write_spreadsheet(plan)))
    assert book["Steps"]["B2"].data_type == "s"
    assert str(book["Steps"]["B2"].value).startswith('"=')
    files = write_csv_files(plan)
    assert b",=" not in files["Steps.csv"]


def packed(parts: dict[str, bytes]) -> bytes:
    """A zip file."""
    made = io.BytesIO()
    with zipfile.ZipFile(made, "w", zipfile.ZIP_DEFLATED) as file:
        for name, raw in parts.items():
            file.writestr(name, raw)
    return made.getvalue()


def changed(part: str, old: bytes, new: bytes) -> bytes:
    """A good workbook with one of its parts changed."""
    with zipfile.ZipFile(io.BytesIO(with_cell(".025"))) as good:
        parts = {name: good.read(name) for name in good.namelist()}
    assert old in parts[part]
    parts[part] = parts[part].replace(old, new, 1)
    return packed(parts)


SHEET = "xl/worksheets/sheet1.xml"
XXE = b'<!DOCTYPE x [<!ENTITY a SYSTEM "file:///etc/hostname">]><worksheet'
STRANGE = {
    "no workbook": (b"hello", "no XLSX workbook"),
    "nothing": (b"", "no XLSX workbook"),
    "a zip of something else": (packed({"a.txt": b"a"}), "torn"),
    "a bomb": (packed({"xl/a.xml": b" " * (UNPACKED_MOST + 1)}), "unpack to"),
    "a thousand parts": (packed({f"{k}": b"" for k in range(1000)}), "1,000 parts"),
    "a declaration": (changed(SHEET, b"<worksheet", XXE), "declarations"),
    "torn xml": (changed(SHEET, b"</worksheet>", b""), "torn"),
    "a workbook without sheets of ours": (
        changed("xl/workbook.xml", b'name="Assembly"', b'name="Asembly"'),
        "nearest: Assembly",
    ),
}


@pytest.mark.parametrize("name", STRANGE)
def test_strange_file_is_refused_with_what_to_do(name: str) -> None:
    """No bytes do worse than a refusal in our words."""
    raw, says = STRANGE[name]
    with pytest.raises(PlanRefused) as refused:
        read_spreadsheet_bytes(raw, "p.xlsx")
    assert any(says in str(fault) for fault in refused.value.faults)


def test_a_million_lines_are_not_read() -> None:
    """A sheet of more than 200,000 lines is told and left."""
    rows = b'</row><row r="300000"></row></sheetData>'
    raw = changed("xl/worksheets/sheet2.xml", b"</row></sheetData>", rows)
    with pytest.raises(PlanRefused, match="more than 200,000 lines on sheet Parts"):
        read_spreadsheet_bytes(raw, "p.xlsx")


def test_template_wants_an_id_and_then_reads() -> None:
    """The template lacks the project's id alone; its examples are left out."""
    raw = write_template()
    with pytest.raises(PlanRefused, match=r"cell B3: project\.id: found no id"):
        read_spreadsheet_bytes(raw, "t.xlsx")
    book = openpyxl.load_workbook(io.BytesIO(raw))
    book["Assembly"]["B3"] = "0b3c5a4e-2f7d-4d1c-9b8a-6e5f4a3b2c1d"
    filled = io.BytesIO()
    book.save(filled)
    plan = read_spreadsheet_bytes(filled.getvalue(), "t.xlsx")
    assert (plan.name, plan.parts, plan.rows) == ("Access panel", (), ())


def test_template_offers_lists_to_choose_from() -> None:
    """The head of a row is near or far; its step comes from the sheet Steps."""
    book = openpyxl.load_workbook(io.BytesIO(write_template()))
    offered = {
        str(one.formula1) for one in book["Rows"].data_validations.dataValidation
    }
    assert {'"near,far"', "'Steps'!$A$2:$A$2000"} <= offered


def test_pasted_table_without_titles_takes_the_order_of_the_template() -> None:
    """Tabs between cells; three columns of parts are name, title, thickness."""
    lines = pasted("21\tdoubler\t.025\n22\tclip\t.040\n", "Parts")
    assert lines[0] == ["name", "title", "thickness"]
    assert lines[1:] == [["21", "doubler", ".025"], ["22", "clip", ".040"]]


def test_pasted_table_with_titles_keeps_them() -> None:
    """A first line of our titles is taken as titles."""
    lines = pasted("Thickness\tName\n.025\t21", "Parts")
    assert lines == [["Thickness", "Name"], [".025", "21"]]


def test_pasted_table_that_is_too_wide_is_refused() -> None:
    """Ten columns where parts have nine."""
    with pytest.raises(PlanRefused, match="10 columns"):
        pasted("\t".join("abcdefghij"), "Parts")


@pytest.mark.parametrize(("number", "letters"), [(0, "A"), (25, "Z"), (26, "AA")])
def test_columns_are_lettered(number: int, letters: str) -> None:
    """A to Z, then AA."""
    assert column_letters(number) == letters

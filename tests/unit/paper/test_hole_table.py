"""Holes that are alike share a line; where they differ, each has its own."""

from __future__ import annotations

from rivetwright.paper.hole_table import COLUMNS, HoleTable
from tests.unit.drawing.pictures import demo, small


def lines(name: str, row: str) -> list[dict[str, str]]:
    """The lines of a row, cell by cell."""
    table = HoleTable(demo(name))
    found = [[cell.text for cell in cells] for _, cells in table.lines()]
    return [dict(zip(COLUMNS, one, strict=True)) for one in found if one[0] == row]


def test_a_row_whose_holes_are_alike_is_one_line() -> None:
    """C12 of the flap: 42 holes, grip .025 + .032 in, pitch 1.25 in = 13.33 D."""
    (line,) = lines("flap", "C12")
    assert line == {
        "row": "C12",
        "holes": "1-42",
        "callout": "MS20426AD3-3",
        "stack": "706 dimple + 701 dimple",
        "grip": ".057",
        "wanted": "3",
        "legal": line["legal"],
        "head": line["head"],
        "drill": "No. 40",
        "edge": "3.2 D on 706",
        "pitch": "13.33 D",
        "step": "flap-4",
        "state": "drilled",
        "findings": "",
    }


def test_a_hole_with_a_finding_of_its_own_has_its_own_line() -> None:
    """B8:1 lies 0.170 in from the edge of 607B, 1.36 D; the others are right."""
    first, others = lines("root-rib", "B8")
    assert (first["holes"], first["findings"]) == ("1", "EDGE-01")
    assert first["edge"] == "1.36 D on 607B"
    assert (others["holes"], others["findings"]) == ("2-5", "")


def test_figures_that_differ_along_a_row_are_given_from_to() -> None:
    """A1: the middle hole lies further from the bracket's edge than the outer two.

    0.30 in is 2.4 D of 1/8 in at the ends, 0.40 in to the side is 3.2 D.
    """
    (line,) = lines("aileron", "A1")
    assert line["edge"] == "2.4-3.2 D on 506"


def test_open_holes_and_holds_have_lines_of_their_own() -> None:
    """A12: three holes wait for a bracket, one for a cap strip."""
    found = [(line["holes"], line["state"]) for line in lines("aileron", "A12")]
    assert found == [
        ("1-17, 21-36", "drilled"),
        ("18-20", "left open"),
        ("37", "left open"),
    ]


def test_a_blind_rivet_is_wanted_by_its_code() -> None:
    """No length in sixteenths, no shop head."""
    (line,) = lines("flap", "C15")
    assert (line["wanted"], line["legal"], line["head"]) == ("BF4-2", "-", "-")


def test_the_hole_of_a_blind_rivet_is_a_range() -> None:
    """Its chart gives .128 to .132 in for 1/8 in; the drill stands by its name."""
    assert HoleTable(demo("flap")).blind_holes() == (
        "Holes for blind rivets: BF4-1 from .128 to .132."
    )
    assert lines("flap", "C15")[0]["drill"] == "No. 30"
    assert HoleTable(small()).blind_holes() == ""


def test_a_row_without_places_has_neither_edge_nor_pitch() -> None:
    """Lengths and preparation are there all the same."""
    table = [cells for _, cells in HoleTable(small()).lines()]
    (cells,) = [cells for cells in table if cells[0].text == "R3"]
    line = dict(zip(COLUMNS, cells, strict=True))
    assert (line["edge"].text, line["pitch"].text) == ("-", "-")
    assert (line["grip"].text, line["wanted"].text) == ("1.80", "4")


def test_a_figure_carries_what_it_rests_on() -> None:
    """Grip is READ; the lengths by volume rest on tolerances FROM MEMORY."""
    _, cells = next(HoleTable(demo("flap")).lines())
    line = dict(zip(COLUMNS, cells, strict=True))
    assert (line["grip"].status, line["legal"].status) == ("r", "m")

"""Tables and findings of the terminal, on the demo and on plans without places."""

from __future__ import annotations

import re
from io import StringIO
from pathlib import Path

import pytest
from rich.console import Console

from benchmarks.plans import made_up_plan
from rivetwright.bench.open import open_plan
from rivetwright.cli.tables import (
    figure,
    finding_groups,
    hole_table,
    holes_words,
    print_findings,
    print_table,
    row_table,
)
from rivetwright.engines.plan import WorkedPlan, work_out
from rivetwright.model.severity import Severity
from tests.unit.cli.plans import without_places

WIDE, USUAL, PHONE = 140, 80, 40
UNFOLDED = 400


def printed(width: int) -> tuple[Console, StringIO]:
    """A console into a text, of a given width."""
    text = StringIO()
    return Console(file=text, width=width), text


@pytest.mark.parametrize("width", [WIDE, USUAL])
def test_row_table_fits_the_window(aileron: WorkedPlan, width: int) -> None:
    """No line is wider than the window, and no callout is cut."""
    laid = row_table(aileron, width)
    assert max(map(len, laid.lines)) <= width
    assert any(re.match(r"A11:1-36 +MS20426AD3-2\.5 ", line) for line in laid.lines)


def test_row_table_says_what_found_no_room(aileron: WorkedPlan) -> None:
    """In 140 letters all eleven columns stand; in 80 the least wanted are named."""
    assert row_table(aileron, WIDE).left_out == ()
    usual = row_table(aileron, USUAL)
    assert usual.left_out == ("Legal", "Head in", "Pitch D", "Step")
    screen, text = printed(USUAL)
    print_table(screen, usual)
    assert "(in a wider window also: Legal, Head in, Pitch D, Step)" in text.getvalue()


def test_on_a_phone_callout_wanted_length_and_finding_stay(
    aileron: WorkedPlan,
) -> None:
    """In 40 letters a row still says what it calls for, wants, and what is wrong."""
    laid = row_table(aileron, PHONE)
    assert laid.lines[0].split() == ["Holes", "Callout", "Wants", "Finding"]
    (line,) = (one for one in laid.lines if one.startswith("A11:1-36"))
    assert line.split() == ["A11:1-36", "MS20426AD3-2.5", "-3.5", "LENGTH-01"]


def test_a_row_is_split_where_holes_get_something_else(aileron: WorkedPlan) -> None:
    """A12 has four lines: 18-20 and 37 wait for other parts."""
    names = [line.split()[0] for line in row_table(aileron, WIDE).lines]
    split = [name for name in names if name.startswith("A12:")]
    assert split == ["A12:1-17", "A12:18-20", "A12:21-36", "A12:37"]


def test_figures_of_a_row_by_hand(aileron: WorkedPlan) -> None:
    """A11: three sheets of 0.070 in; 0.070 + 9/64 = 0.2106 in is 3.37, so -3.5.

    0.300 in of edge is 3.2 D of 3/32; 1.25 in of pitch is 13.33 D.
    """
    (line,) = (
        one for one in row_table(aileron, WIDE).lines if one.startswith("A11:1-36")
    )
    found = re.split(r"  +", line)
    assert found[:4] == ["A11:1-36", "MS20426AD3-2.5", ".070", "-3.5"]
    assert found[6:] == ["3.2", "13.33", "aileron-6", "36 drilled", "LENGTH-01"]


def test_a_blind_row_wants_a_code_of_the_kit(aileron: WorkedPlan) -> None:
    """A12 is blind: its wanted code stands where a length stands elsewhere."""
    (line,) = (
        one for one in row_table(aileron, WIDE).lines if one.startswith("A12:1-17")
    )
    assert re.split(r"  +", line)[:4] == ["A12:1-17", "BD4-2", ".070", "BD4-2"]


def test_without_coordinates_columns_of_place_are_left_out(tmp_path: Path) -> None:
    """No edge and no pitch: no columns for them, and none is missed."""
    laid = row_table(open_plan(without_places(tmp_path)), USUAL)
    assert laid.lines[0].split() == [
        *("Holes", "Callout", "Grip", "in", "Wants", "Legal", "Head", "in"),
        *("Step", "State"),
    ]
    assert laid.left_out == ()
    assert "u in" not in hole_table(open_plan(without_places(tmp_path)), WIDE).lines[0]


def test_a_project_in_millimetres_says_millimetres(tmp_path: Path) -> None:
    """0.8128 + 1.016 = 1.8288 mm of grip; the length code stays the trade's."""
    laid = row_table(open_plan(without_places(tmp_path, unit="mm")), USUAL)
    assert "Grip mm" in laid.lines[0]
    assert laid.lines[1].split()[2:4] == ["1.83", "-4"]


def test_hole_table_has_a_line_per_hole(aileron: WorkedPlan) -> None:
    """172 holes under the heading, each with its own finding."""
    laid = hole_table(aileron, UNFOLDED)
    assert len(laid.lines) == 1 + 172
    (line,) = (one for one in laid.lines if one.startswith("A12:18 "))
    assert line.endswith("left open  TEXT-01")


def test_many_holes_make_a_table_of_as_many_lines() -> None:
    """3,000 holes: each figure is said once and looked up after that."""
    laid = hole_table(work_out(made_up_plan(3000)), UNFOLDED)
    assert len(laid.lines) == 3001


def test_holes_of_a_row_are_said_as_ranges(aileron: WorkedPlan) -> None:
    """Neighbours are a range, the others stand by themselves."""
    holes = [aileron.worked.holes.index(f"A12:{n}") for n in (18, 19, 20, 37)]
    assert holes_words(aileron, holes) == "A12:18-20, 37"


def test_a_gap_in_the_numbers_does_not_break_a_range(tmp_path: Path) -> None:
    """Position 3 is skipped: holes 1 to 6 are still neighbours in the row."""
    file = without_places(tmp_path)
    text = file.read_text("utf-8").replace("count: 6", "count: 6, skip: [3]")
    file.write_text(text, encoding="utf-8")
    worked_plan = open_plan(file)
    assert holes_words(worked_plan, range(5)) == "R1:1-6"


def test_figure_without_its_unit(aileron: WorkedPlan) -> None:
    """The heading says the unit; nothing known is a dash."""
    hole = aileron.worked.holes.index("A12:1")
    assert figure(aileron, "grip_mm", hole) == ".070"
    assert figure(aileron, "edge_ratio", hole) == "2.4"
    assert figure(aileron, "wanted_length_16ths", hole) == "-"


def test_findings_that_read_the_same_stand_together(aileron: WorkedPlan) -> None:
    """P1b stands at A1 and A2 with the same words: one block."""
    groups = finding_groups(aileron)
    blocks = [[f.code for f in group] for group in groups[Severity.CHECK]]
    assert blocks == [["LENGTH-05", "LENGTH-05"], ["TEXT-01"], ["TEXT-01"]]


@pytest.mark.parametrize("width", [WIDE, USUAL, PHONE])
def test_findings_fit_the_window(aileron: WorkedPlan, width: int) -> None:
    """Stops first; found, allowed and do stand in that order under every finding."""
    screen, text = printed(width)
    print_findings(screen, aileron)
    lines = text.getvalue().splitlines()
    assert max(map(len, lines)) <= width
    assert lines[1] == "STOP: do not set it"
    labels = re.findall(r"^  (found|allowed|do) ", text.getvalue(), re.MULTILINE)
    assert labels == ["found", "allowed", "do"] * 7


def test_without_findings_that_is_said(tmp_path: Path) -> None:
    """Silence would leave open whether anything was looked at."""
    screen, text = printed(USUAL)
    print_findings(screen, open_plan(without_places(tmp_path)))
    assert text.getvalue().strip().startswith("Nothing found that stops")

"""The hole table of a face."""

from __future__ import annotations

from rivetwright.bench.open import Assembly
from rivetwright.web.hole_lines import choices, row_tables


def test_rows_come_in_the_plans_order_with_all_their_holes(
    assemblies: dict[str, Assembly],
) -> None:
    """The spar web: A1 to A10, 26 holes as the scenario counts them."""
    tables = row_tables(assemblies["aileron"].worked_plan, "A-SW")
    assert [table.row for table in tables] == [f"A{k}" for k in range(1, 11)]
    assert sum(len(table.lines) for table in tables) == 26


def test_line_carries_state_findings_and_figures(
    assemblies: dict[str, Assembly],
) -> None:
    """A12:18 waits for a later step; grip .040 + .025 + .020 + .025 by hand."""
    (table,) = row_tables(assemblies["aileron"].worked_plan, "A-BF")
    line = next(one for one in table.lines if one.name == "A12:18")
    assert line.state == "open"
    assert line.findings == "TEXT-01"
    figures = {one.name: one.main for one in line.figures}
    assert figures["grip_mm"] == ".110 in"
    assert "wanted_blind_code" in figures


def test_filter_takes_all_that_is_asked_together(
    assemblies: dict[str, Assembly],
) -> None:
    """Open holes of the bottom flange are four; at step wing-22 three of them."""
    (table,) = row_tables(assemblies["aileron"].worked_plan, "A-BF")
    wanted = {"state": "open"}
    assert sum(line.matches(wanted) for line in table.lines) == 4
    wanted["step"] = "wing-22"
    assert sum(line.matches(wanted) for line in table.lines) == 3


def test_choices_are_what_the_face_has(assemblies: dict[str, Assembly]) -> None:
    """Nothing can be chosen that would leave the table empty."""
    tables = row_tables(assemblies["aileron"].worked_plan, "A-BF")
    made = {one.name: one for one in choices(tables, {"row": "A12"})}
    assert made["row"].values == ("A12",)
    assert made["row"].chosen == "A12"
    assert set(made["state"].values) == {"drilled", "open"}
    assert made["findings"].values == ("TEXT-01",)

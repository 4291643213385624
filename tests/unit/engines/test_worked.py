"""Columns on demand, at their level, read-only; workings back to what is given."""

from __future__ import annotations

import numpy as np
import pytest

from rivetwright.engines.worked import Worked, working
from rivetwright.standards.source import Status
from tests.unit.engines.small import box, plan_of, row, through, worked

TWO_LEVELS = plan_of(
    row("A", "MS20470AD4-4", (10, 10), (30, 10), (50, 10)),
    row("B", "MS20470AD3-3", (70, 10)),
    layers=[box("1"), box("2")],
)


def test_a_column_has_one_value_per_class_or_per_hole() -> None:
    """Four holes of two callouts: two classes, four holes."""
    found = Worked(TWO_LEVELS)
    assert len(found["grip_mm"]) == 2
    assert len(found["edge_distance_mm"]) == 4
    assert found.of_holes("grip_mm").tolist() == [2.0] * 4


def test_values_are_read_at_one_hole_or_at_some() -> None:
    """The diameter of a class at the hole that belongs to it."""
    found = Worked(TWO_LEVELS)
    assert found.at("shank_diameter_mm", 3) == pytest.approx(2.38125)
    some = found.at("shank_diameter_mm", np.array([0, 3]))
    assert some.tolist() == pytest.approx([3.175, 2.38125])


def test_columns_are_worked_out_once_and_kept_from_change() -> None:
    """The same array comes back, and nobody can write into it."""
    found = Worked(TWO_LEVELS)
    column = found["grip_mm"]
    assert found["grip_mm"] is column
    with pytest.raises(ValueError, match="read-only"):
        column[0] = 1.0


def test_progress_is_told_rule_by_rule() -> None:
    """First nothing is done, last everything."""
    told: list[tuple[str, int, int]] = []
    Worked(TWO_LEVELS).run_all(lambda *said: told.append(said))
    assert told[0][1] == 0
    assert told[-1][1:] == (told[-1][2], len(told) - 1)
    assert [done for _, done, _ in told] == list(range(len(told)))


def test_working_walks_back_to_what_is_given() -> None:
    """Length by the handbook rule = grip + 1.5 D + extra; grip = sheets + sealant."""
    found = through((0.032, "plain"), (0.032, "plain"))
    opened = working(found.worked, "handbook_length_mm", 0)
    assert [one.name for one in opened.inputs] == [
        "grip_mm",
        "shank_diameter_mm",
        "long_grip_mm",
    ]
    grip = opened.inputs[0]
    assert grip.value == pytest.approx(0.064 * 25.4)
    assert [one.name for one in grip.inputs] == ["sheet_thickness_mm", "sealant_mm"]
    assert grip.inputs[0].inputs == ()


def test_working_bears_the_weakest_status_it_rests_on() -> None:
    """The grip is read; the head's width rests on figures from memory."""
    found = through((0.032, "plain"), (0.032, "plain"))
    assert working(found.worked, "grip_mm", 0).status is Status.READ
    assert working(found.worked, "head_width_mm", 0).status is Status.FROM_MEMORY


def test_table_source_is_that_of_the_row() -> None:
    """A looked-up figure names the row's document, not tables in general."""
    found = through((0.032, "plain"), (0.032, "plain"))
    opened = working(found.worked, "head_width_min_mm", 0)
    assert opened.source.document.startswith("MIL-R-47196A")
    assert opened.witness is not None
    assert opened.witness.fields["row"] == "shop_heads.csv:3"


def test_plan_without_rows_is_worked_out() -> None:
    """Nothing to set gives empty columns and no finding."""
    found = worked()
    assert len(found.worked.holes) == 0
    assert found.findings == ()
    assert not found.stops

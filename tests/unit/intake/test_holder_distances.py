"""Distances between what is fast that the drawing gives."""

from __future__ import annotations

import pytest

from rivetwright.engines.order.figures import DRAWING, TABLE, figures_of
from rivetwright.errors import PlanRefused
from rivetwright.intake.plan_file import read_plan_text
from rivetwright.intake.spreadsheet import read_spreadsheet_bytes, write_spreadsheet
from rivetwright.intake.write_plan import write_plan
from rivetwright.model.shop import Shop

PLAN = """\
format: rivetwright plan 1
project: {id: 6b1f7a52-6c0e-4b8e-9a41-7be0c2d5f018, name: made up}
assembly: {id: a, name: A}
unit: in
rules: {holders: {HELD}}
parts:
  1: {thickness: .032}
steps:
  s: {}
rows:
  R: {count: 2, stack: [1, 1], callout: MS20470AD4-4, step: s}
"""
HELD = PLAN.replace("HELD", "held within: 2 in, skip: 60 mm")


def test_drawing_overrules_shop_and_table() -> None:
    """2 in = 50.8 mm for both; what it does not give stays the table's."""
    held_mm = read_plan_text(HELD).rule_sets.held_mm
    assert held_mm == (("held within", 50.8), ("skip", 60.0))
    shop = Shop("s", "S", "in", costs=(("held within", 100.0),))
    figures = figures_of(shop, held_mm=held_mm)
    assert figures["held within"] == 50.8
    assert figures.known_from["held within"] == DRAWING
    assert figures.known_from["end within"] == TABLE
    assert figures.clamp().reach_mm == 50.8
    assert figures.creep.skip_mm == 60.0


def test_distances_come_back_as_they_were() -> None:
    """Through the plan file and through a spreadsheet."""
    plan = read_plan_text(HELD)
    assert read_plan_text(write_plan(plan)).rule_sets == plan.rule_sets
    sheets = read_spreadsheet_bytes(write_spreadsheet(plan), "a.xlsx")
    assert sheets.rule_sets == plan.rule_sets


@pytest.mark.parametrize(
    ("written", "said"),
    [
        ("yoke: 3 in", "held within, end within, skip, between"),
        ("held within: 3 ft", "1 mm to 2 m"),
        ("held within: 300 in", "1 mm to 2 m"),
    ],
)
def test_what_is_no_distance_of_a_drawing_is_refused(written: str, said: str) -> None:
    """Another figure, another unit, a slipped point: with the line and the field."""
    with pytest.raises(PlanRefused, match=r"plan:5: rules.holders") as refused:
        read_plan_text(PLAN.replace("HELD", written))
    assert said in str(refused.value)

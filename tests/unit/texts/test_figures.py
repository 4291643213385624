"""A formula with its figures put in, and figures with a value for each sheet."""

from __future__ import annotations

import re

import pytest

from rivetwright.engines.plan import WorkedPlan
from rivetwright.engines.rules import FORMULA, FORMULA_WORDS, REGISTRY
from rivetwright.engines.worked import working
from rivetwright.texts.figures import put_in, say_working

# A figure that is not known is written as a dash, which no formula can be run with.
NOTHING = re.compile(r"(^|[(]|, |[-+*/] )-([ ,)]|$)")


def test_thicknesses_are_said_sheet_by_sheet(demo_plans: list[WorkedPlan]) -> None:
    """A11: 0.025, 0.020 and 0.025 in, with the millimetres of each beside."""
    worked = demo_plans[0].worked
    hole = worked.holes.index("A11:5")
    said = say_working(working(worked, "sheet_thickness_mm", hole), "in")
    assert said.main == ".025 in, .020 in, .025 in"
    assert said.other == "0.64 mm, 0.51 mm, 0.64 mm"
    said = say_working(working(worked, "sheet_preparation", hole), "in")
    assert (said.main, said.other) == ("dimple, dimple, dimple", "")


def test_text_and_figures_are_said_as_ever(demo_plans: list[WorkedPlan]) -> None:
    """One value for the hole: its own unit and the other."""
    worked = demo_plans[0].worked
    hole = worked.holes.index("A11:5")
    assert str(say_working(working(worked, "drill_name", hole), "in")) == "No. 40"
    said = say_working(working(worked, "grip_mm", hole), "mm")
    assert (said.main, said.other) == ("1.78 mm", ".070 in")


def test_figures_stand_in_the_formula_in_millimetres(
    demo_plans: list[WorkedPlan],
) -> None:
    """A11: 1.778 mm of stack, D = 2.38125 mm, nothing for a long grip."""
    worked = demo_plans[0].worked
    hole = worked.holes.index("A11:5")
    opened = working(worked, "handbook_length_mm", hole)
    assert put_in(opened) == "1.778 + 1.5 * 2.38125 + 0"
    opened = working(worked, "grip_mm", hole)
    assert put_in(opened) == "sum_sheets((0.635, 0.508, 0.635)) + 0"


def test_what_is_not_known_stands_as_a_dash(demo_plans: list[WorkedPlan]) -> None:
    """A blind rivet has no length: the formula shows where the figure is lacking."""
    worked = demo_plans[0].worked
    opened = working(worked, "callout_length_16ths", worked.holes.index("A12:1"))
    assert put_in(opened) == "- / 1.5875"


@pytest.mark.parametrize("hole", ["A11:5", "A1:1"])
def test_what_was_put_in_gives_the_value(
    demo_plans: list[WorkedPlan], hole: str
) -> None:
    """Reckoned again as it is shown, each formula without sheets gives its value.

    Figures are shown with six decimals, so a nanometre may be lost in each, and a
    millionth of a stress or force.
    """
    worked = demo_plans[0].worked
    index = worked.holes.index(hole)
    reckoned = 0
    for rule in REGISTRY:
        if rule.kind != FORMULA or "sheet" in rule.formula:
            continue
        opened = working(worked, rule.output, index)
        shown = put_in(opened)
        if float(opened.value) != float(opened.value) or NOTHING.search(shown):
            continue
        again = eval(shown, {"__builtins__": {}}, FORMULA_WORDS)
        assert float(again) == pytest.approx(float(opened.value), rel=1e-6, abs=1e-4)
        reckoned += 1
    assert reckoned > 20

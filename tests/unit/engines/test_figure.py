"""A law is its own formula and carries ranges from corner to corner."""

from __future__ import annotations

import math

import pytest

from rivetwright.engines.figure import Figure, Law, given, looked_up
from rivetwright.standards.air import air_figure
from rivetwright.standards.source import Source, Status
from rivetwright.standards.spread import Spread

OWN = Source("own geometry", "", Status.DERIVED)
RATIO = Law("ratio", "One by the other", "above_mm / below_mm", "-", OWN)


def ranged(name: str, low: float, central: float, high: float) -> Figure:
    """A figure with a range."""
    return Figure(name, Spread(low, central, high), "mm", OWN)


def test_a_law_runs_the_formula_that_it_shows() -> None:
    """6 by 3 is 2, and the names are read off the formula."""
    assert RATIO.inputs == ("above_mm", "below_mm")
    assert RATIO(above_mm=6.0, below_mm=3.0) == 2.0


def test_ranges_go_through_corner_by_corner() -> None:
    """(2 to 6) by (1 to 2): least 2/2, most 6/1, usual 4/1.6."""
    found = RATIO.figure(
        above_mm=ranged("above_mm", 2, 4, 6), below_mm=ranged("below_mm", 1, 1.6, 2)
    )
    assert found.value == Spread(1.0, 2.5, 6.0)
    assert found.central == 2.5


def test_a_figure_rests_on_the_weakest_of_its_inputs() -> None:
    """A derived law over something FROM MEMORY is FROM MEMORY."""
    weak = looked_up("above_mm", air_figure("hose roughness"), "mm")
    found = RATIO.figure(above_mm=weak, below_mm=given("below_mm", 2.0, "mm"))
    assert found.status is Status.FROM_MEMORY
    assert given("below_mm", 2.0, "mm").status is Status.READ


def test_a_figure_names_its_table_row_or_its_formula() -> None:
    """What is looked up has a row and no formula; what is reckoned the reverse."""
    looked = looked_up("above_mm", air_figure("hose roughness"), "mm")
    found = RATIO.figure(above_mm=looked, below_mm=looked)
    assert looked.row.startswith("air.csv:")
    assert not looked.formula
    assert found.formula == RATIO.expression
    assert found.title == RATIO.title


def test_words_of_formulas_may_be_used() -> None:
    """Least, most, pi and without end are known."""
    law = Law("x", "x", "where(a > 1, inf, min(a, pi))", "-", OWN)
    assert law(a=0.5) == 0.5
    assert law(a=2.0) == math.inf


def test_a_law_wants_just_its_inputs() -> None:
    """One name too few is our own mistake."""
    with pytest.raises(AssertionError, match="ratio needs"):
        RATIO(above_mm=1.0)

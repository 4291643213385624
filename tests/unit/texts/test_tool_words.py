"""Tools in words: what is in the way with both units, ways, sizes, dates."""

from __future__ import annotations

from datetime import date

import numpy as np

from rivetwright.engines.reach.fit import ToolFit
from rivetwright.model.shop import Die, Tool
from rivetwright.standards.reach import Way, ways_of_kind
from rivetwright.standards.table import read_table
from rivetwright.texts.catalogue import catalogue
from rivetwright.texts.tool_words import (
    say_die,
    say_fit,
    say_largest,
    say_size,
    say_state,
    say_tools,
    say_way,
)

YOKE = Tool("Y9", "yoke")


def test_a_limit_is_told_with_its_figures_in_both_units() -> None:
    """Reach 3.000 in, needs 3.100: 76.20 and 78.74 mm beside, in the same order."""
    said = say_fit(ToolFit(YOKE, "no", "reach", 76.2, 78.74, -2.54), "in")
    assert said.main == "Y9 reach 3.000 in, needs 3.100 in"
    assert said.other == "76.20 mm, 78.74 mm"


def test_a_limit_that_is_no_length_has_nothing_beside() -> None:
    """A bar sets no blind rivets; and what nothing limits says nothing."""
    said = say_fit(
        ToolFit(YOKE, "no", "solid rivets only", np.nan, np.nan, -np.inf), "mm"
    )
    assert (said.main, said.other) == ("Y9 sets solid rivets only", "")
    assert say_fit(ToolFit(YOKE, "clear", "", np.nan, np.nan, np.inf), "in").main == ""


def test_a_way_is_told_with_what_it_asks() -> None:
    """Both hands, a second person, ears; or nothing."""
    (way,) = ways_of_kind("bar")
    assert say_way(way.value) == "gun and bar: both hands, a second person, noisy"
    assert say_way(Way("puller", False, False, False)) == "puller"


def test_every_way_of_the_table_has_its_words() -> None:
    """As ways.csv names them."""
    ways = {row.cells["way"] for row in read_table("ways").rows}
    assert set(catalogue().section("tool_way")) == ways


def test_a_tool_on_order_is_told_with_its_day() -> None:
    """With a date, without one, owned; in a list only those on order say so."""
    due = Tool("Y8", "yoke", state="on order", due=date(2026, 12, 16))
    none = Tool("Y7", "yoke", state="on order")
    assert say_state(due) == "on order, due 2026-12-16"
    assert say_state(none) == "on order, no date"
    assert say_tools((YOKE, none)) == "Y9, Y7 (on order, no date)"


def test_sizes_are_told_as_the_trade_writes_them() -> None:
    """A fraction where it is one; open or not measured where it is left out."""
    assert (say_size(38.1, "in").main, say_size(38.1, "in").other) == (
        "1-1/2 in",
        "38.10 mm",
    )
    assert say_size(None, "in").main == "open"
    assert say_size(None, "in", "not_measured").main == "not measured"
    assert (say_largest(5), say_largest(None)) == ("5/32 in", "any")


def test_a_die_is_told_with_the_rivet_it_fits() -> None:
    """A cup, a flat one, and three flat ones alike."""
    assert say_die(Die("cup", 5.84, diameter_32nds=4)) == "cup 1/8"
    assert say_die(Die("flat", 3.0)) == "flat"
    assert say_die(Die("flat", 3.0, count=3)) == "flat x 3"

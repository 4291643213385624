"""Columns of text: what is folded, what is left out, what keeps its width."""

from __future__ import annotations

import pytest

from rivetwright.cli.columns import Column, hanging, lay_out

NAME = Column("Name", ["A1", "A12"])
FIGURE = Column("Grip", ["1", "22.5"], right=True)


def test_columns_stand_beside_each_other_without_blanks_at_the_end() -> None:
    """Words to the left, figures to the right, two blanks between."""
    assert lay_out((NAME, FIGURE), 80).lines == (
        "Name  Grip",
        "A1       1",
        "A12   22.5",
    )


def test_a_column_that_says_nothing_is_left_out() -> None:
    """Dashes and blanks alone are no column, and are not missed."""
    laid = lay_out((NAME, Column("Edge", ["-", ""])), 80)
    assert laid.lines == ("Name", "A1", "A12")
    assert laid.left_out == ()


def test_the_least_wanted_column_goes_first() -> None:
    """20 letters do not hold all three: the one that goes first is left out."""
    second = Column("Second", ["bbbbbbb", "b"], goes=2)
    first = Column("First", ["aaaaaaa", "a"], goes=1)
    laid = lay_out((NAME, second, first), 20)
    assert laid.lines == ("Name  Second", "A1    bbbbbbb", "A12   b")
    assert laid.left_out == ("First",)


def test_a_column_that_may_fold_gives_way_before_another_goes() -> None:
    """Folded to nine letters the state fits beside the name in 15."""
    state = Column("State", ["7 drilled, 1 on hold", "set"], narrow=9, goes=1)
    assert lay_out((NAME, state), 15).lines == (
        "Name  State",
        "A1    7",
        "      drilled,",
        "      1 on hold",
        "A12   set",
    )


def test_what_may_neither_fold_nor_go_keeps_its_width() -> None:
    """Names are never cut: in three letters they stand as they are."""
    assert lay_out((NAME, FIGURE), 3).lines[2] == "A12   22.5"


def test_wide_letters_count_twice() -> None:
    """Two letters that fill four places: the next column begins after them."""
    laid = lay_out((Column("N", ["翼肋", "B"]), Column("M", ["x", "y"])), 80)
    assert laid.lines == ("N     M", "翼肋  x", "B     y")


def test_a_table_without_rows_is_its_heading_or_nothing() -> None:
    """No holes at all: there is nothing to say."""
    assert lay_out((Column("Name", []),), 80).lines == ("",)


@pytest.mark.parametrize("width", [20, 40])
def test_a_labelled_paragraph_hangs_under_its_first_word(width: int) -> None:
    """Every further line begins where the text began; no word is lost."""
    words = "the handbook wants -3.5 and the volume of metal agrees"
    lines = hanging("  do", words, width, indent=6).splitlines()
    assert lines[0].startswith("  do  the")
    assert all(line.startswith("      ") for line in lines[1:])
    assert " ".join(line[6:] for line in lines) == words

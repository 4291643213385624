"""Pictures are written the same way each time, and hold no letter they may not."""

from __future__ import annotations

import xml.etree.ElementTree as ET

import pytest

from rivetwright.drawing.svg import (
    add,
    clean,
    new_picture,
    number,
    path_through,
    written,
)


@pytest.mark.parametrize(
    ("value", "expected"),
    [(1.0, "1"), (1.25, "1.25"), (-0.0001, "0"), (2 / 3, "0.667"), (-12.5, "-12.5")],
)
def test_a_coordinate_has_at_most_three_digits(value: float, expected: str) -> None:
    """Thousandths of a millimetre, no noughts at the end, never -0."""
    assert number(value) == expected


def test_a_path_runs_through_its_points() -> None:
    """A move, then lines; Z closes it."""
    assert path_through([(0, 0), (1, 2)], closed=True) == "M0 0 L1 2Z"


def test_letters_that_no_picture_may_hold_become_spaces() -> None:
    """A nought byte and an escape would make the file unreadable."""
    assert clean("a\x00b\x1bc\u00e9") == "a b c\u00e9"


def test_any_text_comes_back_as_it_was() -> None:
    """Brackets, quotes and ampersands are escaped by the writer, not by us."""
    picture = new_picture("k", "<&>\"'", "]]>", (0, 0, 1, 1), ".a .b{fill:red}")
    add(picture, "text", "</svg><script>", data_row='"><x')
    read = ET.fromstring(written(picture))
    assert read.get("aria-label") == "<&>\"'"
    assert [e.text for e in read][1:] == ["]]>", ".a .b{fill:red}", "</svg><script>"]
    assert read[3].get("data-row") == '"><x'


def test_a_picture_names_itself() -> None:
    """Role, title and description stand at its beginning."""
    read = ET.fromstring(written(new_picture("k", "t", "d", (0, 1, 2, 3), "")))
    assert (read.get("role"), read.get("viewBox")) == ("img", "0 1 2 3")
    assert [e.text for e in read][:2] == ["t", "d"]

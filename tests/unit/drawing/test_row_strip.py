"""A row without places is drawn as a strip, in order and numbered."""

from __future__ import annotations

import pytest

from rivetwright.drawing.row_strip import row_strip_svg, strip_size_mm
from rivetwright.errors import NotFound
from tests.unit.drawing.pictures import hole_places, of_class, read, small, view_box


def test_holes_follow_each_other_and_go_on_in_a_second_line() -> None:
    """Thirty holes: twenty-five in the first line, five in the second."""
    places = list(hole_places(read(row_strip_svg(small(), "R3"))).values())
    first, second = places[:25], places[25:]
    assert len(second) == 5
    assert [x for x, _ in first] == sorted(x for x, _ in first)
    assert {y for _, y in second}.pop() > {y for _, y in first}.pop()


def test_every_hole_has_its_number_and_the_strip_says_it_has_no_scale() -> None:
    """Thirty numbers, and the row's name with a warning."""
    picture = read(row_strip_svg(small(), "R3"))
    texts = [e.text for e in picture.iter() if e.tag.endswith("text")]
    assert texts[0] == "R3  not to scale"
    assert texts[1:] == [str(k) for k in range(1, 31)]


def test_a_strip_has_the_size_it_says() -> None:
    """The paper makes room for it before it is drawn."""
    left, top, right, bottom = view_box(read(row_strip_svg(small(), "R3")))
    assert (right - left, bottom - top) == strip_size_mm(30)


def test_names_can_be_left_away() -> None:
    """Signs alone."""
    picture = read(row_strip_svg(small(), "R3", labels=False))
    assert not [e for e in picture.iter() if e.tag.endswith("text")]
    assert len(of_class(picture, "hole")) == 30


def test_a_row_that_is_not_there_is_refused() -> None:
    """The nearest name is told."""
    with pytest.raises(NotFound, match=r"no row R4.*nearest: R"):
        row_strip_svg(small(), "R4")

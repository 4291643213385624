"""A bar of one assembly: set, can be set now, waits; shapes before colours."""

from __future__ import annotations

import pytest

from rivetwright.drawing.how_far import WIDE_MM, how_far_svg
from tests.unit.drawing.pictures import of_class, read


def test_shares_are_lengths() -> None:
    """44 of 172 set are 40.93 mm of 160; 12 more are bars up to 52.09 mm."""
    picture = read(how_far_svg("Aileron", 44, 12, 172))
    (filled,) = of_class(picture, "dot")
    assert float(filled.get("width", "0")) == pytest.approx(44 / 172 * 160, abs=0.01)
    bars = [e for e in of_class(picture, "line") if e.tag.endswith("path")]
    ends = [float(e.get("d", "M0 ")[1:].split(" ")[0]) for e in bars]
    assert min(ends) > 40.9
    assert max(ends) == pytest.approx(56 / 172 * 160, abs=0.01)


def test_words_say_what_the_bar_shows() -> None:
    """For those who hear it read."""
    picture = read(how_far_svg("Flap", 0, 3, 194))
    label = picture.get("aria-label")
    assert label == "Flap: 0 of 194 rivets set, 3 can be set as things are"


def test_all_set_is_a_full_bar() -> None:
    """Nothing is left: filled from end to end, no bars."""
    picture = read(how_far_svg("Rib", 9, 0, 9, for_paper=True))
    (filled,) = of_class(picture, "dot")
    assert float(filled.get("width", "0")) == WIDE_MM
    assert [e for e in of_class(picture, "line") if e.tag.endswith("path")] == []


def test_an_assembly_without_holes_has_an_empty_bar() -> None:
    """No share of nothing."""
    picture = read(how_far_svg("None", 0, 0, 0))
    assert of_class(picture, "dot") == []

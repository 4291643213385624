"""Charts of the forecast: bars as high as they should be, marks where they belong."""

from __future__ import annotations

import xml.etree.ElementTree as ET

import pytest

from rivetwright.drawing.forecast_charts import (
    FINISH_MM,
    HoursBar,
    Mark,
    Told,
    Week,
    finish_svg,
    hours_svg,
    replay_svg,
)
from tests.unit.drawing.pictures import SVG, of_class, read

WEEKS = (Week("2027-01-04", 0.1), Week("2027-01-11", 0.4), Week("2027-01-18", 0.0))


def _bars(picture: ET.Element, size: str) -> list[float]:
    return [float(one.get(size, "0")) for one in picture.iter(f"{SVG}rect")]


def test_weeks_are_as_high_as_their_share() -> None:
    """The most likely week fills the room, a quarter of it a quarter; none is none."""
    marks = (Mark(1.5, "every second by 2027-01-14", is_middle=True),)
    picture = read(finish_svg(WEEKS, marks))
    assert _bars(picture, "height") == pytest.approx([FINISH_MM / 4, FINISH_MM])
    assert "every second by 2027-01-14" in (picture.findtext(f"{SVG}desc") or "")
    words = [text.text for text in picture.iter(f"{SVG}text")]
    assert "every second by 2027-01-14" in words
    assert "2027-01-04" in words


def test_hours_spent_are_full_and_left_are_open() -> None:
    """Three spent and one left: the full bar is three times as long."""
    picture = read(hours_svg([HoursBar("deburr", 3.0, 1.0), HoursBar("dimple", 0, 2)]))
    full, left, second = _bars(picture, "width")
    assert full == pytest.approx(3 * left)
    assert second == pytest.approx(2 * left)
    assert [one.get("class") for one in picture.iter(f"{SVG}rect")] == [
        "dot",
        "line",
        "line",
    ]
    assert "deburr: 3.0 h spent, 1.0 h left" in (picture.findtext(f"{SVG}desc") or "")


def test_replayed_lines_differ_by_shape() -> None:
    """Within the range a ring, outside a cross; how many held is said."""
    lines = [Told("a", 0.6, 1.1, 1.6, True), Told("b", 0.6, 9.0, 1.6, False)]
    picture = read(replay_svg(lines))
    assert len(of_class(picture, "inside")) == 1
    assert len(of_class(picture, "outside")) == 2
    assert "1 of 2 lines" in (picture.findtext(f"{SVG}desc") or "")


def test_empty_charts_are_drawn() -> None:
    """Nothing to show is no fault."""
    for svg in (finish_svg((), ()), hours_svg(()), replay_svg(())):
        assert read(svg).tag.endswith("svg")

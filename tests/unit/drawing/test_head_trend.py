"""Heads over time: every head, limit and change is there, told apart by shape."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET

import pytest

from rivetwright.drawing.head_trend import (
    Band,
    Change,
    Trend,
    TrendHead,
    head_trend_svg,
)
from tests.unit.drawing.pictures import of_class, read, view_box

IN = 25.4
HEIGHT = Band(0.050 * IN, 0.060 * IN, 0.070 * IN)
WIDTH = Band(0.163 * IN)
SIZES = (0.060, 0.062, 0.073, 0.058, 0.064)


def trend(*sizes_in: float, changes: tuple[Change, ...] = (), **more: str) -> Trend:
    """Heads of one row with these heights; every second width is not measured."""
    heads = tuple(
        TrendHead(
            f"A1:{k + 1}",
            f"2026-10-{10 + k // 3}",
            size * IN,
            0.200 * IN if k % 2 == 0 else None,
        )
        for k, size in enumerate(sizes_in)
    )
    given = {"title": "1/8 universal", "limit_set": "MIL-R-47196A", **more}
    return Trend(given["title"], given["limit_set"], heads, HEIGHT, WIDTH, changes)


def words(picture: ET.Element) -> list[str]:
    """Every text of a picture."""
    return [e.text or "" for e in picture.iter() if e.tag.endswith("text")]


def described(picture: ET.Element) -> str:
    """What a reader says of it."""
    return next(e.text or "" for e in picture.iter() if e.tag.endswith("desc"))


def test_every_head_has_its_column_in_the_order_set() -> None:
    """Five heads, each with its figures in words; a width not measured has no sign."""
    heads = of_class(read(head_trend_svg(trend(*SIZES))), "head")
    assert [one.get("data-hole") for one in heads] == [f"A1:{k}" for k in range(1, 6)]
    titles = [one[0].text for one in heads]
    assert titles[0] == "A1:1, 2026-10-10, height .060, width .200"
    assert titles[1] == "A1:2, 2026-10-10, height .062"
    assert [len(of_class(one, "width")) for one in heads] == [1, 0, 1, 0, 1]


def test_a_head_outside_is_a_cross_and_is_named() -> None:
    """0.073 is over 0.070; the others are rings."""
    picture = read(head_trend_svg(trend(*SIZES)))
    outside = [
        one.get("data-hole")
        for one in of_class(picture, "head")
        if of_class(one, "outside")
    ]
    assert outside == ["A1:3"]
    assert "Outside: A1:3." in described(picture)
    assert "All inside." in described(read(head_trend_svg(trend(0.060))))


def test_a_head_on_the_limit_is_inside() -> None:
    """0.070 is allowed: a ring."""
    assert not of_class(read(head_trend_svg(trend(0.070))), "outside")


def test_limits_and_aim_stand_with_their_figures() -> None:
    """Both units; a width has no greatest size here."""
    for system, most, least in (("in", "most .070", "least .163"),):
        said = words(read(head_trend_svg(trend(*SIZES), system=system)))
        assert {most, least, "aim .060", "Height, in"} <= set(said)
    said = words(read(head_trend_svg(trend(*SIZES), system="mm")))
    assert {"most 1.78", "least 1.27", "Width, mm"} <= set(said)
    assert len([one for one in said if one.startswith("most")]) == 1


def test_higher_heads_stand_higher() -> None:
    """y grows downward: 0.058 below 0.060 below 0.073."""
    picture = read(head_trend_svg(trend(0.058, 0.060, 0.068)))
    rings = [e for e in of_class(picture, "inside") if e.get("cy")]
    heights = [float(e.get("cy", "")) for e in rings]
    low, middle, high = heights[0], heights[2], heights[3]
    assert low > middle > high


def test_changes_are_numbered_lines_with_words() -> None:
    """A change stands between two columns, an alarm on its own."""
    changes = (Change(2, "shim .010 out"), Change(3, "higher", is_alarm=True))
    picture = read(head_trend_svg(trend(*SIZES, changes=changes)))
    (changed,), (alarm,) = of_class(picture, "changed"), of_class(picture, "alarm")
    assert (changed.get("data-at"), alarm.get("data-at")) == ("2", "3")
    said = words(picture)
    assert "1 before A1:3: shim .010 out." in said
    assert "2 at A1:4, alarm: higher." in said

    def x_of(group: ET.Element) -> float:
        path = next(e.get("d", "") for e in group if e.tag.endswith("path"))
        return float(re.findall(r"[\d.]+", path)[0])

    # Half a column of 5 mm, and a whole one more.
    assert x_of(alarm) - x_of(changed) == pytest.approx(7.5)


def test_the_curve_breaks_at_a_change_but_not_at_an_alarm() -> None:
    """One run of heights becomes two."""
    whole = of_class(read(head_trend_svg(trend(*SIZES))), "curve")
    alarm = Change(2, "higher", is_alarm=True)
    same = of_class(read(head_trend_svg(trend(*SIZES, changes=(alarm,)))), "curve")
    change = Change(2, "shim out")
    parted = of_class(read(head_trend_svg(trend(*SIZES, changes=(change,)))), "curve")
    # Heights and widths; the two first widths are one, which is no line.
    assert (len(whole), len(same), len(parted)) == (2, 2, 3)


def test_a_change_after_the_last_head_is_told_so() -> None:
    """Nothing was measured with it yet."""
    picture = read(head_trend_svg(trend(*SIZES, changes=(Change(5, "new die"),))))
    assert "1 after A1:5: new die." in words(picture)
    assert len(of_class(picture, "changed")) == 1


def test_a_slip_does_not_squash_the_others() -> None:
    """0.600 stands at the rim with an arrow and its figure."""
    picture = read(head_trend_svg(trend(0.052, 0.600, 0.068)))
    (far,) = of_class(picture, "far")
    assert far is not None
    assert ".600" in words(picture)
    rings = [float(e.get("cy", "")) for e in of_class(picture, "inside")]
    assert max(rings) - min(rings) > 5


def test_long_runs_go_on_in_further_strips() -> None:
    """Seventy heads at thirty a strip: three; every head is drawn once."""
    picture = read(head_trend_svg(trend(*[0.060] * 70)))
    assert len(of_class(picture, "strip")) == 3
    heads = [one.get("data-head") for one in of_class(picture, "head")]
    assert heads == [str(k) for k in range(70)]
    narrow = read(head_trend_svg(trend(*[0.060] * 70), a_strip=20))
    assert view_box(narrow)[2] < view_box(picture)[2]
    assert len(of_class(narrow, "strip")) == 4


def test_everything_lies_within_the_picture() -> None:
    """No words or signs past the rim, with a long title and a long name too."""
    changes = (Change(1, "ram pin turned out by a quarter " * 4),)
    made = trend(*SIZES, changes=changes, title="a very long set-up " * 6)
    picture = read(head_trend_svg(made))
    left, top, right, bottom = view_box(picture)
    for e in picture.iter():
        if e.tag.endswith("text") and e.get("text-anchor") is None:
            size = float(e.get("font-size", ""))
            long = len(e.text or "") * 0.61 * size
            x, y = float(e.get("x", "")), float(e.get("y", ""))
            is_turned = e.get("transform") is not None
            assert left <= x <= right
            assert top <= y <= bottom
            assert (y if is_turned else x) + long <= (bottom if is_turned else right)


def test_a_set_up_without_heads_says_so() -> None:
    """The picture is there and empty."""
    picture = read(head_trend_svg(trend()))
    assert "No head of this set-up was measured yet." in words(picture)
    assert of_class(picture, "head") == []


def test_a_set_up_without_limits_shows_its_heads() -> None:
    """Nothing is outside of nothing."""
    made = Trend("x", "own", (TrendHead("A1:1", "", 1.5),), Band(), Band())
    picture = read(head_trend_svg(made))
    assert len(of_class(picture, "inside")) == 1


def test_paper_has_fixed_colours_and_the_same_signs() -> None:
    """No variable is left for the typesetter; the same picture twice is equal."""
    made = trend(*SIZES, changes=(Change(2, "shim out"),))
    paper = head_trend_svg(made, for_paper=True)
    assert "var(" not in paper
    assert paper == head_trend_svg(made, for_paper=True)
    screen = read(head_trend_svg(made))
    assert len(of_class(read(paper), "head")) == len(of_class(screen, "head"))

"""Half sections of sheets and heads, checked by hand and by what cannot change."""

from __future__ import annotations

import math

import pytest
import shapely

from rivetwright.drawing.profiles import (
    cone_depth_mm,
    flush_head,
    sheet_profiles,
    shop_head,
    universal_head,
)

SIN, COS, TAN = (f(math.radians(50)) for f in (math.sin, math.cos, math.tan))


def profiles(*sheets: tuple[float, str]):
    """Sheets about a hole of radius 1 under a head of radius 2, drawn to 6."""
    thickness, preparation = zip(*sheets, strict=True)
    return sheet_profiles(
        thickness, preparation, hole_radius_mm=1.0, head_radius_mm=2.0, width_mm=6.0
    )


def test_a_cone_narrows_with_the_tangent_of_50_degrees() -> None:
    """From radius 2 to 1 in 1 / tan 50 = 0.839 mm."""
    assert cone_depth_mm(2.0, 1.0) == pytest.approx(0.8391, abs=1e-4)


def test_plain_sheets_lie_on_each_other() -> None:
    """0.8 and 1.2 thick: from 0 to 0.8 and on to 2.0, both with a straight hole."""
    first, second = profiles((0.8, "plain"), (1.2, "plain"))
    assert (first.top_mm, first.bottom_mm, second.bottom_mm) == (0.0, 0.8, 2.0)
    assert first.outline_mm == ((6.0, 0.0), (1.0, 0.0), (1.0, 0.8), (6.0, 0.8))


def test_a_dimple_keeps_the_sheet_s_thickness_across_the_cone() -> None:
    """The two faces of the cone are parallel, 0.5 apart."""
    (one,) = profiles((0.5, "dimple"))
    _, rim, edge, under_edge, under_rim, _ = one.outline_mm
    upper, lower = shapely.LineString([rim, edge]), shapely.Point(under_edge)
    assert upper.distance(lower) == pytest.approx(0.5)
    along_upper = math.atan2(edge[1] - rim[1], edge[0] - rim[0])
    along_lower = math.atan2(under_edge[1] - under_rim[1], under_edge[0] - under_rim[0])
    assert along_lower == pytest.approx(along_upper)


def test_the_second_dimple_begins_further_out() -> None:
    """By t (1 - sin 50) / cos 50 = 0.5 x 0.364 = 0.182: radius 2.182."""
    _, second = profiles((0.5, "dimple"), (0.5, "dimple"))
    assert second.outline_mm[1] == pytest.approx((2.182, 0.5), abs=1e-3)
    assert second.outline_mm[1][0] == pytest.approx(2 + 0.5 * (1 - SIN) / COS)


def test_nested_dimples_touch_and_do_not_overlap() -> None:
    """No metal in two places, and no gap along the cone."""
    first, second = (
        shapely.Polygon(one.outline_mm)
        for one in profiles((0.5, "dimple"), (0.8, "dimple"))
    )
    assert first.intersection(second).area == pytest.approx(0, abs=1e-9)
    assert first.distance(second) == pytest.approx(0, abs=1e-9)


def test_a_countersink_ends_in_a_straight_hole_where_the_sheet_is_thick() -> None:
    """Depth 0.839 of 1.2: 0.361 of straight hole is left."""
    (one,) = profiles((1.2, "countersink"))
    (_, _, corner, bottom, _) = one.outline_mm
    assert corner == pytest.approx((1.0, 0.8391), abs=1e-4)
    assert bottom[1] - corner[1] == pytest.approx(0.3609, abs=1e-4)


def test_a_countersink_goes_through_a_sheet_that_is_too_thin() -> None:
    """In 0.5 mm the cone leaves a hole of radius 2 - 0.5 tan 50 = 1.404."""
    one, behind = profiles((0.5, "countersink"), (0.5, "countersink"))
    assert one.outline_mm[2] == pytest.approx((1.4041, 0.5), abs=1e-4)
    assert behind.outline_mm[1] == pytest.approx((2 - 0.5 * TAN, 0.5))


def test_a_countersink_under_a_dimple_receives_it() -> None:
    """Its cone begins where the dimple above has its outer face."""
    dimpled, cut = profiles((0.5, "dimple"), (2.0, "countersink"))
    assert cut.outline_mm[1] == dimpled.outline_mm[4]


def test_heads_have_the_size_they_are_given() -> None:
    """Width and height of a universal, a flush and a shop head."""
    universal = universal_head(2.0, 1.1, 1.0)
    assert universal[0] == pytest.approx((0.0, -1.1), abs=1e-9)
    assert max(x for x, _ in universal) == pytest.approx(2.0)
    assert flush_head(2.0, 1.0)[-1] == pytest.approx((1.0, 1 / TAN))
    made = shop_head(3.0, 4.2, 1.5)
    assert 2 * max(x for x, _ in made) == pytest.approx(4.2)
    assert (made[0][1], *made[-1]) == pytest.approx((3.0, 0.0, 4.5))

"""Crowded parts of a face are found, and drawn larger; empty ones are left away."""

from __future__ import annotations

import numpy as np
import pytest

from rivetwright.drawing.close_ups import close_ups, part_with_holes
from tests.unit.drawing.pictures import demo, small

ROOM = (110.0, 100.0)


def test_holes_that_lie_close_as_drawn_get_a_close_up() -> None:
    """The two brackets of the aileron spar, 0.45 in pitch, at 1 : 5.5.

    11.43 mm are drawn 2.1 mm apart, under 3.6. The holes lie within 60.96 x 35.56
    mm; with 14 mm round them the window fits the room at full size.
    """
    found = close_ups(demo("aileron"), "A-SW", 5.5, ROOM)
    named = [(window.name, scale) for window, scale in found]
    assert named == [("I", 1.0), ("II", 1.0)]
    holes = demo("aileron").worked.holes
    crowded = holes.index("A1:1")
    u0, v0, u1, v1 = found[0][0].box_mm
    assert u0 < holes.x_mm[crowded] < u1
    assert v0 < holes.y_mm[crowded] < v1


def test_a_face_with_room_has_none() -> None:
    """At full size nothing is crowded, nor is a pitch of 8 mm at 1 : 2."""
    assert close_ups(demo("aileron"), "A-SW", 1.0, ROOM) == []
    assert close_ups(small(), "F", 2.0, ROOM) == []


def test_a_close_up_that_is_hardly_larger_is_left_away() -> None:
    """The brackets get one at 1 : 3.5 and up; each is at least 1.6 times larger."""
    for scale in (3.5, 4.0, 5.5):
        for room in (ROOM, (40.0, 40.0)):
            found = close_ups(demo("aileron"), "A-SW", scale, room)
            assert found
            assert all(scale / larger >= 1.6 for _, larger in found)


def test_a_crowd_too_large_for_the_paper_is_cut_into_parts() -> None:
    """Every hole of the crowd lies in one of the parts."""
    tiny = (20.0, 20.0)
    found = close_ups(demo("aileron"), "A-SW", 5.5, tiny)
    assert len(found) > 2
    holes = demo("aileron").worked.holes
    crowd = [k for k in range(len(holes)) if holes.row_of(k).name in ("A1", "A2")]
    for k in crowd:
        inside = [
            u0 <= holes.x_mm[k] <= u1 and v0 <= holes.y_mm[k] <= v1
            for u0, v0, u1, v1 in (window.box_mm for window, _ in found)
        ]
        assert any(inside)
    for window, scale in found:
        u0, v0, u1, v1 = window.box_mm
        assert max(u1 - u0, v1 - v0) <= 20.0 * scale + 1e-9


def test_a_skin_with_holes_along_one_edge_is_cut_off_beyond_them() -> None:
    """B11 lies at v 0.325 in; 45 mm above it the skin of 24 in is cut off."""
    window = part_with_holes(demo("root-rib"), "B-TF")
    assert window is not None
    u0, v0, u1, v1 = window.box_mm
    assert (u0, v0, u1) == pytest.approx((0.0, -0.35 * 25.4, 26 * 25.4))
    assert v1 == pytest.approx(0.325 * 25.4 + 45)


def test_a_face_with_holes_all_over_is_drawn_whole() -> None:
    """The main rib web has holes from end to end."""
    assert part_with_holes(demo("root-rib"), "B-W") is None


def test_names_are_never_used_twice() -> None:
    """More windows than numerals are numbered."""
    found = close_ups(demo("aileron"), "A-SW", 5.5, (8.0, 8.0))
    names = [window.name for window, _ in found]
    assert len(names) > 12
    assert len(np.unique(names)) == len(names)

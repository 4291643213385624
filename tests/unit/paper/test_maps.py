"""Every map is as large as the sheet allows, at a scale that people use."""

from __future__ import annotations

from itertools import pairwise

import pytest

from rivetwright.drawing.close_ups import parts_of_face
from rivetwright.drawing.view import USUAL_STEPS
from rivetwright.paper.maps import SHEETS, Paper, face_maps, row_strips, sections
from tests.unit.drawing.pictures import DEMO, demo, small


@pytest.mark.parametrize("paper", ["letter", "a4"])
@pytest.mark.parametrize("name", DEMO)
def test_maps_and_close_ups_fit_their_sheet(name: str, paper: Paper) -> None:
    """No wider and no higher than the room inside the margins."""
    wide, high = SHEETS[paper].room_mm
    for face in face_maps(demo(name), SHEETS[paper]):
        for picture in (*face["maps"], *face["close_ups"]):
            assert picture["width"] <= wide
            assert picture["height"] <= high
        assert sum(picture["height"] for picture in face["maps"]) <= high


def test_a_long_face_is_drawn_at_the_largest_scale_that_fits() -> None:
    """The aileron spar, 48 in = 1219.2 mm, on A4.

    273 mm less 2 x 12 mm of margin leave 249 mm: 1219.2 / 249 = 4.9, so 1 : 5 in
    one piece; in two, 609.6 / 249 = 2.45, so 1 : 2.5, with room below each other.
    """
    first = face_maps(demo("aileron"), SHEETS["a4"])[0]
    words = [one["words"] for one in first["maps"]]
    assert len(words) == 2
    assert all(one.startswith("Scale 1 : 2.5;") for one in words)
    assert 2.5 in USUAL_STEPS


@pytest.mark.parametrize("count", [2, 3])
def test_the_parts_of_a_face_show_every_hole_once(count: int) -> None:
    """No hole lies on a break, and the parts lie end to end."""
    worked_plan = demo("aileron")
    parts = parts_of_face(worked_plan, "A-SW", None, count)
    ends = [(part.box_mm[0], part.box_mm[2]) for part in parts]
    assert all(a[1] == b[0] for a, b in pairwise(ends))
    holes = worked_plan.worked.holes
    u_mm = holes.x_mm[holes.face == 0]
    inside = sum(((low < u_mm) & (u_mm < high)).astype(int) for low, high in ends)
    assert (inside == 1).all()


def test_a_small_face_is_never_drawn_larger_than_it_is() -> None:
    """The flap's rib web fits three times over, and stays at full size."""
    maps = {one["about"]: one["maps"] for one in face_maps(demo("flap"), SHEETS["a4"])}
    (only,) = maps["C-R"]
    assert only["words"] == "Scale 1 : 1, full size; holes drawn to scale"


def test_rows_without_places_are_strips() -> None:
    """R3 alone has none."""
    assert [one["alt"] for one in row_strips(small())] == ["R3:1-30"]


def test_stacks_that_look_alike_are_drawn_once() -> None:
    """Four ribs of one gauge under one spar: one picture for C1 to C4."""
    holes = [one["holes"] for one in sections(demo("flap"))]
    assert "C1:1-3, C2:1-3, C3:1-3, C4:1-3" in holes

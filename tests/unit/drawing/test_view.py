"""A face is turned and mirrored as its part lies on the bench."""

from __future__ import annotations

import numpy as np
import pytest

from rivetwright.drawing.view import (
    SIDES,
    Look,
    Window,
    find_face,
    fitting_scale,
    larger_scale,
    look_at,
)
from rivetwright.errors import NotFound
from rivetwright.model.outline import Face, Layer, Outline
from tests.unit.drawing.pictures import small

FACE = Face("F", "", (Layer("p", Outline.rectangle((0, 100), (0, 40))),))
NO_HOLES = np.zeros((0, 2))


@pytest.mark.parametrize(
    ("mirror", "turns", "expected"),
    [
        # v up becomes y down; then mirrored left to right; then clockwise.
        (False, 0, (3, -5)),
        (True, 0, (-3, -5)),
        (False, 1, (5, 3)),
        (False, 2, (-3, 5)),
        (False, 3, (-5, -3)),
        (True, 1, (5, -3)),
        (False, 4, (3, -5)),
    ],
)
def test_a_place_is_seen_turned(
    mirror: bool, turns: int, expected: tuple[int, int]
) -> None:
    """The place u 3, v 5 by hand: a quarter clockwise takes right to down."""
    view = look_at(FACE, NO_HOLES, Look(mirror=mirror, quarter_turns=turns))
    assert view.seen(np.array([3.0, 5.0])).tolist() == list(expected)


@pytest.mark.parametrize(
    ("mirror", "turns", "expected"),
    [
        (False, 0, ("bottom", "right", "top", "left")),
        (True, 0, ("bottom", "left", "top", "right")),
        (False, 1, ("left", "bottom", "right", "top")),
    ],
)
def test_edges_go_where_the_face_goes(
    mirror: bool, turns: int, expected: tuple[str, ...]
) -> None:
    """v0, u1, v1 and u0 in turn; clockwise the lower edge comes to the left."""
    view = look_at(FACE, NO_HOLES, Look(mirror=mirror, quarter_turns=turns))
    assert tuple(view.position(side) for side in SIDES) == expected


def test_a_view_holds_outlines_and_holes() -> None:
    """A hole 5 mm outside the outline is seen with 6 mm of room round it."""
    view = look_at(FACE, np.array([[105.0, 20.0]]), Look())
    assert (view.low, view.high) == ((0.0, -40.0), (111.0, 0.0))


def test_a_face_without_anything_can_be_seen() -> None:
    """No outlines and no holes give a small empty view."""
    view = look_at(Face("F", "", ()), NO_HOLES, Look())
    assert view.size_mm == (6.0, 6.0)


def test_a_window_says_where_the_face_goes_on() -> None:
    """A window from u 0 to 50 cuts the right side; the other three are reached."""
    look = Look(window=Window("I", (0, 0, 50, 40)))
    view = look_at(FACE, NO_HOLES, look)
    assert (view.cut, view.size_mm, view.is_close_up) == (("u1",), (50.0, 40.0), True)


@pytest.mark.parametrize(
    ("asked", "fitting", "larger"),
    [(1.0, 1.0, 1.0), (1.1, 1.25, 1.0), (5.3, 5.5, 5.0), (11, 12.5, 10), (95, 100, 90)],
)
def test_usual_scales_lie_either_side(
    asked: float, fitting: float, larger: float
) -> None:
    """1 : 5.3 fits at 1 : 5.5, and 1 : 5 is larger; decades repeat."""
    assert (fitting_scale(asked), larger_scale(asked)) == (fitting, larger)


def test_a_face_is_found_by_name() -> None:
    """A name that the plan lacks is refused."""
    plan = small().worked.plan
    assert find_face(plan, "F")[0] == 0
    with pytest.raises(NotFound, match="no face F1"):
        find_face(plan, "F1")

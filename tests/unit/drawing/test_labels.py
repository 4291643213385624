"""Words stand where they can be read: clear of holes, of each other, of the rim."""

from __future__ import annotations

import numpy as np
import pytest
import shapely

from rivetwright.drawing.labels import (
    Room,
    box_about,
    place_apart,
    place_beside,
    place_inside,
    width_of,
)

FRAME = (0.0, 0.0, 100.0, 100.0)


def room(*holes: tuple[float, float, float]) -> Room:
    """A room of 100 by 100 with round holes: x, y, radius."""
    boxes = [(x - r, y - r, x + r, y + r) for x, y, r in holes]
    return Room(np.array(boxes, dtype=float).reshape(-1, 4), FRAME)


def test_words_take_room_by_their_letters() -> None:
    """Four letters of height 2 are 4 x 0.61 x 2 wide and 1.1 x 2 high."""
    assert width_of("A1:1", 2.0) == pytest.approx(4.88)
    assert box_about((10, 10), "A1:1", 2.0) == pytest.approx((7.56, 8.9, 12.44, 11.1))


def test_words_stand_outward_along_the_row() -> None:
    """A row running right has its name left of the first hole, `clear` away."""
    label = place_beside(
        room((50, 50, 1)), "A1:1", (50, 50), (-1, 0), height=2, clear=3
    )
    assert label is not None
    right = box_about(label.place, "A1:1", 2)[2]
    assert (right, label.place[1]) == pytest.approx((47, 50))
    assert label.points_at is None


def test_words_go_across_the_row_where_a_hole_is_in_the_way() -> None:
    """With another hole to the left they stand beside the row instead."""
    label = place_beside(
        room((50, 50, 1), (45, 50, 1)), "A1:1", (50, 50), (-1, 0), height=2, clear=3
    )
    assert label is not None
    assert label.place[1] != pytest.approx(50)


def test_words_that_find_no_room_are_left_away() -> None:
    """A ring of holes leaves nothing near; further away there is room again."""
    angles = np.linspace(0, 2 * np.pi, 12, endpoint=False)
    ring = [(50 + 5 * np.cos(a), 50 + 5 * np.sin(a), 2.5) for a in angles]
    full = room((50, 50, 1), *ring)
    arguments = ("A1:1", (50.0, 50.0), (-1.0, 0.0))
    near = place_beside(full, *arguments, height=2, clear=3)
    apart = place_beside(full, *arguments, height=2, clear=3, reaches=(4.0,))
    assert near is None
    assert apart is not None
    assert apart.points_at == (50.0, 50.0)


def test_no_two_words_overlap() -> None:
    """The second name at the same place goes elsewhere."""
    one = room((50, 50, 1))
    boxes = []
    for _ in range(4):
        label = place_beside(one, "A1:1", (50, 50), (-1, 0), height=2, clear=3)
        assert label is not None
        boxes.append(shapely.box(*box_about(label.place, "A1:1", 2)))
    assert shapely.union_all(boxes).area == pytest.approx(sum(b.area for b in boxes))


def test_words_stay_inside_the_frame() -> None:
    """Beside a hole in the corner there is room on two sides only."""
    label = place_beside(room((2, 2, 1)), "A1:1", (2, 2), (-1, 0), height=2, clear=3)
    assert label is not None
    left, top, right, bottom = box_about(label.place, "A1:1", 2)
    assert min(left, top) >= 0
    assert max(right, bottom) <= 100


def test_a_name_stands_inside_its_part_and_clear_of_holes() -> None:
    """In a region of 30 by 10 with a hole at its left end it stands further right."""
    region = shapely.box(20, 20, 50, 30)
    label = place_inside(
        room((25, 25, 4)), "501", [region], shapely.LineString(), height=3
    )
    assert label is not None
    box = shapely.box(*box_about(label.place, "501", 3))
    assert region.contains(box)
    assert not box.intersects(shapely.box(21, 21, 29, 29))


def test_a_name_too_long_for_its_part_stands_apart() -> None:
    """No room inside: outside, pointing at the part, past the hole between."""
    region = shapely.box(20, 20, 24, 22)
    one = room((22, 25, 1))
    assert place_inside(one, "501", [region], shapely.LineString(), height=3) is None
    label = place_apart(one, "501", [(22.0, 21.0)], height=3, step=2.0)
    assert label is not None
    leader = shapely.LineString([label.place, (22, 21)])
    assert label.points_at == (22.0, 21.0)
    assert not leader.intersects(shapely.box(21, 24, 23, 26))


def test_a_name_never_hides_the_end_of_its_leader() -> None:
    """The place it points at stays outside its box."""
    label = place_apart(room(), "501", [(50.0, 50.0)], height=3, step=0.5)
    assert label is not None
    box = shapely.box(*box_about(label.place, "501", 3))
    assert not box.contains(shapely.Point(50, 50))

"""The ways a drawing gives the places of a row, by hand. Sizes in mm."""

from __future__ import annotations

import math

import numpy as np
import pytest

from rivetwright.model.pattern import (
    Arc,
    Between,
    Counted,
    Pattern,
    Pitched,
    Points,
    Polyline,
    Straight,
)


def places(pattern: Pattern) -> list[list[float]]:
    """Places rounded to a millionth; there are as many as the pattern counts."""
    found = pattern.places_mm()
    assert found.shape == (pattern.count, 2)
    return [[float(x), float(y)] for x, y in (np.round(found, 6) + 0.0)]


def test_straight_row_goes_step_by_step() -> None:
    """From (1, 2) by (10, -1), three holes."""
    assert places(Straight((1, 2), (10, -1), 3)) == [[1, 2], [11, 1], [21, 0]]


def test_between_two_ends_the_holes_are_even() -> None:
    """0 to 30 with four holes: every 10. One hole alone is the first."""
    assert places(Between((0, 0), (30, 0), 4)) == [[0, 0], [10, 0], [20, 0], [30, 0]]
    assert places(Between((5, 6), (30, 0), 1)) == [[5, 6]]


@pytest.mark.parametrize(("pitch", "count"), [(10, 11), (9.6, 11), (30, 4), (500, 2)])
def test_wished_pitch_is_evened_out(pitch: float, count: int) -> None:
    """100 long: 10 pitches of 10; 10.4 becomes 10; 3.3 becomes 3; never none."""
    pattern = Pitched((0, 0), (100, 0), pitch)
    assert pattern.count == count
    found = places(pattern)
    assert (found[0], found[-1]) == ([0, 0], [100, 0])


def test_arc_holds_a_hole_at_both_ends() -> None:
    """A quarter of radius 10 about (0, 0) with three holes: 0, 45 and 90 degrees."""
    half = 10 * math.sqrt(0.5)
    assert places(Arc((0, 0), 10, 0, 90, 3)) == [
        [10, 0],
        [round(half, 6), round(half, 6)],
        [0, 10],
    ]


def test_full_turn_does_not_repeat_its_first_hole() -> None:
    """Four holes on a ring, either way round."""
    ring = [[10, 0], [0, 10], [-10, 0], [0, -10]]
    assert places(Arc((0, 0), 10, 0, 360, 4)) == ring
    assert places(Arc((0, 0), 10, 360, 0, 4)) == [ring[0], *ring[:0:-1]]


def test_polyline_is_spaced_along_its_length() -> None:
    """10 along u and 10 up: five holes every 5, round the corner."""
    corners = ((0.0, 0.0), (10.0, 0.0), (10.0, 10.0))
    assert places(Polyline(corners, 5)) == [[0, 0], [5, 0], [10, 0], [10, 5], [10, 10]]


def test_points_are_as_written() -> None:
    """Every hole by itself; none at all is a row without holes."""
    assert places(Points(((1, 2), (3, 4)))) == [[1, 2], [3, 4]]
    assert places(Points(())) == []


def test_count_alone_has_no_places() -> None:
    """Three holes somewhere."""
    found = Counted(3).places_mm()
    assert found.shape == (3, 2)
    assert np.isnan(found).all()

"""Distances from holes to sides and cut-outs, by hand."""

from __future__ import annotations

import math

import numpy as np
import pytest

from rivetwright.engines.sides import (
    BLOCK,
    distance_to_edges_mm,
    distance_to_sides_mm,
    outline_sides,
)
from rivetwright.model.outline import BEND, FREE, CutOut
from tests.unit.engines.small import box


def at(*places: tuple[float, float]) -> tuple[np.ndarray, np.ndarray]:
    """Places as two columns."""
    column = np.array(places, dtype=float)
    return column[:, 0], column[:, 1]


@pytest.mark.parametrize(
    ("place", "expected"),
    [
        ((5, 3), 3.0),  # beside the middle
        ((13, 4), 5.0),  # beyond the end: 3, 4, 5
        ((-3, 4), 5.0),  # beyond the beginning
        ((4, 0), 0.0),  # on it
    ],
)
def test_distance_to_one_side(place: tuple[float, float], expected: float) -> None:
    """A side along u from 0 to 10."""
    found = distance_to_sides_mm([((0, 0), (10, 0))], *at(place))
    assert found.tolist() == [expected]


def test_nearest_of_several_sides() -> None:
    """3 to one side, 2 to the other; nothing to no side at all."""
    sides = [((0, 0), (10, 0)), ((0, 5), (10, 5))]
    assert distance_to_sides_mm(sides, *at((5, 3))).tolist() == [2.0]
    assert distance_to_sides_mm([], *at((5, 3))).tolist() == [math.inf]
    assert distance_to_sides_mm(sides, *at((1, 1)))[:0].tolist() == []


def test_side_without_length_is_a_point() -> None:
    """A corner written twice: 3, 4, 5."""
    assert distance_to_sides_mm([((1, 1), (1, 1))], *at((4, 5))).tolist() == [5.0]


def test_many_holes_are_worked_in_blocks() -> None:
    """More holes than a block holds: each at its own distance from the line v = 0."""
    high = np.arange(BLOCK + 10, dtype=float)
    sides = [((0, 0), (9, 0)), ((0, -5), (9, -5)), ((0, -9), (9, -9))]
    found = distance_to_sides_mm(sides, np.full(len(high), 5.0), high)
    assert found.tolist() == high.tolist()


def test_sides_of_one_kind_keep_their_numbers() -> None:
    """A box bent at v0: side 0 is the bend, 1 to 3 are free."""
    layer = box("1", bends=("v0",))
    assert [k for k, _ in outline_sides(layer, BEND)] == [0]
    assert [k for k, _ in outline_sides(layer, FREE)] == [1, 2, 3]
    assert [k for k, _ in outline_sides(layer)] == [0, 1, 2, 3]


def test_cut_outs_count_with_any_side() -> None:
    """From (50, 25): 25 to v0, 20 - 6 = 14 to a round rim, 10 to a square."""
    round_cut = CutOut((70, 25), 6.0)
    square = CutOut(corners_mm=((60, 20), (65, 20), (65, 30), (60, 30)))
    place = at((50, 25))
    assert distance_to_edges_mm(box("1"), *place).tolist() == [25.0]
    one = box("1", cuts=(round_cut,))
    both = box("1", cuts=(round_cut, square), bends=("u0", "u1", "v0", "v1"))
    assert distance_to_edges_mm(one, *place, FREE).tolist() == [14.0]
    assert distance_to_edges_mm(both, *place, FREE).tolist() == [10.0]

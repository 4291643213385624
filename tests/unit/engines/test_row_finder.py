"""Rows out of points, on small plates worked by hand."""

from __future__ import annotations

import math

import numpy as np
import pytest

from rivetwright.engines.row_finder.rows import (
    ANOTHER_WAY,
    FEW,
    GAPS,
    FoundRows,
    LeftOut,
    find_rows,
)
from rivetwright.model.pattern import Arc, Between, Point

PLATE = np.array([(0.0, 0.0), (200.0, 0.0), (200.0, 100.0), (0.0, 100.0)])


def found(points: list[Point], sizes: list[int] | None = None) -> FoundRows:
    """Rows of some points on a plate of 200 by 100 mm."""
    classes = np.array(sizes or [0] * len(points))
    return find_rows(np.array(points).reshape(-1, 2), classes, outlines_mm=[PLATE])


def along(u: list[float], v: float) -> list[Point]:
    """Places at one height."""
    return [(one, v) for one in u]


def test_row_is_found_with_pitch_ends_and_edge() -> None:
    """Eight holes from u 10 to 150 at v 10: pitch 140/7 = 20, 10 from the edge."""
    (row,) = found(along([10 + 20 * k for k in range(8)], 10)).rows
    assert row.pattern == Between((10, 10), (150, 10), 8)
    assert (row.name, row.pitch_mm, row.edge_mm, row.is_sure) == ("R1", 20, 10, True)
    assert row.holes == tuple(range(8))


def test_row_goes_on_over_a_missing_hole() -> None:
    """Places 10, 30, 50, (70), 90, 110, 130, 150: position 4 holds nothing."""
    (row,) = found(along([10, 30, 50, 90, 110, 130, 150], 60)).rows
    assert row.pattern == Between((10, 60), (150, 60), 8)
    assert (row.missing, row.left_out) == ((4,), (LeftOut(4, None),))
    assert row.doubts == (GAPS,)


def test_hole_of_another_size_stands_in_the_gap() -> None:
    """The larger hole at 70 lies in the row and is told, not taken."""
    points = along([10, 30, 50, 70, 90, 110, 130], 60)
    (row,) = found(points, [0, 0, 0, 1, 0, 0, 0]).rows
    assert row.left_out == (LeftOut(4, 3),)


def test_longest_direction_of_a_grid_comes_first() -> None:
    """Seven by five holes: five rows of seven along u, named from the bottom."""
    rows = found([(20.0 * u, 25.0 * v) for u in range(7) for v in range(5)]).rows
    assert [len(row.holes) for row in rows] == [7] * 5
    assert [row.pattern.places_mm()[0].tolist() for row in rows] == [
        [0, 0], [0, 25], [0, 50], [0, 75], [0, 100],
    ]  # fmt: skip


def test_square_grid_says_that_it_could_be_read_another_way() -> None:
    """Four by four at 20: rows run along u, and each says that columns would do."""
    rows = found([(20.0 * u, 20.0 * v) for u in range(4) for v in range(4)]).rows
    assert [row.pattern.places_mm()[-1].tolist() for row in rows] == [
        [60, 0], [60, 20], [60, 40], [60, 60],
    ]  # fmt: skip
    assert all(ANOTHER_WAY in row.doubts for row in rows)


def test_crossing_rows_share_no_hole() -> None:
    """Nine along, seven upright through the fifth: the upright one skips it."""
    level = along([20 + 15 * k for k in range(9)], 50)
    upright = [(80.0, 50 + 10.0 * k) for k in (-3, -2, -1, 1, 2, 3)]
    rows = found(level + upright).rows
    assert [(len(row.holes), row.missing) for row in rows] == [(9, ()), (6, (4,))]
    assert rows[1].left_out == (LeftOut(4, 4),)


def test_bolt_circle_is_found_round_its_centre() -> None:
    """Eight holes on radius 20 round (50, 40), the first at 0 degrees."""
    turns = [math.radians(45 * k) for k in range(8)]
    ring = [(50 + 20 * math.cos(t), 40 + 20 * math.sin(t)) for t in turns]
    rows = found(ring)
    assert rows.rows[0].pattern == Arc((50, 40), 20, 0, 360, 8)
    assert rows.left_over == ()


def test_arc_is_not_taken_for_a_straight_row() -> None:
    """Eleven holes from 10 to 60 degrees on radius 100, five degrees apart."""
    turns = [math.radians(10 + 5 * k) for k in range(11)]
    (row,) = found([(100 * math.cos(t), 100 * math.sin(t)) for t in turns]).rows
    assert row.pattern == Arc((0, 0), 100, 10, 60, 11)


def test_row_round_a_corner_of_the_edge_is_in_two_rows() -> None:
    """Ten along the lower edge and six up the right one make two straight rows."""
    lower = along([10 + 20 * k for k in range(10)], 10)
    right = [(190.0, 10 + 15.0 * k) for k in range(1, 6)]
    rows = found(lower + right).rows
    assert [(row.kind, len(row.holes)) for row in rows] == [
        ("straight", 10),
        ("straight", 5),
    ]


def test_three_holes_are_doubtful_and_two_are_left_over() -> None:
    """Three in a line make a row with a doubt; a pair makes none."""
    rows = found([(10, 10), (30, 10), (50, 10), (100, 70), (117, 83)])
    assert rows.rows[0].doubts == (FEW,)
    assert rows.left_over == (3, 4)


def test_point_drawn_twice_counts_once() -> None:
    """The second point at 30, 10 is told as a repeat of the first."""
    rows = found([(10, 10), (30, 10), (50, 10), (30, 10.01), (70, 10)])
    assert (rows.repeated, rows.rows[0].holes) == (((3, 1),), (0, 1, 2, 4))


@pytest.mark.parametrize("points", [[], [(1.0, 1.0)], [(0.0, 0.0), (5.0, 5.0)]])
def test_too_few_points_are_all_left_over(points: list[Point]) -> None:
    """None, one or two points are no row."""
    rows = found(points)
    assert (rows.rows, rows.left_over) == ((), tuple(range(len(points))))


def test_rows_are_named_along_then_upright_then_round() -> None:
    """An upright row further left is named after the one that runs along."""
    ring = [math.radians(60 * k) for k in range(6)]
    points = [(5.0, 30 + 10.0 * k) for k in range(5)]
    points += [(160 + 9 * math.cos(t), 60 + 9 * math.sin(t)) for t in ring]
    points += along([40 + 16 * k for k in range(6)], 20)
    kinds = [(row.name, row.kind) for row in found(points).rows]
    assert kinds == [("R1", "straight"), ("R2", "straight"), ("R3", "circle")]

"""Dies that wear: a slope of its own beside changes at once."""

from __future__ import annotations

import pytest

from rivetwright.engines.learning.wear import wear_of
from tests.unit.engines.made_heads import MIL


def test_heads_that_creep_four_thousandths_in_a_thousand() -> None:
    """Two hundred heads over a thousand rivets, on a line: 4 within a twentieth."""
    strokes = list(range(0, 1000, 5))
    found = wear_of(strokes, [0.004 * MIL * n for n in strokes])
    assert found is not None
    assert found.per_1000_mm.central == pytest.approx(4 * MIL, rel=0.05)
    assert found.is_wearing
    assert not found.is_filling
    assert (found.span_count, found.heads_count) == (995, 200)


def test_room_of_ten_thousandths_is_used_up_in_so_many_rivets() -> None:
    """10 at 4 in a thousand: 2500; sooner at the upper end of the band."""
    strokes = list(range(0, 1000, 5))
    found = wear_of(strokes, [0.004 * MIL * n for n in strokes])
    assert found is not None
    left = found.rivets_left(10 * MIL)
    assert left is not None
    assert left.central == pytest.approx(2500, rel=0.05)
    assert left.low < left.central < left.high


def test_a_change_at_once_is_no_wear() -> None:
    """Fifty heads at 0 and fifty at +10, told apart by their period."""
    strokes, periods = list(range(100)), [0] * 50 + [1] * 50
    lifts = [0.0] * 50 + [10 * MIL] * 50
    found = wear_of(strokes, lifts, periods)
    assert found is not None
    assert not found.is_wearing
    assert found.rivets_left(10 * MIL) is None


def test_heads_that_sink_are_no_wear_either() -> None:
    """Dirt that builds up between the dies."""
    strokes = list(range(0, 1000, 5))
    found = wear_of(strokes, [-0.004 * MIL * n for n in strokes])
    assert found is not None
    assert found.is_filling
    assert not found.is_wearing


def test_a_few_heads_say_nothing() -> None:
    """Three heads within their scatter: the band holds nought."""
    found = wear_of([0, 50, 100], [0.0, 1 * MIL, 2 * MIL])
    assert found is not None
    assert not found.is_wearing


def test_heads_at_one_stroke_have_no_slope() -> None:
    """Nor has none."""
    assert wear_of([7, 7], [0.0, 1.0]) is None
    assert wear_of([], []) is None

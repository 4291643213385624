"""Rules B and C asked of one row, against distances worked out by hand."""

from __future__ import annotations

import pytest

from rivetwright.engines.order.rows import RowRules
from rivetwright.engines.order.stage import Tables
from tests.unit.engines.order.made import row_stage

# Nine holes at 25 mm: 0, 25 ... 200 mm.
NINE = row_stage(9, [0, 4, 8])
RULES = RowRules(Tables(NINE))
END = 9


@pytest.mark.parametrize(
    ("left", "right", "held"),
    [
        (0, 4, True),  # open 25, 50, 75 mm from 0 and from 100: all within 76
        (0, 5, False),  # 100 mm from 0
        (-1, 1, True),  # the end hole lies 25 mm beyond: at most 38
        (-1, 2, False),  # 50 mm
        (7, END, True),
        (6, END, False),
        (-1, END, False),  # nothing fast at all
    ],
)
def test_a_gap_is_held_within_reach_and_end(left: int, right: int, held: bool) -> None:
    """Every open hole within 76 mm of both sides, the outermost within 38 mm."""
    assert RULES.is_gap_held(0, left, right) is held


@pytest.mark.parametrize(
    ("rivets", "hole", "may"),
    [
        ([], 4, True),  # nothing set near
        ([4], 7, True),  # 75 mm away, at least 70
        ([4], 6, False),  # 50 mm away, nothing beyond
        ([4, 7], 6, True),  # between two that lie 75 mm apart
        ([7], 8, True),  # the outermost may always
    ],
)
def test_a_rivet_may_be_set_by_skip_bracket_or_end(
    rivets: list[int], hole: int, may: bool
) -> None:
    """70 mm from every set rivet, between two within 300 mm, or at the end."""
    is_set = [h in rivets for h in range(9)]
    assert RULES.may_set(hole, is_set) is may


def test_the_outermost_hole_waits_when_work_goes_outward() -> None:
    """From the middle outward hole 8 lies 25 mm from the set hole 7: not yet."""
    outward = RowRules(Tables(NINE), are_ends_free=False)
    assert not outward.may_set(8, [h == 7 for h in range(9)])


def test_the_first_loose_gap_is_found() -> None:
    """Holders in 0 and 8 alone: everything between them is loose."""
    assert RULES.loose_gap(0, [h in (0, 8) for h in range(9)]) == (0, 8)
    assert RULES.loose_gap(0, [h in (0, 4, 8) for h in range(9)]) is None

"""Next size and oversize rivets."""

from __future__ import annotations

from rivetwright.standards.rework import next_diameter_32nds, oversize_most


def test_answers_carry_their_row() -> None:
    """Which of the two limits decided is in the row."""
    assert oversize_most(20).row != oversize_most(100).row
    assert next_diameter_32nds(4).row != next_diameter_32nds(9).row

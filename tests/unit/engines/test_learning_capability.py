"""Of a hundred heads so many would be too high: counted from what is known."""

from __future__ import annotations

import pytest

from rivetwright.engines.learning.capability import capability, of_hundred
from tests.unit.engines.made_heads import MIL


def test_a_middle_on_the_limit_loses_half() -> None:
    """Whatever the scatter; the band of a middle that is sure has no width."""
    found = of_hundred(70.0, 0.0, 2.5, (None, 70.0))
    assert found.too_large.central == pytest.approx(50.0)
    assert found.too_large.is_sharp
    assert found.too_small.high == 0


def test_two_scatters_of_room_on_each_side() -> None:
    """Student's t with 8 + 992 degrees at 2: 2.28 of a hundred, normal 2.275."""
    found = of_hundred(60.0, 0.0, 5.0, (50.0, 70.0), heads_count=992)
    assert found.too_small.central == pytest.approx(2.28, abs=0.05)
    assert found.too_large.central == pytest.approx(2.28, abs=0.05)
    assert found.out == pytest.approx(4.57, abs=0.1)


def test_few_heads_give_a_wide_answer() -> None:
    """A middle known to +-1.96 x 5: half a limit away it may be none or most."""
    found = of_hundred(65.0, 5.0, 2.5, (None, 70.0))
    assert found.too_large.low < 1
    assert found.too_large.high > 90
    assert found.too_large.low <= found.too_large.central <= found.too_large.high


def test_measured_heads_count_for_themselves() -> None:
    """Twelve heads at 0.060 in, limits 0.050 and 0.070: hardly one in a hundred."""
    heights = [x * MIL for x in (58, 59, 59, 60, 60, 60, 60, 61, 61, 62, 60, 60)]
    found = capability(heights, (50 * MIL, 70 * MIL))
    assert found is not None
    assert found.middle_mm == pytest.approx(60 * MIL, abs=0.3 * MIL)
    assert found.heads_count == 12
    assert found.out < 1


def test_a_slip_of_the_caliper_does_not_make_heads_bad() -> None:
    """Eleven heads at 0.060 and one written as 0.100."""
    good = capability([60 * MIL] * 11, (50 * MIL, 70 * MIL))
    slip = capability([60 * MIL] * 11 + [100 * MIL], (50 * MIL, 70 * MIL))
    assert good is not None
    assert slip is not None
    assert slip.middle_mm == pytest.approx(good.middle_mm, abs=0.5 * MIL)


def test_without_heads_nothing_is_said() -> None:
    """No head, no answer."""
    assert capability([], (50 * MIL, 70 * MIL)) is None

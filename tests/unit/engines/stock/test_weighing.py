"""Rivets counted on a scale, against volumes worked out by hand."""

from __future__ import annotations

import math

import pytest

from rivetwright.engines.stock.weighing import (
    cap_mm3,
    counted_by_sample,
    cylinder_mm3,
    flush_head_mm3,
    piece_weight,
)
from rivetwright.errors import QuantityRefused
from rivetwright.standards.codes import parse_rivet_code
from rivetwright.standards.source import Status


def test_volumes_of_known_bodies() -> None:
    """A half sphere of 2 r = 6: 2/3 pi 27 = 18 pi; a cone to a point: pi r2 h / 3."""
    assert cap_mm3(6, 3) == pytest.approx(18 * math.pi)
    assert flush_head_mm3(6, 0, 4) == pytest.approx(12 * math.pi)
    assert flush_head_mm3(6, 6, 4) == pytest.approx(cylinder_mm3(6, 4))


def test_a_flush_rivet() -> None:
    """MS20426AD3-3: shank 3/32 by 3/16 - 0.036 = 0.1515, head 0.179 to 0.09375.

    Shank: 0.7854 x 0.09375^2 x 0.1515 = 0.0010458 in3.  Head: pi x 0.036 / 3 x
    (0.0895^2 + 0.0895 x 0.046875 + 0.046875^2) = 0.0377 x 0.014403 = 0.0005430 in3.
    Together 0.0015888 in3, at 0.099 lb/in3 (453.59 g/lb) 0.07134 g.  With shank
    +0.003/-0.001 and length +-0.010 it lies between 0.0656 and 0.0803 g:
    0.7854 x 0.09275^2 x 0.1415 = 0.00095603, + 0.000543 = 0.00149903 in3 = 0.06731 g;
    0.7854 x 0.09675^2 x 0.1615 = 0.00118730, + 0.000543 = 0.0017303 in3 = 0.07770 g.
    """
    weight = piece_weight(parse_rivet_code("MS20426AD3-3"))
    assert weight is not None
    assert weight.low_g == pytest.approx(0.06731, abs=2e-5)
    assert weight.high_g == pytest.approx(0.07770, abs=2e-5)
    assert weight.status is Status.FROM_MEMORY


def test_a_universal_rivet_lies_between_cap_and_cylinder() -> None:
    """MS20470AD4-4: a cap 0.250 wide, 0.054 high is 0.001408 in3, a cylinder 0.002651.

    Shank 0.7854 x 0.124^2 x 0.240 = 0.0028983 at least, 0.7854 x 0.128^2 x 0.260 =
    0.0033457 at most: 0.0043063 and 0.0059967 in3, 0.19337 and 0.26928 g.
    """
    weight = piece_weight(parse_rivet_code("MS20470AD4-4"))
    assert weight is not None
    assert weight.low_g == pytest.approx(0.19337, abs=5e-5)
    assert weight.high_g == pytest.approx(0.26928, abs=5e-5)
    low, mid, high = weight.count(23.13)
    assert low <= mid <= high
    assert (low, high) == (85, 120)


def test_a_head_that_nobody_wrote_down_is_not_weighed() -> None:
    """NAS1097: its dimensions are not in the table."""
    assert piece_weight(parse_rivet_code("NAS1097AD3-3")) is None


def test_by_a_counted_sample() -> None:
    """20 weigh 4.6 g: 41.4 g are 180."""
    assert counted_by_sample(41.4, 4.6, 20) == 180


@pytest.mark.parametrize(
    ("sample_g", "count"), [(4.6, 9), (0.0, 20), (-1.0, 20), (4.6, 0)]
)
def test_too_small_a_sample_is_refused(sample_g: float, count: int) -> None:
    """Nine counted, or none weighed, say nothing of a heap."""
    with pytest.raises(QuantityRefused, match="at least 10 counted"):
        counted_by_sample(41.4, sample_g, count)

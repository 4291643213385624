"""Half sections of dies are as long as the dies, and shaped for what they hold."""

from __future__ import annotations

import pytest

from rivetwright.drawing.die_profiles import (
    cup_die,
    female_die,
    flat_die,
    jaw,
    male_die,
    ram_end,
)
from rivetwright.drawing.profiles import cone_depth_mm, universal_head


def test_a_flat_die_is_a_block() -> None:
    """From the axis out to half its face, top to bottom."""
    assert flat_die(-3.0, 1.0, 4.5) == ((0, -3), (4.5, -3), (4.5, 1), (0, 1))


def test_a_cup_goes_round_the_head_and_stops_short_of_the_sheet() -> None:
    """Its bottom is the crown; its rim stays a quarter of the head clear of z = 0."""
    outline = cup_die(-8.0, universal_head(3.0, 1.4, 1.6)[:-1], 4.7)
    assert outline[-1] == pytest.approx((0.0, -1.4), abs=1e-9)
    assert max(z for _, z in outline) == pytest.approx(-0.35)


def test_the_male_pilot_goes_through_the_hole() -> None:
    """It is thinner than the hole and reaches where it is told."""
    outline = male_die(-9.0, 2.2, 1.2, 2.0, 4.7)
    pilot = [x for x, z in outline if z > 0 and x > 0]
    assert max(pilot) < 1.2
    assert outline[-1] == (0.0, 2.0)


def test_the_female_recess_lies_one_sheet_under_the_cone() -> None:
    """Square to the cone, at 50 degrees, it is as far away as the sheet is thick."""
    thick, cone, hole = 0.5, 2.2, 1.2
    outline = female_die(thick, 9.0, cone, hole, 4.7)
    (_, _, _, (under, face), (rim, depth)) = outline
    assert face == thick
    assert depth - face == pytest.approx(cone_depth_mm(under, rim))
    # Both ends of the recess, measured square to the cone through (cone, 0).
    for x, z in ((under, face), (rim, depth)):
        away = (x - cone) * 0.6428 + z * 0.7660
        assert away == pytest.approx(thick, abs=0.001)


def test_ram_and_jaw_are_broken_off_away_from_the_rivet() -> None:
    """The ram ends where its pin begins, the jaw begins where its die sits."""
    assert max(z for _, z in ram_end(-5.0, 4.0, 3.0)) == -5.0
    assert min(z for _, z in jaw(7.0, 4.0, 3.0)) == 7.0

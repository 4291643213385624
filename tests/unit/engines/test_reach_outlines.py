"""Ways in and walls on drawings small enough for a ruler. Sizes in mm."""

from __future__ import annotations

import numpy as np
import pytest

from rivetwright.engines.reach.outlines import (
    Sight,
    WaysIn,
    covered,
    find_standing,
    walls,
    ways_in,
)
from rivetwright.model.outline import AWAY, TOWARD, CutOut, Layer, Leg, Outline
from tests.unit.engines.small import box

THICK = {"web": 1.0, "angle": 2.0}
SIGHT = Sight(yoke_mm=80.0, bar_mm=300.0, wall_mm=25.0, cut_out_mm=60.0)


def spots(*places: tuple[float, float]) -> tuple[np.ndarray, np.ndarray]:
    """Places as two columns."""
    u, v = np.array(places, dtype=float).T
    return u, v


def ways_to(
    *layers: Layer, at: tuple[float, float], sight: Sight = SIGHT
) -> list[tuple[float, float]]:
    """Entry and flange of every way to one place, nearest first."""
    standing = find_standing(layers, THICK)
    found: WaysIn = ways_in(layers, covered(layers), standing, *spots(at), sight)
    pairs = zip(found.entry_mm.tolist(), found.flange_mm.tolist(), strict=True)
    return sorted({(round(e, 6), round(f, 6)) for e, f in pairs})


def wall_of(*layers: Layer, at: tuple[float, float], away: bool = True) -> float:
    """The nearest wall of one side."""
    standing = find_standing(layers, THICK)
    return float(walls(standing, *spots(at), 25.0, away).distance_mm[0])


def test_every_free_side_is_a_way_in() -> None:
    """In 100 by 50 at (30, 20): 20 below, 30 left, 30 above, 70 right."""
    assert ways_to(box("web"), at=(30, 20)) == [(20, 0), (30, 0), (70, 0)]


def test_a_leg_on_a_side_must_pass_in_the_throat() -> None:
    """Below stands a flange of 16; the other sides are free."""
    web = box("web", bends=("v0",), legs=(Leg(0, 16.0),))
    assert ways_to(web, at=(30, 20)) == [(20, 16), (30, 0), (70, 0)]


def test_a_bend_whose_leg_is_not_given_is_no_way_in() -> None:
    """The lower side turns away nobody knows how far: three ways are left."""
    assert ways_to(box("web", bends=("v0",)), at=(30, 20)) == [(30, 0), (70, 0)]


def test_a_leg_between_hole_and_edge_counts() -> None:
    """An angle's leg at u 10 stands on the way to the left edge."""
    angle = box("angle", (10, 40), (5, 45), bends=("u0",), legs=(Leg(3, 25.0),))
    found = ways_to(box("web"), angle, at=(30, 20))
    assert (30, 25) in found
    assert (20, 0) in found


def test_legs_of_both_sides_add_up() -> None:
    """A flange of 16 behind and one of 9 before: the throat holds both."""
    web = box("web", bends=("v0",), legs=(Leg(0, 16.0),))
    angle = box("angle", (0, 100), (5, 50), bends=("v0",), legs=(Leg(0, 9.0, TOWARD),))
    assert (20, 25) in ways_to(web, angle, at=(30, 20))


def test_the_edge_of_all_that_lies_there_is_the_edge() -> None:
    """A doubler's own edges inside the web let nobody in."""
    doubler = box("angle", (20, 40), (10, 30))
    assert ways_to(box("web"), doubler, at=(30, 20)) == ways_to(box("web"), at=(30, 20))


def test_a_wide_cut_out_is_a_way_in_and_a_narrow_one_is_not() -> None:
    """At (10, 50) the rim of the hole round (60, 50) with radius 30 is 20 away."""
    sheet = ((0, 200), (0, 100))
    for radius, way in ((30.0, (20.0, 0.0)), (29.0, (21.0, 0.0))):
        web = box("web", *sheet, cuts=(CutOut((60.0, 50.0), radius),))
        assert (way in ways_to(web, at=(10, 50))) == (radius == 30.0)


def test_a_cut_out_that_another_part_covers_is_no_way_in() -> None:
    """A plate lies over the rim at its nearest place."""
    web = box("web", (0, 200), (0, 100), cuts=(CutOut((60.0, 50.0), 30.0),))
    plate = box("angle", (25, 45), (40, 60))
    assert (20, 0) not in ways_to(web, plate, at=(10, 50))


def test_a_cut_out_with_corners_is_a_way_in_where_it_is_wide() -> None:
    """A square of 60 by 60 whose near side is 20 away; one of 50 is too narrow."""
    for side, is_way in ((60.0, True), (50.0, False)):
        corners = (
            (30.0, 20.0),
            (30 + side, 20.0),
            (30 + side, 20 + side),
            (30.0, 80.0),
        )
        web = box("web", (0, 200), (0, 100), cuts=(CutOut(corners_mm=corners),))
        assert ((20, 0) in ways_to(web, at=(10, 50))) == is_way


def test_a_corner_that_points_in_is_the_nearest_way() -> None:
    """An L whose inner corner (50, 50) lies 3 and 4 from the hole: 5 away."""
    corners = ((0, 0), (100, 0), (100, 50), (50, 50), (50, 100), (0, 100))
    shape = Layer(
        "web", Outline(tuple((float(u), float(v)) for u, v in corners), ("free",) * 6)
    )
    assert ways_to(shape, at=(47, 46))[0] == (5, 0)


def test_beyond_a_yoke_the_nearest_way_alone_is_kept() -> None:
    """Every side is further than 10: one way, the nearest, for a bar."""
    near = Sight(10.0, 300.0, 25.0, 60.0)
    assert ways_to(box("web"), at=(30, 20), sight=near) == [(20, 0)]


def test_a_bar_comes_from_afar_where_all_that_is_near_is_shut() -> None:
    """Within 25 the lower side alone, shut; from the left it is 30."""
    near = Sight(25.0, 300.0, 25.0, 60.0)
    web = box("web", bends=("v0",))
    assert ways_to(web, at=(30, 20), sight=near)[0] == (30, 0)


def test_nothing_to_come_in_over() -> None:
    """Every side turned away: no way at all."""
    shut = box("web", bends=("u0", "u1", "v0", "v1"))
    assert ways_to(shut, at=(30, 20)) == []


@pytest.mark.parametrize(
    ("at", "away"),
    [((30, 20), 19.0), ((30, 0.4), 0.0), ((30, -5), 5.0), ((104, 3), 4.472136)],
)
def test_a_wall_is_nearer_by_its_thickness_from_inside(
    at: tuple[float, float], away: float
) -> None:
    """The leg's line is its outer face: 20 less 1 inside, 5 outside; past its end too.

    At (104, 3) it is 4 past the end and 3 - 1 in from the line: sqrt(16 + 4).
    """
    web = box("web", bends=("v0",), legs=(Leg(0, 16.0),))
    assert wall_of(web, at=at) == pytest.approx(away, abs=1e-6)


def test_a_wall_stands_on_its_own_side_alone() -> None:
    """One leg away, one toward: each is a wall of its side."""
    web = box("web", bends=("v0", "v1"), legs=(Leg(0, 16.0, AWAY), Leg(2, 9.0, TOWARD)))
    assert wall_of(web, at=(30, 20), away=True) == pytest.approx(19.0)
    assert wall_of(web, at=(30, 45), away=False) == pytest.approx(4.0)
    assert wall_of(web, at=(30, 20), away=False) == np.inf


def test_corners_written_the_other_way_round_are_the_same_wall() -> None:
    """Going round to the right instead of the left changes no distance."""
    corners = ((0.0, 0.0), (0.0, 50.0), (100.0, 50.0), (100.0, 0.0))
    outline = Outline(corners, ("free", "free", "free", "bend"))
    web = Layer("web", outline, legs=(Leg(3, 16.0),))
    assert wall_of(web, at=(30, 20)) == pytest.approx(19.0)


def test_a_bend_without_a_leg_is_no_wall() -> None:
    """Nothing is known of what stands there."""
    assert wall_of(box("web", bends=("v0",)), at=(30, 20)) == np.inf

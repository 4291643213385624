"""Pitch over all neighbours and the distance between rows, by hand. Sizes in mm."""

from __future__ import annotations

import math

import pytest

from rivetwright.engines.plan import WorkedPlan
from rivetwright.engines.worked import working
from rivetwright.model.plan import SKETCHED, Row
from tests.unit.engines.small import box, row, worked

SMALL, LARGE = "MS20470AD3-4", "MS20470AD6-8"
LAYERS = [box("a", (-500, 500), (-500, 500)), box("b", (-500, 500), (-500, 500))]


def placed(*rows: Row) -> WorkedPlan:
    """Some rows on one large face."""
    return worked(*rows, layers=LAYERS)


def neighbour(found: WorkedPlan, hole: str) -> tuple[float, str]:
    """Pitch of a hole and the hole that governs it."""
    k = found.worked.holes.index(hole)
    witness = working(found.worked, "pitch_mm", k).witness
    named = str(witness.fields["hole"]) if witness else ""
    return float(found.worked.at("pitch_mm", k)), named


def beside(found: WorkedPlan, row_name: str) -> tuple[float, str]:
    """Row distance of a row and the row it is measured to."""
    k = found.worked.holes.index(f"{row_name}:1")
    witness = working(found.worked, "row_distance_mm", k).witness
    named = str(witness.fields["row"]) if witness else ""
    return float(found.worked.at("row_distance_mm", k)), named


def test_nearest_hole_of_any_row_governs() -> None:
    """3, 4, 5 to a hole of another row, 20 to the next of the own."""
    found = placed(row("A", SMALL, (0, 0), (20, 0)), row("B", SMALL, (3, 4)))
    assert neighbour(found, "A:1") == (5.0, "B:1")
    assert neighbour(found, "B:1") == (5.0, "A:1")


def test_larger_rivet_further_off_may_govern() -> None:
    """6 to a 3/32 is 2.52 D of 3/32; 10 to a 3/16 is 2.1 D of 3/16: the latter."""
    found = placed(
        row("A", SMALL, (0, 0)), row("B", SMALL, (6, 0)), row("C", LARGE, (-10, 0))
    )
    assert neighbour(found, "A:1") == (10.0, "C:1")
    k = found.worked.holes.index("A:1")
    assert found.worked.at("pitch_diameter_mm", k) == pytest.approx(4.7625)
    assert found.worked.at("pitch_ratio", k) == pytest.approx(10 / 4.7625)


def test_of_equal_neighbours_the_first_by_name_governs() -> None:
    """The same distance on four sides, rows listed in another order."""
    around = [row(n, SMALL, p) for n, p in zip("DBCE", _around(7), strict=True)]
    found = placed(row("M", SMALL, (0, 0)), *around)
    assert neighbour(found, "M:1") == (7.0, "B:1")


def _around(away: float) -> list[tuple[float, float]]:
    """Places on four sides of the origin."""
    return [(away, 0), (-away, 0), (0, away), (0, -away)]


def test_same_spot_twice_is_no_distance() -> None:
    """A hole described twice is its own neighbour at 0, not itself."""
    found = placed(row("A", SMALL, (0, 0)), row("B", SMALL, (0, 0)))
    assert neighbour(found, "A:1") == (0.0, "B:1")
    assert neighbour(found, "B:1") == (0.0, "A:1")


def test_alone_or_sketched_there_is_no_pitch() -> None:
    """One placed hole beside a sketched row: neither has a pitch."""
    found = placed(
        row("A", SMALL, (0, 0)), row("B", SMALL, (5, 0), (9, 0), places=SKETCHED)
    )
    for hole in ("A:1", "B:1"):
        pitch, named = neighbour(found, hole)
        assert math.isnan(pitch)
        assert named == ""


LINE = [(0, 0), (20, 0), (40, 0)]


def test_parallel_rows_are_measured_across() -> None:
    """8 apart, staggered by half a pitch: 8 across, not the distance of holes."""
    other = [(10.0, 8.0), (30.0, 8.0)]
    found = placed(row("A", SMALL, *LINE), row("B", SMALL, *other))
    assert beside(found, "A") == (8.0, "B")
    assert beside(found, "B") == (8.0, "A")
    k = found.worked.holes.index("A:2")
    assert found.worked.at("row_distance_ratio", k) == pytest.approx(8 / 2.38125)


@pytest.mark.parametrize(
    "other",
    [
        [(60, 0), (80, 0)],  # one after the other
        [(10, 0), (30, 0)],  # in between, on the same line
        [(20, -9), (20, 9)],  # across it
        [(50, 8), (70, 8)],  # beside, but past the end
        [(0, 8), (10, 14)],  # at 31 degrees
        [(300, 8), (340, 8)],  # too far off
    ],
)
def test_rows_that_are_not_side_by_side(other: list[tuple[float, float]]) -> None:
    """Such a row is judged by the pitch of its holes alone."""
    found = placed(row("A", SMALL, *LINE), row("B", SMALL, *other))
    assert math.isnan(beside(found, "A")[0])


def test_of_rows_equally_near_the_first_by_name_is_named() -> None:
    """8 on either side; B is named though C is listed first."""
    up, down = [[(u, v) for u, _ in LINE] for v in (8, -8)]
    found = placed(row("A", SMALL, *LINE), row("C", SMALL, *up), row("B", SMALL, *down))
    assert beside(found, "A") == (8.0, "B")


def test_single_holes_and_sketched_rows_are_no_rows() -> None:
    """Neither one hole beside a row nor a sketched row makes a row distance."""
    found = placed(
        row("A", SMALL, *LINE),
        row("B", SMALL, (20, 8)),
        row("C", SMALL, (0, -8), (40, -8), places=SKETCHED),
    )
    assert math.isnan(beside(found, "A")[0])

"""Laws of the row finder on made-up plates (INVENTED)."""

from __future__ import annotations

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from rivetwright.engines.row_finder.rows import FoundRows, find_rows
from rivetwright.model.pattern import Places


@st.composite
def plates(draw: st.DrawFn) -> tuple[Places, list[int]]:
    """Rows along u, 40 mm apart, each with its own pitch and gaps inside it.

    Gives the places and how many holes each row has. Rows are told apart by their
    pitch, 13 to 29 mm in steps of an odd length, so that none run across.
    """
    places, counts = [], []
    for k in range(draw(st.integers(1, 4))):
        pitch_mm = 13.17 + 4.391 * draw(st.integers(0, 3)) + 0.037 * k
        count = draw(st.integers(6, 20))
        skip = draw(st.sets(st.integers(2, count - 3), max_size=1))
        first = 10 + draw(st.integers(0, 60)) * 0.731
        kept = [n for n in range(count) if n not in skip]
        places += [(first + n * pitch_mm, 40.0 * k) for n in kept]
        counts.append(len(kept))
    return np.array(places), counts


def _sorted(places: Places) -> FoundRows:
    return find_rows(places, np.zeros(len(places), dtype=np.int64))


@given(plates(), st.integers(0, 2**32 - 1))
@settings(max_examples=60)
def test_rows_are_found_whatever_the_noise(
    plate: tuple[Places, list[int]], seed: int
) -> None:
    """Places off by up to 0.08 mm: each row comes back whole, lowest first."""
    places, counts = plate
    noise = np.random.default_rng(seed).uniform(-0.08, 0.08, places.shape)
    found = _sorted(places + noise)
    assert [len(row.holes) for row in found.rows] == counts
    assert found.left_over == ()


@given(plates(), st.randoms(use_true_random=False))
@settings(max_examples=40)
def test_order_of_the_points_changes_nothing(
    plate: tuple[Places, list[int]], chance: object
) -> None:
    """Shuffled points give the same rows at the same places."""
    places, _ = plate
    order = np.arange(len(places))
    chance.shuffle(order)  # type: ignore[attr-defined]
    first, second = _sorted(places), _sorted(places[order])
    assert [row.pattern for row in first.rows] == [row.pattern for row in second.rows]


clouds = st.lists(
    st.tuples(st.integers(0, 40), st.integers(0, 40), st.integers(0, 1)), max_size=60
)


@given(clouds)
@settings(max_examples=150)
def test_every_point_is_told_once(cloud: list[tuple[int, int, int]]) -> None:
    """Each point is in one row, left over, or repeated; holes lie where rows say."""
    points = np.array(cloud, dtype=np.float64).reshape(-1, 3)
    places, sizes = 5.0 * points[:, :2], points[:, 2].astype(np.int64)
    found = find_rows(places, sizes)
    told = [hole for row in found.rows for hole in row.holes]
    told += [*found.left_over, *(one for one, _ in found.repeated)]
    assert sorted(told) == list(range(len(cloud)))
    for row in found.rows:
        kept = np.delete(row.pattern.places_mm(), [k - 1 for k in row.missing], axis=0)
        assert np.abs(kept - places[list(row.holes)]).max() <= 0.251
        assert {int(sizes[hole]) for hole in row.holes} == {row.size}

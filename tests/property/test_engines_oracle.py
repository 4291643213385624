"""The engines against plain Python: every hole tried against every part and hole."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import rivetwright.engines.plan  # noqa: F401  (registers the rules)
from rivetwright.engines.worked import Worked
from rivetwright.model.plan import Plan
from tests.property.faults.assemblies import clean_assembly
from tests.property.oracle import brute
from tests.property.oracle.crowded import crowded_plans
from tests.property.strategies import plans

drawn_plans = st.one_of(
    plans(with_faces=True),
    crowded_plans(),
    st.integers(0, 10_000).map(lambda seed: clean_assembly(seed).plan()),
)


def placed(plan: Plan) -> tuple[Worked, list[brute.Spot]]:
    """A plan with its holes that have a place, those on the very rim left out."""
    worked = Worked(plan)
    found = list(brute.spots(worked.holes))
    return worked, [spot for spot in found if not brute.lies_on_a_rim(spot)]


@given(drawn_plans)
@settings(max_examples=60)
def test_stacks_are_those_of_points_in_polygons(plan: Plan) -> None:
    """Sheets in order, head side first, of those there at the hole's step."""
    worked, spots = placed(plan)
    for spot in spots:
        names = [layer.part for layer in brute.drawn_stack(worked.holes, spot)]
        assert worked.at("drawn_stack", spot.hole) == " + ".join(names)


@given(drawn_plans)
@settings(max_examples=60)
def test_edge_distances_are_the_least_of_all_sides(plan: Plan) -> None:
    """Every free side and every cut-out of every sheet is measured."""
    worked, spots = placed(plan)
    for spot in spots:
        expected = brute.edge_distance(worked.holes, spot)
        found = worked.at("edge_distance_mm", spot.hole)
        assert found == pytest.approx(expected, abs=2e-6, nan_ok=True)


@given(drawn_plans)
@settings(max_examples=60)
def test_flat_distances_are_the_least_of_all_bends(plan: Plan) -> None:
    """Every bend of every sheet, less thickness and radius."""
    worked, spots = placed(plan)
    for spot in spots:
        expected = brute.flat_distance(worked.holes, spot)
        found = worked.at("flat_distance_mm", spot.hole)
        assert found == pytest.approx(expected, abs=2e-6, nan_ok=True)


@given(drawn_plans)
@settings(max_examples=60)
def test_pitch_is_the_least_over_all_neighbours(plan: Plan) -> None:
    """Every other hole of the face, against the larger of the two rivets."""
    worked = Worked(plan)
    spots = list(brute.spots(worked.holes))
    for spot in spots:
        expected = brute.pitch_ratio(worked.holes, spot, spots)
        found = worked.at("pitch_ratio", spot.hole)
        assert found == pytest.approx(expected, abs=2e-6, nan_ok=True)
        if not math.isnan(expected):
            other = worked["pitch_neighbour"][spot.hole]
            assert worked.holes.face[other] == worked.holes.face[spot.hole]

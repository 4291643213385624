"""Edge distance and the flat beside bends, by hand. Boxes are 100 by 50 mm."""

from __future__ import annotations

import math
from typing import Any

import pytest

from rivetwright.engines.edge import edge_witness
from rivetwright.engines.plan import WorkedPlan
from rivetwright.engines.worked import working
from rivetwright.model.outline import CutOut, Layer
from rivetwright.model.plan import SKETCHED, Part
from tests.unit.engines.small import box, row, worked

CODE = "MS20470AD4-4"


def at(place: tuple[float, float], *layers: Layer, **more: Any) -> WorkedPlan:
    """One 1/8 hole at a place through some layers."""
    return worked(row("R", CODE, place, **more), layers=layers)


def edge(found: WorkedPlan) -> float:
    """Edge distance of the one hole [mm]."""
    return float(found.worked.at("edge_distance_mm", 0))


def seen(found: WorkedPlan, name: str) -> dict[str, float | str]:
    """What a quantity of the one hole rests on."""
    witness = working(found.worked, name, 0).witness
    return dict(witness.fields) if witness else {}


def test_least_over_all_sheets_and_sides() -> None:
    """12 to v0 of the skin, 10 - 2 = 8 to u0 of the rib: 8, on the rib."""
    found = at((10, 12), box("skin"), box("rib", u=(2, 100)))
    assert edge(found) == pytest.approx(8.0)
    fields = seen(found, "edge_distance_mm")
    assert fields["part"] == "rib"
    assert "u0" in str(fields["edge"])
    assert (fields["place_u_mm"], fields["place_v_mm"]) == pytest.approx((2.0, 12.0))
    assert found.worked.at("edge_ratio", 0) == pytest.approx(8 / 3.175)


def test_bend_is_no_free_edge() -> None:
    """With u0 bent up the next nearest edge is v0, 12 away."""
    found = at((10, 12), box("skin", bends=("u0",)))
    assert edge(found) == pytest.approx(12.0)


def test_rim_of_a_cut_out_is_an_edge() -> None:
    """Round, radius 5, centre 14 away: 9. Named by its note, the place on the rim."""
    hole = CutOut((24, 25), 5.0, note="lightening hole")
    found = at((10, 25), box("skin", u=(-20, 100), cuts=(hole,)))
    assert edge(found) == pytest.approx(9.0)
    fields = seen(found, "edge_distance_mm")
    assert fields["edge"] == "lightening hole"
    assert fields["place_u_mm"] == pytest.approx(19.0)


def test_standard_parts_do_not_count() -> None:
    """A nutplate's own edge 4 mm away is not judged; the skin's 10 is."""
    parts = [Part("skin", "skin", 1.0), Part("nut", "nutplate", 1.0, is_standard=True)]
    layers = [box("skin"), box("nut", u=(6, 30))]
    found = worked(row("R", CODE, (10, 12)), layers=layers, parts=parts)
    assert edge(found) == pytest.approx(10.0)


def test_sheets_equally_near_name_the_first_of_the_stack() -> None:
    """Skin and rib end together: the skin, which comes first, is named."""
    found = at((10, 12), box("skin"), box("rib"))
    assert seen(found, "edge_distance_mm")["part"] == "skin"


def test_nothing_is_said_without_a_place() -> None:
    """Sketched, or a count alone: no distance and no witness."""
    sketched = at((10, 12), box("skin"), places=SKETCHED)
    counted = worked(row("R", CODE, stack=[("skin", "plain")]), layers=[box("skin")])
    for found in (sketched, counted):
        assert math.isnan(edge(found))
        assert seen(found, "edge_distance_mm") == {}


def test_sheet_bent_all_round_has_no_edge() -> None:
    """No free side, no cut-out: no edge distance."""
    found = at((10, 12), box("pan", bends=("u0", "u1", "v0", "v1")))
    assert math.isnan(edge(found))
    layer = found.worked.plan.faces[0].layers[0]
    assert edge_witness(found.worked, 0, layer) is None


def test_flat_is_bend_line_less_thickness_and_radius() -> None:
    """12 to the outside of the leg, 1 thick, 2 round: 9 of flat."""
    parts = [Part("rib", "rib", 1.0, bend_radius_mm=2.0)]
    layers = [box("rib", bends=("v0",))]
    found = worked(row("R", CODE, (50, 12)), layers=layers, parts=parts)
    assert found.worked.at("flat_distance_mm", 0) == pytest.approx(9.0)
    fields = seen(found, "flat_distance_mm")
    assert (fields["part"], fields["bend_line_mm"]) == ("rib", 12.0)
    assert fields["radius_known"] == "yes"


def test_unknown_bend_radius_counts_as_nothing_and_says_so() -> None:
    """12 less 1 of thickness; the radius is not known."""
    found = at((50, 12), box("rib", bends=("v0",)))
    assert found.worked.at("flat_distance_mm", 0) == pytest.approx(11.0)
    assert seen(found, "flat_distance_mm")["radius_known"] == "no"


def test_no_bend_no_flat() -> None:
    """A flat sheet has no limit of flat metal."""
    found = at((50, 12), box("skin"))
    assert math.isnan(found.worked.at("flat_distance_mm", 0))
    assert seen(found, "flat_distance_mm") == {}

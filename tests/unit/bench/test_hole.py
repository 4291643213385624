"""Everything known of one hole."""

from __future__ import annotations

import pytest

from rivetwright.bench.hole import GROUPS, hole_card, open_working, quantity
from rivetwright.engines.rules import REGISTRY
from rivetwright.errors import NotFound
from rivetwright.model.opening import Hold, Opening
from rivetwright.model.outline import CutOut
from rivetwright.model.plan import SKETCHED, HoleRange, OpenHoles
from rivetwright.standards.source import Status
from tests.unit.bench.plans import SHEET_MM, face, row, straight, worked

UNIVERSAL = "MS20470AD4-4.5"


def test_every_figure_of_the_groups_is_a_rule() -> None:
    """No group names a figure that no rule puts out."""
    names = [name for _, group in GROUPS for name in group]
    assert [name for name in names if name not in REGISTRY.rules] == []
    assert len(names) == len(set(names))


def test_card_without_places_has_lengths_but_no_place() -> None:
    """Two sheets of 1.016 mm are a grip of 2.032 mm; nothing is said of edges."""
    card = hole_card(worked(row("R", UNIVERSAL)), 0)
    figures = {figure.name: figure for _, group in card.groups for figure in group}
    assert figures["grip_mm"].value == pytest.approx(2 * SHEET_MM)
    assert figures["grip_mm"].unit == "mm"
    assert "edge_distance_mm" not in figures
    assert all(figure.is_known for figure in figures.values())
    assert [sheet.edge for sheet in card.sheets] == [None, None]


def test_each_sheet_has_its_own_nearest_edge() -> None:
    """A hole 12 mm up the skin is 12 mm from its lower edge, 7 mm from the rib's."""
    card = hole_card(worked(straight("R", 30, 12, UNIVERSAL), faces=(face(),)), 0)
    found = [(s.sheet.part, s.edge and s.edge.distance_mm) for s in card.sheets]
    assert found == [("skin", pytest.approx(12)), ("rib", pytest.approx(7))]
    assert [s.edge and s.edge.name for s in card.sheets] == ["lower (v0)"] * 2


def test_rim_of_a_cut_out_is_an_edge_too() -> None:
    """10 mm from the centre of a round cut-out of 6 mm radius the rim is 4 mm away."""
    cut = CutOut(centre_mm=(40.0, 20.0), radius_mm=6.0, note="lightening hole")
    rows = straight("R", 30, 20, UNIVERSAL)
    edge = hole_card(worked(rows, faces=(face(cut),)), 0).sheets[0].edge
    assert edge is not None
    assert (edge.name, edge.distance_mm) == ("lightening hole", pytest.approx(4))
    assert edge.place_mm == pytest.approx((34.0, 20.0))


def test_sketched_hole_has_no_edge() -> None:
    """What is only sketched is not measured on any sheet."""
    rows = straight("R", 30, 12, UNIVERSAL, places=SKETCHED)
    card = hole_card(worked(rows, faces=(face(),)), 0)
    assert [sheet.edge for sheet in card.sheets] == [None, None]
    assert [finding.code for finding in card.findings] == ["PLACE-01"]


def test_open_hole_and_hold_are_told_with_their_reason() -> None:
    """The third hole waits for a bracket, the second for an answer."""
    opened = OpenHoles("O1", (HoleRange("R", 3, 3),), "shared with the bracket")
    hold = Hold("H1", ("R:2",), "asked the kit supplier", "question")
    worked_plan = worked(
        row("R", UNIVERSAL), open_holes=(opened,), opening=Opening(holds=(hold,))
    )
    cards = [hole_card(worked_plan, hole) for hole in range(3)]
    assert [card.state for card in cards] == ["planned", "hold", "open"]
    assert [card.open_holes for card in cards] == [None, None, opened]
    assert [card.hold for card in cards] == [None, hold, None]


def test_card_is_as_weak_as_its_weakest_figure() -> None:
    """Drills of present practice are from memory, so the card is."""
    card = hole_card(worked(row("R", UNIVERSAL)), 0)
    statuses = {figure.status for _, group in card.groups for figure in group}
    assert card.status is Status.FROM_MEMORY
    assert Status.READ in statuses


def test_card_names_row_step_and_head_side() -> None:
    """What the plan itself says of a hole."""
    card = hole_card(worked(row("R", UNIVERSAL, step="")), 1)
    assert (card.name, card.id, card.row) == ("R:2", "id-R:2", "R")
    assert (card.face, card.step, card.head_side) == ("", "", "near")
    assert card.callout == UNIVERSAL


def test_unknown_quantity_is_refused_with_the_nearest_name() -> None:
    """A slip of the pen is told with the name that was likely meant."""
    worked_plan = worked(row("R", UNIVERSAL))
    with pytest.raises(NotFound, match="nearest: grip_mm"):
        quantity(worked_plan, 0, "gripp_mm")
    with pytest.raises(NotFound, match="no rule of that name"):
        open_working(worked_plan, 0, "colour")


def test_missing_figure_is_known_to_be_missing() -> None:
    """A solid rivet has no blind grip, and no part comes later."""
    worked_plan = worked(row("R", UNIVERSAL))
    assert not quantity(worked_plan, 0, "blind_grip_mm").is_known
    assert not quantity(worked_plan, 0, "later_part").is_known
    assert quantity(worked_plan, 0, "drill_name").value == "#30"

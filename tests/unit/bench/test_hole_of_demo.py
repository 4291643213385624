"""Hole cards of the invented demo, beside figures worked out by hand.

Lengths in inches, as the drawings have them. 100-degree cones: tan 50 = 1.19175,
(1 - sin 50) / cos 50 = 0.36397.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from rivetwright.bench.hole import HoleCard, hole_card
from rivetwright.bench.open import open_plan

IN = 25.4
FILES = {"A": "aileron", "B": "root-rib", "C": "flap"}
Figures = dict[str, float | str]


@pytest.fixture(scope="module")
def cards(root: Path) -> dict[str, HoleCard]:
    """The five cards by hole."""
    found = {}
    for name in ("A11:5", "A12:19", "B5:6", "B8:1", "C13:1"):
        plan = open_plan(root / "examples" / "ostrel" / f"{FILES[name[0]]}.yaml")
        found[name] = hole_card(plan, plan.worked.holes.index(name))
    return found


def figures(card: HoleCard, group: str) -> Figures:
    """Figures of one group; lengths in inches, so that they read as drawn."""
    known = dict(card.groups).get(group, ())
    return {
        one.name: one.value / IN
        if not isinstance(one.value, str) and one.unit == "mm"
        else one.value
        for one in known
    }


def holds(found: Figures, expected: Figures) -> None:
    """Each expected figure is there and equal, to a millionth of an inch."""
    for name, value in expected.items():
        if isinstance(value, str):
            assert found[name] == value, name
        else:
            assert found[name] == pytest.approx(value, abs=1e-6), name


def sheets(card: HoleCard) -> list[tuple[str, str, float, float]]:
    """Part, preparation, thickness and edge distance of each sheet."""
    return [
        (
            one.sheet.part,
            one.sheet.preparation,
            round(one.thickness_mm / IN, 6),
            round(one.edge.distance_mm / IN, 6) if one.edge else -1,
        )
        for one in card.sheets
    ]


def test_a_flush_rivet_that_is_too_short(cards: dict[str, HoleCard]) -> None:
    """A11:5, planted mistake P1.

    Grip 0.025 + 0.020 + 0.025 = 0.070. Handbook 0.070 + 1.5 x 0.09375 = 0.210625,
    3.37 sixteenths: -3.5, called out -2.5. Edge 0.300 = 3.2 D, pitch 1.25 = 13.33 D.
    Next size 1/8: 0.070 + 0.1875 = 0.2575 is 4.12: -4; 0.300 is 2.4 D, 1.25 is 10 D.
    """
    card = cards["A11:5"]
    assert (card.callout, card.state, card.step) == (
        "MS20426AD3-2.5",
        "drilled",
        "aileron-6",
    )
    assert [finding.code for finding in card.findings] == ["LENGTH-01"]
    assert sheets(card) == [
        ("503", "dimple", 0.025, 0.300),
        ("502", "dimple", 0.020, 0.300),
        ("501", "dimple", 0.025, 0.350),
    ]
    holds(
        figures(card, "length"),
        {
            "callout_length_16ths": 2.5,
            "handbook_length_mm": 0.210625,
            "wanted_length_16ths": 3.5,
        },
    )
    holds(
        figures(card, "place"),
        {
            "edge_distance_mm": 0.3,
            "edge_ratio": 3.2,
            "pitch_mm": 1.25,
            "pitch_ratio": 1.25 / 0.09375,
        },
    )
    holds(
        figures(card, "next size"),
        {
            "next_diameter_mm": 0.125,
            "next_drill_name": "#30",
            "next_length_16ths": 4,
            "next_edge_ratio": 2.4,
            "next_pitch_ratio": 10,
        },
    )


def test_a_hole_too_near_an_edge(cards: dict[str, HoleCard]) -> None:
    """B8:1, planted mistake P2.

    0.67 - 0.50 = 0.170 on 607B, 1.36 D of 1/8; of 5/32 it would be 1.088 D. Grip
    0.032 + 0.040 = 0.072, handbook 0.072 + 0.1875 = 0.2595, 4.15 sixteenths: -4.
    """
    card = cards["B8:1"]
    assert [finding.code for finding in card.findings] == ["EDGE-01"]
    assert [(s.sheet.part, s.edge and s.edge.name) for s in card.sheets][1] == (
        "607B",
        "lower (v0)",
    )
    holds(figures(card, "stack"), {"used_stack": "602 + 607B", "grip_mm": 0.072})
    holds(
        figures(card, "length"),
        {"handbook_length_mm": 0.2595, "wanted_length_16ths": 4},
    )
    holds(
        figures(card, "place"),
        {
            "edge_distance_mm": 0.17,
            "edge_ratio": 1.36,
            "pitch_mm": 1.05,
            "pitch_ratio": 8.4,
        },
    )
    holds(figures(card, "next size"), {"next_edge_ratio": 0.17 / 0.15625})


def test_a_blind_rivet_left_open(cards: dict[str, HoleCard]) -> None:
    """A12:19 waits for bracket 512, which will lie under its head.

    0.040 + 0.025 + 0.020 + 0.025 = 0.110, nothing dimpled, inside the 0.063 to 0.125
    of BD4-2. A blind rivet has neither a length nor a shop head.
    """
    card = cards["A12:19"]
    assert (card.state, card.step, card.callout) == ("open", "wing-22", "BD4-2")
    assert card.open_holes is not None
    assert card.open_holes.part == "512"
    assert [finding.code for finding in card.findings] == ["TEXT-01"]
    assert [sheet for sheet, *_ in sheets(card)] == ["512", "503", "502", "501"]
    length = figures(card, "length")
    holds(
        length,
        {
            "blind_grip_mm": 0.11,
            "blind_grip_min_mm": 0.063,
            "blind_grip_max_mm": 0.125,
            "wanted_blind_code": "BD4-2",
        },
    )
    assert "wanted_length_16ths" not in length
    assert figures(card, "head") == {}


def test_dimples_nested_in_a_countersink(cards: dict[str, HoleCard]) -> None:
    """C13:1, planted mistake P11: two dimples, 0.020 + 0.032, nest in 0.060.

    Head 0.225 wide, hole 0.1285 (both from memory). Width 0.225 + 2 x 0.052 x 0.36397
    = 0.26285; depth (0.26285 - 0.1285) / 2 / 1.19175 = 0.05637; 0.060 less that
    leaves 0.00363. The least sheet for a 1/8 countersink is 0.050.
    """
    card = cards["C13:1"]
    assert "FLUSH-02" in [finding.code for finding in card.findings]
    assert [made for _, made, *_ in sheets(card)] == [
        *("dimple", "dimple", "countersink")
    ]
    hole = figures(card, "hole")
    holds(
        hole,
        {
            "preparation_words": "dimple, dimple, countersink",
            "countersunk_thickness_mm": 0.06,
            "countersink_min_sheet_mm": 0.05,
        },
    )
    assert hole["nested_width_mm"] == pytest.approx(0.26285, abs=1e-5)
    assert hole["nested_depth_mm"] == pytest.approx(0.05637, abs=1e-5)
    assert hole["nested_land_mm"] == pytest.approx(0.00363, abs=1e-5)


def test_an_open_hole_gets_its_later_stack(cards: dict[str, HoleCard]) -> None:
    """B5:6 is set with 903 under it, which its neighbours do not have.

    0.032 + 0.063 + 0.125 + 0.040 = 0.260; 0.260 + 1.5 x 0.15625 = 0.494375, 7.91
    sixteenths: -8, whole lengths alone in 5/32. Edge 0.41 on 605 is 2.624 D; pitch
    0.7 is 4.48 D.
    """
    card = cards["B5:6"]
    assert (card.state, card.callout) == ("open", "MS20470AD5-8")
    assert card.findings == ()
    holds(
        figures(card, "stack"),
        {"used_stack": "602 + 609 + 605 + 903", "grip_mm": 0.26},
    )
    holds(
        figures(card, "length"),
        {"handbook_length_mm": 0.494375, "wanted_length_16ths": 8},
    )
    holds(
        figures(card, "place"),
        {"edge_distance_mm": 0.41, "edge_ratio": 2.624, "pitch_ratio": 4.48},
    )

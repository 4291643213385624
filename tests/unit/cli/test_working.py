"""The working of a hole in the terminal."""

from __future__ import annotations

import re
from io import StringIO
from pathlib import Path

import pytest
from rich.console import Console

from rivetwright.bench.open import open_plan
from rivetwright.cli.working import print_why
from rivetwright.engines.plan import WorkedPlan
from rivetwright.engines.rules import REGISTRY
from rivetwright.errors import NotFound
from rivetwright.texts.catalogue import catalogue
from tests.unit.cli.plans import without_places

HOLES = ("A11:5", "A12:19", "A1:1")
KINDS = catalogue().section("kind")


def why(
    worked_plan: WorkedPlan, hole: str, quantity: str | None = None, width: int = 100
) -> str:
    """What is printed about a hole."""
    text = StringIO()
    index = worked_plan.worked.holes.index(hole)
    print_why(Console(file=text, width=width), worked_plan, index, quantity)
    return text.getvalue()


@pytest.mark.parametrize("hole", HOLES)
def test_every_quantity_can_be_said(aileron: WorkedPlan, hole: str) -> None:
    """No working of a flush, a blind or a universal rivet fails to be said."""
    for rule in REGISTRY:
        assert f"{rule.output} = " in why(aileron, hole, rule.output, width=400)


@pytest.mark.parametrize("hole", HOLES)
def test_every_figure_has_a_source_and_a_status(aileron: WorkedPlan, hole: str) -> None:
    """As many sources as formulas and look-ups, each with the status it rests on."""
    said = why(aileron, hole, width=1000)
    kinds = re.findall(rf"(?:{'|'.join(KINDS.values())}): \w", said)
    assert len(kinds) == len(re.findall(r"source: .*; rests on [A-Z]", said)) > 20


def test_a_quantity_is_spelt_out_once(aileron: WorkedPlan) -> None:
    """Grip is used many times and opened where it first stands."""
    said = why(aileron, "A11:5", width=1000)
    assert said.count("grip_mm = sum_sheets(sheet_thickness_mm) + sealant_mm") == 1
    assert "(see above)" in said


def test_figures_put_in_are_those_of_the_formula(aileron: WorkedPlan) -> None:
    """0.070 in of stack and 1.5 x 3/32: 1.778 + 1.5 * 2.38125 + 0 in mm."""
    said = why(aileron, "A11:5", "handbook_length_mm", width=400)
    assert "figures, lengths in mm: 1.778 + 1.5 * 2.38125 + 0\n" in said


def test_a_look_up_names_its_table_row(aileron: WorkedPlan) -> None:
    """The drill of a 3/32 rivet and the row it was read from."""
    said = why(aileron, "A11:5", "drill_name", width=400)
    assert "Drill = No. 40" in said
    assert re.search(r"row holes\.csv:\d+", said)


def test_an_edge_names_the_part_and_the_side(aileron: WorkedPlan) -> None:
    """A11:5 lies 0.300 in from the aft edge of 503, measured at u 6.5 in."""
    said = why(aileron, "A11:5", "edge_distance_mm", width=400)
    assert "aft, at the web (v0) of 503, at u 6.500 in" in said
    assert ".300 in away" in said


def test_an_open_hole_says_why(aileron: WorkedPlan) -> None:
    """A12:19 is left open for the push-rod bracket."""
    assert "left open: push-rod bracket" in why(aileron, "A12:19")


def test_a_hole_on_hold_says_why(aileron: WorkedPlan) -> None:
    """A23:1 waits; the reason of the hold stands under its name."""
    hold = aileron.worked.plan.opening.holds[
        aileron.worked.holes.hold[aileron.worked.holes.index("A23:1")]
    ]
    assert f"on hold: {hold.reason}" in why(aileron, "A23:1", width=1000)


def test_on_a_flush_hole_the_next_size_has_a_caution(aileron: WorkedPlan) -> None:
    """A larger rivet wants a new dimple; a universal head does not."""
    assert "oversize-shank" in why(aileron, "A11:5")
    assert "oversize-shank" not in why(aileron, "A1:1")


def test_without_coordinates_the_sheets_have_no_edge(tmp_path: Path) -> None:
    """Thickness and preparation stand; there is no column of edges and no place."""
    said = why(open_plan(without_places(tmp_path)), "R1:1")
    assert "Nearest edge" not in said
    assert "Place" not in said
    assert re.search(r"^11 +\.032 in +plain$", said, re.MULTILINE)


def test_an_unknown_quantity_is_refused_before_anything_is_said(
    aileron: WorkedPlan,
) -> None:
    """Nothing is half printed."""
    text = StringIO()
    with pytest.raises(NotFound, match="nearest: grip_mm"):
        print_why(Console(file=text), aileron, 0, "grip_m")
    assert text.getvalue() == ""

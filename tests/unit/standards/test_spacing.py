"""Edge distance, pitch and row distance."""

from __future__ import annotations

from fractions import Fraction

import pytest

from rivetwright.errors import OutsideTable
from rivetwright.standards.spacing import (
    edge_floor_d,
    edge_least_d,
    edge_least_mm,
    flush_edge_least_d,
    pitch_least_d,
    row_distance_least_d,
    spacing_sets,
    usual_pitch_d,
)


def test_defaults() -> None:
    """Floor 1.5 D, edge 2 D, flush edge 2.5 D, pitch 3 D, rows 2.5 D."""
    assert edge_floor_d().value == Fraction(3, 2)
    assert edge_least_d().value == 2
    assert flush_edge_least_d().value == Fraction(5, 2)
    assert pitch_least_d().value == 3
    assert row_distance_least_d().value == Fraction(5, 2)
    assert usual_pitch_d().value[0] == 4


def test_rule_for_any_head_serves_a_flush_one() -> None:
    """AC 43.13-1B prints one pitch for all heads."""
    assert pitch_least_d(head="flush").value == 3


def test_staggered_rows_follow_their_own_figure() -> None:
    """Two rows: 4 D pitch, rows 2 D apart."""
    assert pitch_least_d(rows=2).value == 4
    assert row_distance_least_d(rows=2).value == 2


def test_rule_a_set_lacks_is_refused_with_those_that_have_it() -> None:
    """NAVEDTRA prints no edge distance; the refusal names who does."""
    with pytest.raises(OutsideTable, match="NAVEDTRA 14018") as refusal:
        edge_least_d(rule_set="NAVEDTRA 14018")
    assert "AC 43.13-1B (single row)" in refusal.value.allowed


@pytest.mark.parametrize("rows", [0, 4])
def test_other_numbers_of_rows_are_refused(rows: int) -> None:
    """One to three rows are printed."""
    with pytest.raises(OutsideTable, match=f"{rows} rows"):
        pitch_least_d(rows=rows)
    with pytest.raises(OutsideTable, match=f"{rows} rows"):
        row_distance_least_d(rows=rows)


def test_edge_printed_as_a_length_holds_for_its_diameter_alone() -> None:
    """MIL-R-47196A's 0.156 is for 3/32; 1/8 is refused."""
    with pytest.raises(OutsideTable, match="3/32"):
        edge_least_mm(3.175, rule_set="MIL-R-47196A")


def test_sets_without_the_misprint() -> None:
    """Eleven usable sets; the misprinted manual is none of them."""
    assert "AC 43.13-1B" in spacing_sets()
    assert "TM 10-7360-208-13&P" not in spacing_sets()

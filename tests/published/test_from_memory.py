"""Figures nobody read: FROM MEMORY or DERIVED, and shown so.

These hold the product to what was written down, not to a source.
"""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from math import ceil

import pytest

from rivetwright.errors import OutsideTable
from rivetwright.standards.flush import (
    cone_depth_mm,
    countersink_sheet_least_mm,
    dimple_standoff_mm,
    head_angle_deg,
)
from rivetwright.standards.heads import manufactured_head, shank_tolerance_mm
from rivetwright.standards.holes import rivet_hole
from rivetwright.standards.source import Status
from rivetwright.standards.spacing import (
    edge_least_d,
    flush_edge_least_d,
    pitch_least_d,
    usual_pitch_d,
)
from rivetwright.standards.strength import shear_n
from rivetwright.standards.table import read_table
from rivetwright.units.force import KPA_PER_PSI, N_PER_LBF
from rivetwright.units.length import parse_length_mm

Inch = Callable[[str | int | Fraction], Fraction]
Printed = Callable[[str], list[dict[str, str]]]


def test_from_memory_heads_are_whole(printed: Printed, inch: Inch) -> None:
    """Head widths and heights as written down, each marked FROM MEMORY."""
    rows = printed("from_memory_heads")
    for row in rows:
        looked = manufactured_head(row["standard"], inch(row["rivet_dia_in"]))
        assert looked.value.width_mm == inch(row["width_in"])
        assert looked.value.width_tolerance_mm == inch(row["width_tolerance_in"])
        assert looked.value.height_mm == inch(row["height_in"])
        assert looked.status is Status.FROM_MEMORY
    assert len(read_table("heads").rows) == len(rows)


def test_from_memory_reduced_head_is_refused(inch: Inch) -> None:
    """NAS1097 was not found and is not guessed."""
    with pytest.raises(OutsideTable, match="not found"):
        manufactured_head("NAS1097", inch("1/8"))


def test_from_memory_final_drills(printed: Printed, inch: Inch) -> None:
    """Present practice, each drill's size by its own name."""
    rows = printed("from_memory_holes")
    for row in rows:
        looked = rivet_hole(inch(row["rivet_dia_in"]))
        assert looked.value.drill == row["drill"]
        assert looked.value.nominal_mm == inch(row["hole_in"])
        named = row["drill"] if row["drill"][0] == "#" else f"letter {row['drill']}"
        assert parse_length_mm(named) == inch(row["hole_in"])
        assert looked.status is Status.FROM_MEMORY


def test_from_memory_flush_edge_and_pitches() -> None:
    """FAA-H-8083-31: edge 2 and 2.5 D; pitch 3/3.5, 4/4.5, 3/3.5 D; usual 4-6 D."""
    faa = "FAA-H-8083-31"
    assert flush_edge_least_d().value == Fraction(5, 2)
    assert edge_least_d(rule_set=faa).value == 2
    by_rows = [
        (
            pitch_least_d(rows=rows, rule_set=faa).value,
            pitch_least_d(rows=rows, head="flush", rule_set=faa).value,
        )
        for rows in (1, 2, 3)
    ]
    assert by_rows == [
        (Fraction(3), Fraction(7, 2)),
        (Fraction(4), Fraction(9, 2)),
        (Fraction(3), Fraction(7, 2)),
    ]
    assert usual_pitch_d(rule_set=faa).value == (Fraction(4), Fraction(6))


def test_from_memory_older_circular_allowed_0_032(inch: Inch) -> None:
    """AC 43.13-1A is remembered to allow 0.032 for 3/32; later texts forbid it."""
    looked = countersink_sheet_least_mm(inch("3/32"), rule_set="older AC 43.13-1A")
    assert looked.value == inch("0.032")
    assert looked.status is Status.FROM_MEMORY


def test_from_memory_shank_tolerance(inch: Inch) -> None:
    """About 0.001 under and 0.003 over."""
    spread = shank_tolerance_mm().value
    assert (spread.minus_mm, spread.plus_mm) == (inch("0.001"), inch("0.003"))


@pytest.mark.parametrize(("dia", "most"), [("3/32", "0.034"), ("1/8", "0.041")])
def test_derived_standoff_is_the_cone_of_the_head(
    dia: str, most: str, inch: Inch
) -> None:
    """DERIVED: (head - hole)/2 over tan 50 deg is the greatest stand-off, to 0.0006.

    3/32: (0.179 - 0.098)/2/1.1918 = 0.0340; 1/8: (0.225 - 0.1285)/2/1.1918 = 0.0405.
    """
    width = manufactured_head("MS20426", inch(dia)).value.width_mm
    hole = rivet_hole(inch(dia)).value.size_mm
    depth = cone_depth_mm(width, hole, angle_deg=head_angle_deg().value)
    assert depth == pytest.approx(float(inch(most)), abs=float(inch("0.0006")))
    assert dimple_standoff_mm(inch(dia)).value[1] == inch(most)


def test_from_memory_number_of_rivets_example(inch: Inch) -> None:
    """FROM MEMORY: (2.25 x 0.040 x 75 000)/331 = 20.4, so 21 rivets each side."""
    tensile_lb = Fraction("2.25") * Fraction("0.040") * 75_000
    assert float(tensile_lb / 331) == pytest.approx(20.4, abs=0.051)
    assert ceil(tensile_lb / 331) == 21
    stress_mpa = 27_000 * KPA_PER_PSI / 1000
    assert shear_n(inch("1/8"), stress_mpa) == pytest.approx(
        float(331 * N_PER_LBF), rel=0.0015
    )


@pytest.mark.parametrize(
    ("now", "then", "had", "needs"),
    [
        ("1/8", "5/32", "0.250", "0.3125"),
        ("3/32", "1/8", "0.1875", "0.250"),
        ("5/32", "3/16", "0.3125", "0.375"),
    ],
)
def test_derived_edge_after_one_size_up(
    now: str, then: str, had: str, needs: str, inch: Inch
) -> None:
    """DERIVED from 2 D: a hole laid out at 2 D cannot take the next size at 2 D."""
    least_d = edge_least_d().value
    assert least_d * inch(now) == inch(had)
    assert least_d * inch(then) == inch(needs)

"""Wartime US fighter service-and-repair handbook, para 10, 14 and 16; READ."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction

from rivetwright.standards.flush import (
    WARTIME_DIMPLE_RULE,
    countersink_sheet_least_mm,
    dimple_sheet_most_mm,
)
from rivetwright.standards.holes import WARTIME, hole_after_dimpling, rivet_hole
from rivetwright.standards.shop_heads import shop_head_limits
from rivetwright.standards.table import read_table
from rivetwright.units.length import parse_length_mm

Inch = Callable[[str | int | Fraction], Fraction]
Printed = Callable[[str], list[dict[str, str]]]


def test_paragraph_16_holes_are_whole(printed: Printed, inch: Inch) -> None:
    """Every drill of minimum clearance, and its size by the drill's own name."""
    rows = printed("wartime_handbook_para_16")
    for row in rows:
        hole = rivet_hole(inch(row["rivet_dia_in"]), hole_set=WARTIME).value
        assert (hole.drill, hole.nominal_mm) == (row["drill"], inch(row["hole_in"]))
        assert parse_length_mm(row["drill"]) == inch(row["hole_in"])
    assert len(read_table("holes").where(set=WARTIME)) == len(rows)


def test_paragraph_14_heads(printed: Printed, inch: Inch) -> None:
    """1/8: 0.188 wide, 0.063 high, single figures without a tolerance."""
    for row in printed("wartime_handbook_para_14"):
        limits = shop_head_limits(
            inch(row["rivet_dia_in"]), limit_set="wartime handbook"
        ).value
        assert limits.width_least_mm == inch(row["width_min_in"])
        assert limits.width_most_mm == inch(row["width_max_in"])
        assert limits.height_least_mm == inch(row["height_min_in"])
        assert limits.height_most_mm == inch(row["height_max_in"])


def test_paragraph_10_no_countersink_below_0_051(inch: Inch) -> None:
    """One flat rule for every diameter; 0.051 itself is the thickest to dimple."""
    for dia in ("3/32", "1/8", "1/4"):
        least = countersink_sheet_least_mm(inch(dia), rule_set="wartime flat rule")
        assert least.value == inch("0.051")
    assert dimple_sheet_most_mm(rule=WARTIME_DIMPLE_RULE).value == inch("0.051")


def test_paragraph_10_dimple_5_32(inch: Inch) -> None:
    """5/32: drill 1/8, press-countersink, redrill No. 22 (0.157)."""
    seen = hole_after_dimpling(inch("5/32")).value
    assert (seen.drill, seen.before_mm) == ("1/8", inch("0.125"))
    assert seen.after_mm == inch("0.157") == parse_length_mm("No. 22")

"""MIL-R-47196A (NASM47196) as quoted in public threads and a summary; SECOND-HAND.

Rows marked FROM MEMORY in the transcription are so in the product as well.
"""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction

import pytest

from rivetwright.errors import OutsideTable
from rivetwright.standards.flush import deburr_most_mm
from rivetwright.standards.holes import hole_after_dimpling, hole_limits
from rivetwright.standards.rework import (
    adjacent_oversize_most,
    next_diameter_32nds,
    oversize_most,
)
from rivetwright.standards.shop_heads import (
    DEFAULT_LIMIT_SET,
    NOMINAL,
    shop_head_limits,
)
from rivetwright.standards.spacing import edge_least_mm
from rivetwright.standards.table import read_table

Inch = Callable[[str | int | Fraction], Fraction]
InchOrNone = Callable[[str], Fraction | None]
Printed = Callable[[str], list[dict[str, str]]]


def test_head_limits_are_whole(
    printed: Printed, inch: Inch, inch_or_none: InchOrNone
) -> None:
    """Every transcribed row looks up as it stands, with its own status."""
    rows = printed("mil_r_47196a_heads")
    for row in rows:
        looked = shop_head_limits(inch(row["rivet_dia_in"]))
        limits = looked.value
        assert limits.width_least_mm == inch(row["width_min_in"])
        assert limits.width_most_mm is None
        assert limits.height_least_mm == inch(row["height_min_in"])
        assert limits.height_most_mm == inch_or_none(row["height_max_in"])
        assert looked.status == row["status"], row
    assert len(read_table("shop_heads").where(set=DEFAULT_LIMIT_SET)) == len(rows)


@pytest.mark.parametrize(("dia", "printed_in"), [("1/8", "0.163"), ("3/32", "0.122")])
def test_example_least_width_is_1_3_d(dia: str, printed_in: str, inch: Inch) -> None:
    """1.3 x 0.125 = 0.1625 is printed 0.163; 1.3 x 0.09375 = 0.1219 as 0.122."""
    width_mm = shop_head_limits(inch(dia)).value.width_least_mm
    assert width_mm == inch(printed_in)
    assert float(Fraction("1.3") * Fraction(dia)) == pytest.approx(
        float(printed_in), abs=0.00051
    )


@pytest.mark.parametrize(("dia", "printed_in"), [("1/8", "0.188"), ("3/32", "0.141")])
def test_example_nominal_width_is_1_5_d(dia: str, printed_in: str, inch: Inch) -> None:
    """1.5 D: 1/8 gives 0.188; 3/32 gives 0.141 where a post misprints 0.147."""
    width_mm = shop_head_limits(inch(dia), limit_set=NOMINAL).value.width_least_mm
    assert width_mm is not None
    assert float(width_mm) == pytest.approx(
        float(inch(printed_in)), abs=float(inch("0.00051"))
    )


@pytest.mark.parametrize(
    ("width", "height", "breaches"),
    [
        ("0.164", "0.051", ()),
        ("0.162", "0.060", ("too narrow",)),
        ("0.170", "0.049", ("too low",)),
        ("0.170", "0.071", ("too high",)),
    ],
)
def test_verdicts_on_four_heads(
    width: str, height: str, breaches: tuple[str, ...], inch: Inch
) -> None:
    """1/8 in heads against .163 wide and .050 to .070 high; verdicts DERIVED."""
    limits = shop_head_limits(inch("1/8")).value
    found = limits.breaches(width_mm=inch(width), height_mm=inch(height))
    assert found == breaches


def test_hole_limits_for_3_32(inch: Inch) -> None:
    """Table I as quoted: 0.093 to 0.103; the other sizes were not seen."""
    assert hole_limits(inch("3/32")).value == (inch("0.093"), inch("0.103"))
    with pytest.raises(OutsideTable, match="3/32"):
        hole_limits(inch("1/8"))


def test_a_dimpled_no_40_hole_leaves_those_limits(inch: Inch) -> None:
    """Observed: a No. 40 hole in 0.025 passed a No. 37 (0.104) after dimpling."""
    seen = hole_after_dimpling(inch("3/32")).value
    assert (seen.before_mm, seen.after_mm) == (inch("0.098"), inch("0.104"))
    assert seen.after_mm > hole_limits(inch("3/32")).value[1]


def test_edge_margin_3_32_universal(inch: Inch) -> None:
    """0.156 in, printed as 1.66 D."""
    edge_mm = edge_least_mm(inch("3/32"), rule_set="MIL-R-47196A").value
    assert edge_mm == inch("0.156")
    assert float(edge_mm / inch("3/32")) == pytest.approx(1.66, abs=0.0051)


def test_deburr_is_a_tenth_of_the_sheet_or_0_032(inch: Inch) -> None:
    """10 % of 0.040 is 0.004; 10 % of half an inch would be more than 0.032."""
    assert deburr_most_mm(inch("0.040")).value == inch("0.004")
    assert deburr_most_mm(inch("0.5")).value == inch("0.032")


@pytest.mark.parametrize(("now", "then"), [(3, 4), (4, 5), (8, 9), (10, 12)])
def test_next_size_paragraph_3_4_1(now: int, then: int) -> None:
    """1/32 more up to 1/4, 1/16 more above."""
    assert next_diameter_32nds(now).value == then


@pytest.mark.parametrize(
    ("pattern", "most"), [(4, 0), (5, 1), (20, 4), (50, 10), (300, 10)]
)
def test_oversize_in_one_pattern_paragraph_3_4_1(pattern: int, most: int) -> None:
    """The lesser of 20 % of the rivets and 10."""
    assert oversize_most(pattern).value == most


def test_adjacent_oversize_paragraph_3_4_1() -> None:
    """More than two side by side needs asking."""
    assert adjacent_oversize_most().value == 2

"""MIL-HDBK-5: 5H p. 8-9 (READ); 5F and 5J tables as quoted (SECOND-HAND).

Unit bearing, shear, flush joints and the head minima, whole; closed forms beside them.
"""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction

import pytest

from rivetwright.errors import OutsideTable
from rivetwright.standards.holes import STRENGTH_BASIS, rivet_hole
from rivetwright.standards.shop_heads import MIL_HDBK, shop_head_limits
from rivetwright.standards.strength import (
    MPA_PER_KSI,
    UNIT_BEARING_MPA,
    Preparation,
    Strength,
    bearing_n,
    flush_strength_n,
    shear_n,
    single_shear_n,
    thin_sheet_factor,
    unit_bearing_n,
)
from rivetwright.standards.table import read_table
from rivetwright.units.force import N_PER_LBF

Inch = Callable[[str | int | Fraction], Fraction]
Printed = Callable[[str], list[dict[str, str]]]


def lb(load_n: float | Fraction) -> float:
    """Give a load in pounds-force."""
    return float(load_n / N_PER_LBF)


def test_unit_bearing_table_is_whole(printed: Printed, inch: Inch) -> None:
    """Every printed unit bearing value looks up as printed."""
    rows = printed("mil_hdbk_5j_unit_bearing")
    for row in rows:
        looked = unit_bearing_n(inch(row["rivet_dia_in"]), inch(row["sheet_in"]))
        assert looked.value == Fraction(row["bearing_lb"]) * N_PER_LBF, row
    assert len(read_table("unit_bearing").rows) == len(rows)


def test_unit_bearing_is_hole_times_sheet_times_100_ksi(
    printed: Printed, inch: Inch
) -> None:
    """DERIVED: hole x t x 100 ksi meets every value to the printed pound."""
    for row in printed("mil_hdbk_5j_unit_bearing"):
        dia, sheet = inch(row["rivet_dia_in"]), inch(row["sheet_in"])
        reckoned = lb(bearing_n(dia, sheet, UNIT_BEARING_MPA).value)
        assert reckoned == pytest.approx(float(row["check_lb"]), abs=0.051), row
        assert reckoned == pytest.approx(float(row["bearing_lb"]), abs=0.51), row


def test_nominal_holes_of_the_unit_bearing_table(printed: Printed, inch: Inch) -> None:
    """DERIVED: the strength basis names these holes."""
    for row in printed("mil_hdbk_5j_holes"):
        looked = rivet_hole(inch(row["rivet_dia_in"]), hole_set=STRENGTH_BASIS)
        assert looked.value.nominal_mm == inch(row["hole_in"])


def test_bearing_holds_from_t_over_d_of_0_18_page_8_9(inch: Inch) -> None:
    """t/D = 0.18 is taken, the next thinner sheet refused with the limit named."""
    dia = inch("1/8")
    assert bearing_n(dia, Fraction("0.18") * dia, UNIT_BEARING_MPA).value > 0
    with pytest.raises(OutsideTable, match=r"0\.18"):
        bearing_n(dia, Fraction("0.17") * dia, UNIT_BEARING_MPA)


def test_single_shear_table_is_whole(printed: Printed, inch: Inch) -> None:
    """Every single-shear value looks up as transcribed, with its own status."""
    rows = printed("mil_hdbk_5_shear")
    for row in rows:
        looked = single_shear_n("AD", inch(row["rivet_dia_in"]))
        assert looked.value == Fraction(row["shear_lb"]) * N_PER_LBF
        assert looked.status == row["status"], row
    assert len(read_table("shear").rows) == len(rows)


def test_single_shear_is_hole_area_times_30_ksi(printed: Printed, inch: Inch) -> None:
    """DERIVED: area of the hole x 30 ksi; check to 0.5 lb, value to 0.3 %."""
    for row in printed("mil_hdbk_5_shear"):
        stress_mpa = Fraction(row["shear_ksi"]) * MPA_PER_KSI
        reckoned = lb(shear_n(inch(row["hole_in"]), stress_mpa))
        assert reckoned == pytest.approx(float(row["check_lb"]), abs=0.51), row
        assert reckoned == pytest.approx(float(row["shear_lb"]), abs=0.51, rel=0.003), (
            row
        )


def test_flush_table_is_whole(printed: Printed, inch: Inch) -> None:
    """Every flush value looks up as transcribed, with its own status."""
    preparations: dict[str, Preparation] = {
        "dimpled": "dimpled",
        "countersunk": "countersunk",
    }
    strengths: dict[str, Strength] = {"ultimate": "ultimate", "yield": "yield"}
    for row in printed("mil_hdbk_5f_flush"):
        looked = flush_strength_n(
            inch(row["rivet_dia_in"]),
            inch(row["sheet_in"]),
            preparations[row["preparation"]],
            strengths[row["strength"]],
        )
        assert looked.value == Fraction(row["load_lb"]) * N_PER_LBF, row
        assert looked.status == row["status"], row


def test_flush_table_has_no_value_more(printed: Printed) -> None:
    """The product's table fills exactly the cells that were transcribed."""
    filled = sum(
        bool(text)
        for row in read_table("flush_strength").rows
        for column, text in row.cells.items()
        if column.endswith("_lb")
    )
    assert filled == len(printed("mil_hdbk_5f_flush"))


@pytest.mark.parametrize(("sheet", "percent"), [("0.032", 18), ("0.040", 11)])
def test_example_flush_loss(sheet: str, percent: int, inch: Inch) -> None:
    """3/32 countersunk loses 18 % in 0.032 and 11 % in 0.040 against dimpled."""
    dia = inch("3/32")
    dimpled = flush_strength_n(dia, inch(sheet), "dimpled").value
    countersunk = flush_strength_n(dia, inch(sheet), "countersunk").value
    assert round(float(100 * (1 - countersunk / dimpled))) == percent


def test_example_one_eighth_against_three_thirty_seconds(inch: Inch) -> None:
    """One 1/8 dimpled in 0.040 bears 79 % more than one 3/32 dimpled."""
    large = flush_strength_n(inch("1/8"), inch("0.040"), "dimpled").value
    small = flush_strength_n(inch("3/32"), inch("0.040"), "dimpled").value
    assert round(float(100 * (large / small - 1))) == 79


def test_example_yield_loss_is_37_percent(inch: Inch) -> None:
    """132 of 209 lb is a loss of 37 %; the quoting post's "33 %" is its slip."""
    dia, sheet = inch("3/32"), inch("0.032")
    dimpled = flush_strength_n(dia, sheet, "dimpled", "yield").value
    countersunk = flush_strength_n(dia, sheet, "countersunk", "yield").value
    assert round(float(100 * (1 - countersunk / dimpled))) == 37


def test_knife_edge_row_says_so(inch: Inch) -> None:
    """The 0.032 countersunk value carries the handbook's flag."""
    looked = flush_strength_n(inch("3/32"), inch("0.032"), "countersunk")
    assert "knife edge" in looked.source.note


def test_head_minima_rule_page_8_9(printed: Printed, inch: Inch) -> None:
    """1.3 D wide and 0.3 D high; DERIVED numbers to their printed thousandth."""
    for row in printed("mil_hdbk_5h_heads"):
        limits = shop_head_limits(inch(row["rivet_dia_in"]), limit_set=MIL_HDBK).value
        assert limits.width_least_mm is not None
        assert limits.height_least_mm is not None
        half = float(inch("0.00051"))
        assert float(limits.width_least_mm) == pytest.approx(
            float(inch(row["width_min_in"])), abs=half
        )
        assert float(limits.height_least_mm) == pytest.approx(
            float(inch(row["height_min_in"])), abs=half
        )
        assert limits.width_most_mm is limits.height_most_mm is None


def test_head_of_7050_must_be_1_4_d_wide_page_8_9(inch: Inch) -> None:
    """A 1/8 rivet of 7050 needs 1.4 D = 0.175 in, so 0.170 is too narrow."""
    limits = shop_head_limits(inch("1/8"), limit_set=MIL_HDBK, material="E").value
    assert limits.width_least_mm == inch("0.175")
    assert limits.breaches(width_mm=inch("0.170")) == ("too narrow",)


@pytest.mark.parametrize(
    ("width", "height", "breaches"),
    [
        ("0.164", "0.051", ()),
        ("0.162", "0.060", ("too narrow",)),
        ("0.170", "0.049", ()),
        ("0.170", "0.071", ()),
    ],
)
def test_verdicts_on_four_heads(
    width: str, height: str, breaches: tuple[str, ...], inch: Inch
) -> None:
    """1/8 in heads against 0.1625 wide and 0.0375 high; verdicts DERIVED."""
    limits = shop_head_limits(inch("1/8"), limit_set=MIL_HDBK).value
    found = limits.breaches(width_mm=inch(width), height_mm=inch(height))
    assert found == breaches


def test_from_memory_thin_sheet_factor(inch: Inch) -> None:
    """FROM MEMORY: 1/8 in 0.032: D/t = 3.906, 1 - 0.04 x 0.906 = 0.9638."""
    single = thin_sheet_factor(inch("1/8"), inch("0.032")).value
    assert single == pytest.approx(0.96375, abs=1e-9)
    double = thin_sheet_factor(inch("1/8"), inch("0.032"), case="double shear").value
    assert double == pytest.approx(1 - 0.13 * (3.90625 - 1.5), abs=1e-9)
    assert thin_sheet_factor(inch("1/8"), inch("0.050")).value == 1

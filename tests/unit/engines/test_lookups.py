"""Figures looked up for each kind of callout; what no table has stays empty."""

from __future__ import annotations

import math
from dataclasses import replace
from fractions import Fraction

import pytest

from rivetwright.engines.worked import working
from rivetwright.model.plan import RuleSets
from rivetwright.standards.source import Status
from tests.unit.engines.small import blind, codes, inches, through

TWO = ((0.040, "plain"), (0.040, "plain"))


def test_figures_of_a_1_8_universal_rivet() -> None:
    """No. 30 (.1285), head .250 by .054, limits .163 wide and .050 to .070 high."""
    found = through(*TWO)
    assert found.worked.at("drill_name", 0) == "#30"
    named = {
        "hole_diameter_mm": 0.1285,
        "head_diameter_mm": 0.250,
        "head_height_mm": 0.054,
        "head_width_min_mm": 0.163,
        "head_height_min_mm": 0.050,
        "head_height_max_mm": 0.070,
    }
    for name, expected in named.items():
        assert inches(found, name) == pytest.approx(expected), name


def test_spacing_rules_are_in_diameters() -> None:
    """Edge 1.5, 2 and 2.5 D, pitch 3 D, rows 2.5 D."""
    found = through(*TWO)
    ratios = ("edge_stop", "edge_check", "edge_note", "pitch_min", "row_min")
    values = [found.worked.at(f"{name}_ratio", 0) for name in ratios]
    assert values == [1.5, 2.0, 2.5, 3.0, 2.5]


def test_witness_is_the_printed_row_with_its_status() -> None:
    """Least width of 1/8: third line of the table as an editor counts, second-hand."""
    found = through(*TWO)
    opened = working(found.worked, "head_width_min_mm", 0)
    assert opened.witness is not None
    assert opened.witness.what == "table row"
    assert opened.witness.fields == {"row": "shop_heads.csv:3"}
    assert opened.source.status is Status.SECOND_HAND


def test_rule_sets_are_named_choices() -> None:
    """5/32: No. 21 by present practice, No. 22 by the wartime table."""
    code = "MS20470AD5-5"
    sets = RuleSets(drills="wartime minimum clearance")
    assert through(*TWO, code=code).worked.at("drill_name", 0) == "#21"
    old = through(*TWO, code=code, rule_sets=sets)
    assert old.worked.at("drill_name", 0) == "#22"
    assert inches(old, "hole_diameter_mm") == pytest.approx(0.157)


def test_printed_hole_limits_come_before_the_drill() -> None:
    """3/32 has limits .093 to .103; 1/8 has its drill alone."""
    small, large = through(*TWO, code="MS20470AD3-4"), through(*TWO)
    assert inches(small, "drill_low_mm") == pytest.approx(0.093)
    assert inches(small, "drill_high_mm") == pytest.approx(0.103)
    assert inches(large, "drill_low_mm") == inches(large, "drill_high_mm")


def test_blind_rivets_have_their_own_holes_and_no_shop_head() -> None:
    """1/8 blind: .128 to .132, No. 30; no head limits and none missed."""
    found = through(*TWO, code=blind("B", ".06", ".125"))
    assert inches(found, "drill_low_mm") == pytest.approx(0.128)
    assert inches(found, "drill_high_mm") == pytest.approx(0.132)
    assert math.isnan(found.worked.at("head_width_min_mm", 0))
    assert found.worked.at("missing_figures", 0) == ""


def test_declared_head_height_comes_before_the_table() -> None:
    """The kit says .050 in; without it the MS20426 height .042 is taken."""
    usual = blind("B", ".06", ".125", head="flush")
    declared = replace(usual, head_height_mm=Fraction("0.050") * Fraction(254, 10))
    assert inches(through(*TWO, code=usual), "blind_head_height_mm") == 0.042
    found = through(*TWO, code=declared)
    assert inches(found, "blind_head_height_mm") == pytest.approx(0.050)
    witness = working(found.worked, "blind_head_height_mm", 0).witness
    assert witness is not None
    assert witness.fields == {"row": "B"}


def test_figure_that_no_table_has_is_named() -> None:
    """A reduced flush head: its width is in no table; the rest is looked up."""
    found = through((0.04, "dimple"), (0.04, "dimple"), code="NAS1097AD4-4")
    assert found.worked.at("missing_figures", 0) == "head_diameter_mm"
    assert math.isnan(found.worked.at("head_diameter_mm", 0))
    assert inches(found, "hole_diameter_mm") == pytest.approx(0.1285)
    assert "TABLE-01" in codes(found)
    assert working(found.worked, "head_diameter_mm", 0).witness is None


def test_countersink_table_is_asked_only_where_a_sheet_is_countersunk() -> None:
    """5/16 stands in no countersink table: missed when countersunk, not when plain."""
    code = "MS20426AD10-16"
    sunk = through((0.125, "countersink"), (0.125, "plain"), code=code)
    plain = through((0.125, "dimple"), (0.125, "dimple"), code=code)
    name = "countersink_min_sheet_mm"
    assert name in sunk.worked.at("missing_figures", 0).split()
    assert name not in plain.worked.at("missing_figures", 0).split()


def test_oversize_shank_has_no_diameter_until_it_is_entered() -> None:
    """Without its shank nothing is measured in diameters, and it is said."""
    found = through((0.04, "dimple"), (0.04, "dimple"), code="NAS1241AD4-4")
    assert math.isnan(found.worked.at("shank_diameter_mm", 0))
    assert "TABLE-01" in codes(found)

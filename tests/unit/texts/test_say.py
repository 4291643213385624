"""Figures as a person reads them: units, both systems, what is not known."""

from __future__ import annotations

import pytest

from rivetwright.engines.checks import Finding
from rivetwright.engines.plan import work_out
from rivetwright.engines.rules import REGISTRY, Witness
from rivetwright.errors import NotFound
from rivetwright.intake.plan_file import read_plan_text
from rivetwright.texts.say import (
    Said,
    say_about,
    say_finding,
    say_title,
    say_value,
    say_witness,
    unit_of,
)

THICK = """\
format: rivetwright plan 1
project: {id: 6f0f9a52-3f44-4c0e-9d43-0a51f2c8c101, name: Try Out}
assembly: {id: thick, name: thick}
unit: in
parts:
  11: {title: block, thickness: 1}
steps:
  s-1: {title: rivet}
rows:
  R1: {count: 2, stack: [11, 11], callout: MS20470AD3-16, step: s-1}
"""
NAN = float("nan")
UNITS = {
    *("mm", "1/16 in", "1/32 in", "D", "pi/4 D^3"),
    *("text", "yes/no", "kind", "count", "number", "N", "kPa"),
}


def test_every_unit_of_a_rule_is_one_that_is_said_here() -> None:
    """A rule with another unit would be said without one."""
    assert {rule.unit for rule in REGISTRY} == UNITS


@pytest.mark.parametrize(
    ("name", "value", "main", "other"),
    [
        # 1.778 mm is 0.070 in.
        ("grip_mm", 1.778, ".070 in", "1.78 mm"),
        ("grip_mm", 0.0, ".000 in", "0.00 mm"),
        # 2.38125 mm is 3/32 in, a size and not a measured figure.
        ("shank_diameter_mm", 2.38125, "3/32 in", "2.38 mm"),
        ("witness_diameter_mm", 3.175, "1/8 in", "3.18 mm"),
        ("next_diameter_32nds", 5.0, "5/32 in", ""),
        ("wanted_length_16ths", 3.5, "3.5", ""),
        ("wanted_length_16ths", 4.0, "4", ""),
        ("asked_16ths", 3.370001, "3.37", ""),
        ("edge_ratio", 2.4, "2.4 D", ""),
        ("edge_ratio", 3.0, "3 D", ""),
        ("head_volume_ratio", 0.6855, "0.686", ""),
        ("sheet_count", 3.0, "3", ""),
        # 1 lbf is 4.448 N, 1 psi 6.895 kPa.
        ("squeeze_force_n", 8600.0, "1933 lbf", "8600 N"),
        ("witness_pressure_kpa", 620.53, "90 psi", "621 kPa"),
        ("force_factor", 1.3, "1.3", ""),
        ("is_flush", 1.0, "yes", ""),
        ("is_flush", 0.0, "no", ""),
        ("sheet_is_standard", 0.0, "no", ""),
        ("sheet_preparation", 1.0, "dimple", ""),
        ("drill_name", "#40", "No. 40", ""),
        ("next_drill_name", "#30", "No. 30", ""),
        ("drill_name", "F", "F", ""),
        ("used_stack", "503 + 502", "503 + 502", ""),
        ("wanted_blind_code", "", "-", ""),
    ],
)
def test_a_figure_in_an_inch_project(
    name: str, value: float | str, main: str, other: str
) -> None:
    """Inches first without a nought before the point, millimetres beside."""
    assert say_value(name, value) == Said(main, other)


@pytest.mark.parametrize(
    ("name", "value", "main", "other"),
    [
        ("grip_mm", 1.778, "1.78 mm", ".070 in"),
        ("shank_diameter_mm", 2.38125, "2.38 mm", "3/32 in"),
        ("wanted_length_16ths", 3.5, "3.5", ""),
        ("edge_ratio", 2.4, "2.4 D", ""),
        ("squeeze_force_n", 8600.0, "8600 N", "1933 lbf"),
        ("flow_stress_kpa", 620.53, "621 kPa", "90 psi"),
    ],
)
def test_a_figure_in_a_millimetre_project(
    name: str, value: float, main: str, other: str
) -> None:
    """Millimetres first; codes and multiples of D are the same in both."""
    assert say_value(name, value, "mm") == Said(main, other)


@pytest.mark.parametrize("unit", sorted(UNITS - {"text"}))
def test_what_is_not_known_is_a_dash_in_every_unit(unit: str) -> None:
    """NaN is never shown as a number, in neither system."""
    name = next(rule.output for rule in REGISTRY if rule.unit == unit)
    assert say_value(name, NAN) == say_value(name, NAN, "mm") == Said("-")


@pytest.mark.parametrize(
    ("name", "unit"),
    [
        ("grip_mm", "mm"),
        ("edge_ratio", "D"),
        ("head_volume_ratio", "pi/4 D^3"),
        ("witness_distance_mm", "mm"),
        ("asked_16ths", "1/16 in"),
        ("witness_force_n", "N"),
        ("witness_part", "text"),
        # Given beside a quantity, not a quantity itself.
        ("edge_sheet", "text"),
    ],
)
def test_unit_of_a_quantity_and_of_a_witness_field(name: str, unit: str) -> None:
    """A quantity has its rule's unit, anything else what its name ends in."""
    assert unit_of(name) == unit


def test_a_quantity_has_a_title_and_a_sentence() -> None:
    """Both come from the catalogue; what is no quantity is refused."""
    assert say_title("grip_mm") == "Grip"
    assert say_about("grip_mm").endswith(".")
    for say in (say_title, say_about):
        with pytest.raises(NotFound, match="grip_mm"):
            say("grip_m")


def test_a_finding_in_inches_and_in_millimetres(
    findings: dict[str, list[Finding]],
) -> None:
    """P2 of the demo: 0.170 in is 4.32 mm, of at least 1.5 D, 0.188 in or 4.76 mm."""
    (finding,) = [
        one
        for one in findings["EDGE-01"]
        if (one.worked.plan.id, one.worked.plan.revision) == ("root-rib", 1)
    ]
    inches, millimetres = say_finding(finding), say_finding(finding, "mm")
    assert inches.found == ".170 in on 607B toward lower (v0), 1.36 D"
    assert inches.allowed == "never under 1.5 D (.188 in)"
    assert millimetres.found == "4.32 mm on 607B toward lower (v0), 1.36 D"
    assert millimetres.allowed == "never under 1.5 D (4.76 mm)"
    assert inches.source == str(finding.source)


def test_a_drawn_drill_is_said_by_its_name(findings: dict[str, list[Finding]]) -> None:
    """The hole the drawing writes is told as the drill that makes it."""
    said = [say_finding(one).found for one in findings["HOLE-01"]]
    assert all(" mm" not in one and "drill" in one for one in said)


def test_missing_figures_are_told_by_their_titles(
    findings: dict[str, list[Finding]],
) -> None:
    """No name of a column reaches a person."""
    for finding in findings["TABLE-01"]:
        assert "_" not in say_finding(finding).found


def test_no_length_at_all_reads_none() -> None:
    """Two inches of metal: no length that is supplied reaches through it."""
    (finding, _) = work_out(read_plan_text(THICK)).findings
    assert finding.code == "LENGTH-01"
    assert say_finding(finding).allowed.endswith("; lengths by volume none")


def test_candidates_are_lengths_or_codes() -> None:
    """Each kind has its own sentence."""
    lengths: dict[str, float | str] = {
        "asked_16ths": 3.37,
        "nearest": "-3, -3.5",
        "rounding": "nearest",
    }
    said = say_witness(Witness("candidates", lengths))
    assert all(word in said for word in ("3.37", "-3, -3.5", "nearest"))
    said = say_witness(Witness("candidates", {"codes": "BD4-1, BD4-2"}))
    assert "BD4-1, BD4-2" in said


def test_what_is_in_the_way_is_said_with_both_figures() -> None:
    """76.2 and 78.74 mm are 3 and 3.1 in; a rivet's size is a fraction."""
    reach = say_value("in_the_way", "Y3|reach|76.2|78.74")
    assert reach.main == "Y3 reach 3.000 in, needs 3.100 in"
    assert reach.other == "Y3 reach 76.20 mm, needs 78.74 mm"
    size = say_value("planned_in_the_way", "Y2|size|3.175|3.96875")
    assert size.main == "Y2 takes rivets up to 1/8 in, this one is 5/32 in"


def test_what_is_in_the_way_without_a_figure_is_said_once() -> None:
    """Nothing to turn into the other unit."""
    said = say_value("in_the_way", "BB1|closed behind|nan|nan", "mm")
    assert said == Said("BB1: nobody gets behind it any more")
    assert say_value("in_the_way", "") == Said("-")

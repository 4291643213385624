"""Squeeze force of a hole: its steps, its range, and where none is told."""

from __future__ import annotations

import math

import pytest

from rivetwright.engines.plan import WorkedPlan
from rivetwright.engines.worked import working
from rivetwright.standards.source import Status
from tests.unit.engines.small import blind, through

LBF = 4.4482216152605
PAIR = ((0.040, "plain"), (0.040, "plain"))


def force_lbf(found: WorkedPlan, end: str = "") -> float:
    """Squeeze force of the hole [lbf]."""
    return float(found.worked.at(f"squeeze_force{end}_n", 0)) / LBF


def test_steps_of_a_1_8_rivet() -> None:
    """-4.5 in .080: v 1.558, .060 high, 1.80 D wide, strain 1.177, 438 MPa.

    v = (.28125 - .080) / .125 - ((.130 / .125)^2 - 1) x .64 = 1.5578; width
    sqrt(1.5578 / .48) = 1.8015 D; 430 x 1.1773^.116 = 438.2 MPa; friction
    1 + .05 x 1.8015 / .48 = 1.1877; 438.2 x pi/4 x 5.7198^2 x 1.1877 = 13 373 N.
    """
    worked = through(*PAIR, code="MS20470AD4-4.5").worked
    assert worked.at("head_width_ratio", 0) == pytest.approx(1.8015, abs=2e-4)
    assert worked.at("head_strain", 0) == pytest.approx(1.1773, abs=3e-4)
    assert worked.at("flow_stress_kpa", 0) == pytest.approx(438_200, abs=60)
    assert worked.at("head_friction", 0) == pytest.approx(1.1877, abs=1e-4)
    assert worked.at("squeeze_force_n", 0) == pytest.approx(13_373, abs=8)


def test_range_of_2117_is_the_scatter_of_what_was_measured() -> None:
    """0.90 and 1.12 of the central force."""
    found = through(*PAIR)
    central = force_lbf(found)
    assert force_lbf(found, "_low") == pytest.approx(0.90 * central)
    assert force_lbf(found, "_high") == pytest.approx(1.12 * central)


def test_another_alloy_has_its_factors_and_a_weaker_status() -> None:
    """2017 needs 1.20 to 1.45 times the force; nobody measured it: JUDGEMENT."""
    own, other = through(*PAIR), through(*PAIR, code="MS20470D4-4")
    for end, factor in (("_low", 1.20), ("", 1.30), ("_high", 1.45)):
        assert force_lbf(other, end) == pytest.approx(factor * force_lbf(own))
    row = working(other.worked, "force_factor", 0)
    assert row.status is Status.JUDGEMENT
    assert row.witness is not None
    assert str(row.witness.fields["row"]).startswith("alloy_force.csv:")


@pytest.mark.parametrize("length", ["2", "6"])
def test_no_force_where_nothing_so_narrow_or_wide_was_measured(length: str) -> None:
    """-2 in .080 leaves .34 of metal, .84 D; -6 leaves 2.3, 2.2 D: neither is told."""
    worked = through(*PAIR, code=f"MS20470AD4-{length}").worked
    assert not 1.07 <= worked.at("head_width_ratio", 0) <= 1.81
    assert math.isnan(worked.at("squeeze_force_n", 0))


def test_no_force_of_a_blind_rivet_or_of_an_alloy_without_a_factor() -> None:
    """A blind rivet is pulled; monel was never measured."""
    pulled = through(*PAIR, code=blind("B-1", "0.02", "0.12"))
    assert math.isnan(pulled.worked.at("squeeze_force_n", 0))
    monel = through(*PAIR, code="MS20470M4-4").worked
    assert not math.isnan(monel.at("force_of_2117_n", 0))
    assert math.isnan(monel.at("squeeze_force_n", 0))

"""The air line piece by piece: regulators standing still, losses while air flows."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from rivetwright.engines.air import pipe_loss_kpa, valve_loss_kpa
from rivetwright.engines.air_line import EASY, FLOW_MOST_M3_S, HARD, USUAL, line_of
from rivetwright.engines.figure import given
from rivetwright.model.shop import AirPiece
from rivetwright.standards.source import Status
from tests.unit.engines.air_shops import PEDAL, USUAL_LINE, coupler, hose, regulator


@pytest.mark.parametrize(
    ("tank", "at_tool"), [(850.0, 600.0), (650.0, 600.0), (620.0, 580.0), (15.0, 0.0)]
)
def test_two_regulators_give_the_lower_setting_or_the_tank_less_both_bands(
    tank: float, at_tool: float
) -> None:
    """700 then 600 with 20 of dead band each: 850 and 650 give 600, 620 gives 580."""
    line = line_of(USUAL_LINE)
    still = line.still_kpa(given("tank_kpa", tank, "kPa"))
    assert still.central == at_tool
    assert line.outlet_kpa(tank, 0.0, USUAL) == at_tool


def test_the_working_of_a_standing_pressure_walks_back_to_the_tank() -> None:
    """The second regulator rests on the first, and that on the tank's gauge."""
    still = line_of(USUAL_LINE).still_kpa(given("tank_kpa", 650.0, "kPa"))
    first = still.inputs["inlet_kpa"]
    assert first.central == 630.0
    assert first.inputs["inlet_kpa"].name == "tank_kpa"


def test_a_dead_band_left_out_is_a_range() -> None:
    """650 less 2 to 8 psi (13.8 to 55.2 kPa) under a setting of 640."""
    line = line_of((regulator(640.0, None),))
    still = line.still_kpa(given("tank_kpa", 650.0, "kPa"))
    assert still.value.low == pytest.approx(650 - 8 * 6.894757, abs=1e-3)
    assert still.value.high == pytest.approx(650 - 2 * 6.894757, abs=1e-3)
    assert still.status is Status.JUDGEMENT


def test_each_piece_takes_its_own_loss_in_order() -> None:
    """Hose, then two couplers, then the pedal: as the laws say one after another."""
    line = line_of((hose(), coupler(count=2), PEDAL))
    flow, pressure = 3e-3, 600.0
    pressure -= pipe_loss_kpa(
        flow, pressure, bore_mm=6.0, length_mm=1e4, roughness_mm=0.0015
    )
    for cv in (1.0, 1.0, 0.8):
        pressure -= valve_loss_kpa(flow, pressure, cv)
    assert line.outlet_kpa(600.0, flow, USUAL) == pytest.approx(pressure)
    drops = line.drops(600.0, flow)
    assert [drop.place for drop in drops] == [0, 1, 2]
    assert drops[-1].after_kpa.central == pytest.approx(pressure)
    lost = sum(drop.loss_kpa.central for drop in drops)
    assert lost == pytest.approx(600.0 - pressure)


def test_the_easy_case_loses_less_than_the_hard_one() -> None:
    """A hose is 0.80 to 1.53 times a smooth one; a coupler's Cv .7 to 1.6."""
    line = line_of((hose(), coupler(None)))
    easy, usual, hard = (line.outlet_kpa(600, 3e-3, c) for c in (EASY, USUAL, HARD))
    assert easy > usual > hard
    hose_drop, coupler_drop = line.drops(600.0, 3e-3)
    assert hose_drop.loss_kpa.low < hose_drop.loss_kpa.central < hose_drop.loss_kpa.high
    assert coupler_drop.stretch.status is Status.FROM_MEMORY


def test_a_steel_pipe_needs_no_range() -> None:
    """Its roughness is one figure, and it is no hose."""
    (drop,) = line_of((replace(hose(), kind="pipe"),)).drops(600.0, 2e-3)
    assert drop.loss_kpa.low == drop.loss_kpa.high > 0


def test_a_regulator_keeps_its_setting_while_enough_comes_through() -> None:
    """At 850 in, a little flow leaves 600; at 650 and 18 l/s 579 comes out.

    By hand, Cv 1.2: 751.35 squared less (0.018 / 4.706e-5 / 1.2) squared is 680.4
    squared, and 680.4 less 101.35 is 579.0.
    """
    line = line_of((regulator(600.0),))
    assert line.outlet_kpa(850.0, 1e-3, USUAL) == 600.0
    assert line.outlet_kpa(650.0, 18e-3, USUAL) == pytest.approx(579.0, abs=0.1)


def test_a_line_that_cannot_carry_the_flow_says_so() -> None:
    """A long thin hose chokes, and nothing is known behind it."""
    line = line_of((hose(20_000.0, 3.0), coupler()))
    assert math.isnan(line.outlet_kpa(600.0, 2e-2, USUAL))
    first, second = line.drops(600.0, 2e-2)
    assert first.carries == second.carries == (False, False, False)
    assert math.isnan(second.before_kpa.central)


def test_a_valve_that_cannot_pass_the_flow_says_so() -> None:
    """Cv 0.1 passes no 20 litres a second."""
    line = line_of((AirPiece("pedal", flow_coefficient=0.1),))
    assert math.isnan(line.outlet_kpa(600.0, 2e-2, USUAL))


def test_a_flow_is_found_for_a_pressure_at_the_tool() -> None:
    """Put back into the line it leaves just that pressure."""
    line = line_of((hose(), coupler(), PEDAL))
    flow = line.flow_m3_s(600.0, 450.0, USUAL)
    assert line.outlet_kpa(600.0, flow, USUAL) == pytest.approx(450.0, abs=0.1)
    assert line.flow_m3_s(600.0, 610.0, USUAL) == 0.0


def test_a_wide_line_is_asked_for_no_more_than_the_most() -> None:
    """A metre of 100 mm pipe carries a cubic metre a second and more."""
    pipe = AirPiece("pipe", bore_mm=100.0, length_mm=1000.0)
    assert line_of((pipe,)).flow_m3_s(600.0, 590.0, USUAL) == FLOW_MOST_M3_S


def test_a_hose_of_no_length_takes_nothing() -> None:
    """Nor does standing air lose anything in a long one."""
    for length, flow in ((0.0, 5e-3), (1e4, 0.0)):
        assert line_of((hose(length),)).outlet_kpa(600.0, flow, HARD) == 600.0

"""A tool that starves: what takes the pressure, ranked, and the next test."""

from __future__ import annotations

import pytest

from rivetwright.engines.air_faults import TANK, TESTS, Suspect, leak_m3_s, suspects
from rivetwright.engines.air_supply import Supply, work_out_air
from rivetwright.model.shop import AirPiece
from tests.unit.engines.air_shops import hose, regulator, shop, with_compressor


@pytest.fixture(scope="module")
def usual() -> Supply:
    """The usual line with 590 needed: nothing is short."""
    return work_out_air(shop(), needed_kpa=590.0)


def causes(found: tuple[Suspect, ...]) -> list[tuple[str, int | None]]:
    """Cause and place of each suspect in its order."""
    return [(one.cause, one.first) for one in found]


def test_where_nothing_is_short_the_largest_passing_loss_comes_first(
    usual: Supply,
) -> None:
    """Ten metres of hose before the pedal and the coupler; then what has no figure."""
    found = suspects(usual)
    measurable = [one for one in found if one.loss_kpa is not None]
    losses = [one.loss_kpa.central for one in measurable if one.loss_kpa]
    assert losses == sorted(losses, reverse=True)
    assert causes(found)[0] == ("hose", 1)
    assert not any(one.lasting for one in measurable)
    assert [one.cause for one in found[-3:]] == ["let up early", "leak", "creep"]


def test_a_lasting_loss_comes_before_a_passing_one() -> None:
    """A setting 10 too low stays when the ram stands, however much a hose takes."""
    supply = work_out_air(shop(regulator(580.0), hose()), needed_kpa=590.0)
    first = suspects(supply)[0]
    assert (first.cause, first.first, first.lasting) == ("setting", 0, True)
    assert first.loss_kpa is not None
    assert first.loss_kpa.central == 10.0


def test_a_low_cut_in_is_named_with_what_it_lacks() -> None:
    """Cut-in 600 less 40 gives 560: 30 short of 590, and a stroke's end 13.77 more."""
    low = with_compressor(starts_kpa=600.0)
    found = suspects(work_out_air(shop(compressor=low), needed_kpa=590.0))
    assert causes(found)[:2] == [("stroke", TANK), ("cut-in", TANK)]
    stroke, cut_in = found[:2]
    assert stroke.loss_kpa is not None
    assert cut_in.loss_kpa is not None
    assert cut_in.loss_kpa.central == pytest.approx(30.0)
    assert stroke.loss_kpa.central == pytest.approx(43.77, abs=0.01)


def test_a_piece_that_cannot_carry_the_flow_comes_first() -> None:
    """What lies behind it is not judged."""
    choked = AirPiece("coupler", flow_coefficient=None, title="worn")
    line = (regulator(600.0), hose(10_000.0, 8.0), choked, hose(40_000.0, 2.5))
    supply = work_out_air(shop(*line), needed_kpa=400.0)
    assert causes(suspects(supply))[0] == ("hose", 3)


def test_readings_lead_to_the_stretch_that_takes_too_much(usual: Supply) -> None:
    """Ram standing, 650 at the tank, 630 after the first regulator, 400 at the tool.

    Between them 630 less the bench regulator's 20 would leave 600, its setting: 200
    are taken beyond that, somewhere from place 1 to 4.
    """
    first = suspects(usual, {TANK: 650.0, 0: 630.0, 4: 400.0})[0]
    assert (first.cause, first.first, first.last) == ("stretch", 1, 4)
    assert first.measured
    assert first.loss_kpa is not None
    assert first.loss_kpa.central == pytest.approx(200.0)
    assert first.test == "gauge-at-each-end"


def test_readings_each_side_of_one_piece_name_it(usual: Supply) -> None:
    """80 lost across the hose while nothing flows: it is kinked, or it leaks."""
    first = suspects(usual, {0: 630.0, 1: 550.0})[0]
    assert (first.cause, first.first, first.last) == ("hose", 1, 1)
    assert first.lasting


def test_what_flow_takes_is_allowed_for(usual: Supply) -> None:
    """At 2 litres a second a hose may lose some; the same reading standing may not."""
    readings = {0: 630.0, 1: 605.0}
    standing = suspects(usual, readings)
    flowing = suspects(usual, readings, flow_m3_s=2e-3)
    assert standing[0].measured
    assert not any(one.measured for one in flowing)


def test_every_suspect_has_a_next_test(usual: Supply) -> None:
    """The key stands in the list of tests."""
    found = suspects(usual, {TANK: 650.0, 4: 300.0})
    assert {one.test for one in found} <= set(TESTS.values())
    assert all(one.test == TESTS[one.cause] for one in found)


def test_a_leak_is_read_off_the_tank(usual: Supply) -> None:
    """10 l falling 20 kPa in 10 minutes lose 1.973 l: 3.289 ml a second."""
    leak = leak_m3_s(usual, 20.0, 600.0)
    assert leak is not None
    assert leak.central == pytest.approx(3.289e-6, rel=1e-3)
    unknown = work_out_air(shop(compressor=None))
    assert leak_m3_s(unknown, 20.0, 600.0) is None

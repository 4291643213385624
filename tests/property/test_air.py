"""Laws of the air line: what may only rise or only fall."""

from __future__ import annotations

import math

from hypothesis import given, settings
from hypothesis import strategies as st

from rivetwright.engines.air import pipe_loss_kpa
from rivetwright.engines.air_line import CASES, USUAL, line_of
from rivetwright.engines.air_supply import work_out_air
from rivetwright.model.shop import AirPiece
from tests.unit.engines.air_shops import coupler, hose, regulator, shop

flows = st.floats(0.0, 8e-3)
pressures = st.floats(200.0, 1000.0)
pieces = st.one_of(
    st.builds(regulator, st.floats(100.0, 900.0), st.floats(0.0, 60.0)),
    st.builds(hose, st.floats(100.0, 30_000.0), st.floats(4.0, 20.0)),
    st.builds(coupler, st.floats(0.3, 3.0), st.integers(1, 3)),
    st.builds(coupler, st.none()),
)
lines = st.lists(pieces, min_size=1, max_size=6).map(tuple)


def at_most(first: float, second: float) -> bool:
    """Whether a pressure is no higher than another; one that chokes is lowest."""
    return math.isnan(first) or first <= second + 1e-6


@given(lines, pressures, flows, flows)
@settings(max_examples=60)
def test_more_flow_leaves_no_more_pressure(
    pieces: tuple[AirPiece, ...], tank: float, one: float, other: float
) -> None:
    """In each case, at the far end of any line."""
    line = line_of(pieces)
    for case in range(len(CASES)):
        less = line.outlet_kpa(tank, min(one, other), case)
        more = line.outlet_kpa(tank, max(one, other), case)
        assert at_most(more, less)


@given(lines, pieces, pressures)
@settings(max_examples=60)
def test_one_piece_more_gives_no_more_pressure_standing(
    pieces: tuple[AirPiece, ...], piece: AirPiece, tank: float
) -> None:
    """And never more than the tank has."""
    before = line_of(pieces).outlet_kpa(tank, 0.0, USUAL)
    after = line_of((*pieces, piece)).outlet_kpa(tank, 0.0, USUAL)
    assert at_most(after, before)
    assert at_most(before, tank)


@given(lines, pressures, flows)
@settings(max_examples=60)
def test_the_hard_case_is_the_lowest(
    pieces: tuple[AirPiece, ...], tank: float, flow: float
) -> None:
    """Easy is no lower than usual, and that no lower than hard."""
    easy, usual, hard = (
        line_of(pieces).outlet_kpa(tank, flow, case) for case in range(len(CASES))
    )
    assert at_most(usual, easy)
    assert at_most(hard, usual)


@given(flows, pressures, st.floats(4.0, 20.0), st.floats(1.0, 1.5))
@settings(max_examples=60)
def test_a_wider_bore_loses_less(
    flow: float, tank: float, bore_mm: float, wider: float
) -> None:
    """Of the same hose."""
    narrow, wide = (
        pipe_loss_kpa(flow, tank, bore_mm=bore, length_mm=1e4, roughness_mm=0.0015)
        for bore in (bore_mm, bore_mm * wider)
    )
    assert math.isnan(narrow) or wide <= narrow + 1e-9


@given(st.floats(1.0, 60.0), st.floats(300.0, 700.0))
@settings(max_examples=20, deadline=None)
def test_need_and_pace_only_ever_ask_for_more(pace: float, needed: float) -> None:
    """A faster pace rests no longer; a higher need wants no lower cut-in."""
    calm = work_out_air(shop(), pace_a_minute=pace, needed_kpa=needed).figures
    busy = work_out_air(shop(), pace_a_minute=pace + 1, needed_kpa=needed + 1).figures
    assert busy["rests_s"].central < calm["rests_s"].central
    assert busy["tank_least_kpa"].central > calm["tank_least_kpa"].central
    assert busy["lasts_s"].central <= calm["lasts_s"].central

"""The demo's garage holds what its tables say, and what was invented hangs together."""

from __future__ import annotations

from math import pi
from pathlib import Path

import pytest

from rivetwright.intake.shop_file import read_shop
from rivetwright.model.shop import Die, Shop, Tool

INCH = 25.4
FILE = Path(__file__).parents[2] / "examples" / "ostrel" / "shop.yaml"

# The scenario's table of tools: reach, gap, nose, half width (inches; None where it
# has a dash or "open"), largest rivet in 1/32 in, day due.
TOOLS = {
    "Y1": (1.5, 0.95, 0.62, 0.1875, 4, None),
    "Y2": (3, 1.25, 0.75, 0.1875, 4, None),
    "Y3": (3.75, 0.95, 0.32, 0.2, 3, None),
    "Y4": (1, 0.95, 0.62, 0.1875, 4, "2026-12-16"),
    "BB1": (12, None, 1.25, 0.45, 5, None),
    "BB2": (10, None, 0.5, 0.19, 4, None),
    "BB3": (6, None, 0.15, 0.24, 3, "2026-12-04"),
    "BACK": (None, None, None, 0.22, 4, None),
    "BP1": (None, None, None, 0.375, 4, None),
    "BP2": (None, None, None, 0.16, 4, None),
}


@pytest.fixture(scope="module")
def shop() -> Shop:
    """The garage."""
    return read_shop(FILE)


def _inches(length_mm: float | None) -> float | None:
    """A length in inches, four digits."""
    return None if length_mm is None else round(length_mm / INCH, 4)


def _in_table(tool: Tool) -> tuple[object, ...]:
    """A tool as the table has it."""
    sizes = (tool.reach_mm, tool.gap_mm, tool.nose_mm, tool.half_width_mm)
    due = None if tool.due is None else tool.due.isoformat()
    return (*map(_inches, sizes), tool.diameter_32nds_max, due)


def test_tools_are_those_of_the_table(shop: Shop) -> None:
    """Ten tools with their sizes, as the scenario's table of tools has them."""
    assert {tool.id: _in_table(tool) for tool in shop.tools} == TOOLS


def test_closed_heights_are_those_of_the_scenario(shop: Shop) -> None:
    """Y1 and Y2 0.760, Y3 0.455 with its jaw for a die; Y4 is not given."""
    closed = {one.id: _inches(one.closed_height_mm) for one in shop.tools}
    assert [closed[name] for name in ("Y1", "Y2", "Y3")] == [0.76, 0.76, 0.455]
    assert closed["Y4"] is None
    assert [one.id for one in shop.tools if one.has_fixed_die] == ["Y3"]


def test_dies_for_rivets_and_shims_are_those_of_the_scenario(shop: Shop) -> None:
    """Flat .125, .250, .375; cup 1/8 .230, 3/32 .240; shims one each of four."""
    dies = [
        (one.kind, one.diameter_32nds, _inches(one.length_mm), one.count)
        for one in shop.dies
        if one.kind in ("flat", "cup")
    ]
    assert dies == [
        ("flat", None, 0.125, 1),
        ("flat", None, 0.25, 1),
        ("flat", None, 0.375, 1),
        ("cup", 4, 0.23, 1),
        ("cup", 3, 0.24, 1),
    ]
    assert [_inches(one) for one in shop.shims_mm] == [0.01, 0.02, 0.032, 0.063]


def test_squeezer_is_that_of_the_scenario(shop: Shop) -> None:
    """3,000 lbf at 90 psi, stroke 9/16, 1/8; a hand squeezer beside it."""
    air, hand = shop.squeezers
    assert (air.kind, hand.kind) == ("pneumatic", "hand")
    assert air.force_n == pytest.approx(3000 * 4.4482216152605)
    assert air.pressure_kpa == pytest.approx(90 * 6.894757293168)
    assert _inches(air.stroke_mm) == 0.5625
    assert (air.diameter_32nds_max, hand.diameter_32nds_max) == (4, 4)


def test_pairs_for_dimpling_touch_with_a_shim(shop: Shop) -> None:
    """3/32 and 1/8 each: .400 + .353 + shim .010 = .763, .003 past the .760 of Y1."""
    for size in (3, 4):
        pair = {one.kind: one for one in shop.dies if one.diameter_32nds == size}
        lengths_mm = pair["male"].length_mm + pair["female"].length_mm
        assert lengths_mm + 0.010 * INCH - 0.760 * INCH == pytest.approx(0.003 * INCH)


def _sits_with(die: Die, shims_mm: float) -> bool:
    """Whether a die sits deep enough over shims."""
    assert die.engaged_mm is not None
    assert die.engaged_min_mm is not None
    return die.engaged_mm - shims_mm >= die.engaged_min_mm - 1e-6


def test_every_die_sits_deep_enough_over_all_shims(shop: Shop) -> None:
    """All four shims are .125 together; .250 - .125 is just the least."""
    shims_mm = sum(shop.shims_mm)
    assert shims_mm == pytest.approx(0.125 * INCH)
    assert all(_sits_with(die, shims_mm) for die in shop.dies)


def test_gun_has_cupped_flush_and_back_rivet_sets(shop: Shop) -> None:
    """A gun with flush and cupped sets, and the set that goes with the steel plate."""
    assert len(shop.guns) == 1
    kinds = [(one.kind, one.diameter_32nds) for one in shop.gun_sets]
    assert kinds == [
        ("cup", 3), ("cup", 4), ("cup", 5), ("flush", None), ("back-rivet", None)
    ]  # fmt: skip
    bars = [one for one in shop.tools if one.kind == "bar"]
    assert all(one.mass_kg for one in bars)


def test_two_regulators_stand_in_series_with_the_90_psi_one_last(shop: Shop) -> None:
    """Tank, regulator, coupler, hose, coupler, regulator, pedal, hose, coupler."""
    assert [one.kind for one in shop.air_line] == [
        "regulator", "coupler", "hose", "coupler", "regulator", "pedal", "hose",
        "coupler",
    ]  # fmt: skip
    settings = [one.set_kpa for one in shop.air_line if one.kind == "regulator"]
    assert settings[1] == shop.squeezers[0].pressure_kpa


def test_compressor_runs_40_s_in_every_3_min_at_four_or_five_strokes(
    shop: Shop,
) -> None:
    """The scenario's duty, from the invented tank, free air and cylinder.

    2 gal between 125 and 95 psi hold 2/7.48 x 30/14.7 = 0.546 cubic feet of free
    air. If they last the 140 s of rest, 0.234 cfm are used; a 2 x 4 in cylinder at
    90 psi takes 0.0518, so that is 4.5 strokes a minute. In 40 s the compressor must
    give 0.546 and those 0.234 cfm: 0.819 + 0.234 = 1.053 cfm.
    """
    compressor, squeezer = shop.compressor, shop.squeezers[0]
    assert compressor is not None
    assert compressor.tank_m3 is not None
    assert compressor.free_air_m3_s is not None
    assert compressor.starts_kpa is not None
    assert compressor.stops_kpa is not None
    air_kpa = 14.7 * 6.894757
    held_m3 = compressor.tank_m3 * (compressor.stops_kpa - compressor.starts_kpa)
    held_m3 /= air_kpa
    used_m3_s = held_m3 / 140
    assert compressor.free_air_m3_s - used_m3_s == pytest.approx(held_m3 / 40, rel=0.01)
    assert squeezer.bore_mm is not None
    assert squeezer.cylinder_stroke_mm is not None
    swept_m3 = pi / 4 * squeezer.bore_mm**2 * squeezer.cylinder_stroke_mm / 1e9
    stroke_m3 = swept_m3 * (90 + 14.7) / 14.7
    assert used_m3_s * 60 / stroke_m3 == pytest.approx(4.5, abs=0.05)


def test_file_says_that_its_figures_are_invented() -> None:
    """Above everything else stands that no figure is a real tool's."""
    head = FILE.read_text("utf-8").split("format:")[0]
    assert "INVENTED" in head
    assert "every figure" in head

"""The shop's air gathered for a face: groups, suspects, a leak, what is assumed."""

from __future__ import annotations

from dataclasses import replace

import pytest

from rivetwright.bench.air import GROUPS, Readings, air_figure, air_now
from rivetwright.errors import NotFound
from tests.unit.engines.air_shops import coupler, hose, regulator, shop


def test_every_group_of_a_whole_shop_is_filled() -> None:
    """Compressor, line and squeezer with all their sizes give every figure."""
    now = air_now(shop())
    shown = [(title, tuple(one.name for one in some)) for title, some in now.groups]
    assert shown == list(GROUPS)


def test_without_a_compressor_only_what_is_known_is_shown() -> None:
    """No tank: no pressure at the tool, and the group of the compressor is gone."""
    now = air_now(shop(compressor=None))
    assert "compressor" not in [title for title, _ in now.groups]
    assert now.supply.missing[:4] == ("delivery", "tank", "cut-in", "cut-out")


def test_a_folder_without_a_shop_is_told_what_to_write() -> None:
    """The refusal names the shop file."""
    with pytest.raises(NotFound, match="shop file"):
        air_now(None)


def test_a_leak_is_the_fall_of_the_tank_over_the_time() -> None:
    """10 l falling 101.35 kPa, one atmosphere, lose 10 l of free air; in 100 s."""
    now = air_now(shop(), Readings({}, fall_kpa=101.353, fall_s=100.0))
    assert now.leak is not None
    assert now.leak.central == pytest.approx(1e-4, rel=1e-5)
    assert air_figure(now, "leak_m3_s") is now.leak


def test_readings_rank_before_what_is_worked_out() -> None:
    """200 kPa gone between the first regulator and the tool are told first."""
    now = air_now(shop(), Readings({-1: 650.0, 0: 630.0, 4: 400.0}))
    assert now.suspects[0].measured
    assert now.suspects[0].cause == "stretch"


def test_only_what_the_shop_file_leaves_out_is_assumed() -> None:
    """A coupler with its own Cv assumes nothing of couplers, one without does."""
    line = (regulator(700.0), hose(), coupler(1.0), regulator(600.0))
    known = {one.source.document for one in air_now(shop(*line)).assumed}
    line = (*line[:2], coupler(None), line[3])
    fewer = {one.source.document for one in air_now(shop(*line)).assumed}
    assert fewer - known == {"quarter-inch couplers and plugs"}
    assert not any("atmosphere" in one.name for one in air_now(shop()).assumed)


def test_the_pressure_asked_for_decides_what_is_short() -> None:
    """600 stands: 590 is there, 610 is not; the rating is 600."""
    assert air_now(shop(), needed_kpa=570.0).supply.is_enough
    assert air_now(shop(), needed_kpa=610.0).supply.is_enough is False


def test_a_figure_that_is_none_is_refused_with_those_there_are() -> None:
    """A misspelt name lists what can be opened."""
    with pytest.raises(NotFound, match="standing_kpa"):
        air_figure(air_now(shop()), "standing_still")


def test_the_first_pneumatic_squeezer_is_meant() -> None:
    """A hand squeezer takes no air."""
    made = shop()
    hand = replace(made.squeezers[0], kind="hand", title="hand")
    now = air_now(replace(made, squeezers=(hand, *made.squeezers)))
    assert now.squeezer == made.squeezers[0]

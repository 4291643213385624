"""Pressure at the tool, strokes a minute, and when the compressor must catch up."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from rivetwright.engines.air_supply import Supply, work_out_air
from rivetwright.standards.source import Status
from tests.unit.engines.air_shops import (
    SQUEEZER,
    hose,
    regulator,
    shop,
    with_compressor,
)

ATMOSPHERE = 14.7 * 6.894757293168361


def central(supply: Supply, name: str) -> float:
    """The usual value of one of the figures."""
    return supply.figures[name].central


def test_air_of_a_stroke_and_strokes_of_a_tank() -> None:
    """By hand: 0.19635 l swept at 600 kPa takes 0.19635 (600 + 101.35) / 101.35 l.

    That is 1.3587 l; the tank of 10 l gives 10 (850 - 650) / 101.35 = 19.733 l, so
    14.52 strokes; at 1 l/s it fills again in 19.73 s, and 44.16 strokes a minute
    are kept up with for ever.
    """
    supply = work_out_air(shop())
    assert central(supply, "stroke_air_m3") == pytest.approx(1.3587e-3, rel=1e-4)
    assert central(supply, "usable_air_m3") == pytest.approx(19.733e-3, rel=1e-4)
    assert central(supply, "strokes_held_count") == pytest.approx(14.52, abs=0.005)
    assert central(supply, "refill_s") == pytest.approx(19.73, abs=0.005)
    assert central(supply, "sustained_a_minute") == pytest.approx(44.16, abs=0.005)


def test_runs_and_rests_share_the_tank() -> None:
    """At 12 a minute: 0.27174 l/s drawn; rests 72.6 s, runs 27.1 s.

    By hand: 19.733 / 0.27174, and 19.733 / (1 - 0.27174). The share of the time that
    it runs is the share of what it gives that is drawn.
    """
    supply = work_out_air(shop(), pace_a_minute=12)
    rests, runs = central(supply, "rests_s"), central(supply, "runs_s")
    assert rests == pytest.approx(72.62, abs=0.05)
    assert runs == pytest.approx(27.10, abs=0.05)
    drawn = central(supply, "mean_flow_m3_s") / 1e-3
    assert runs / (runs + rests) == pytest.approx(drawn)
    assert central(supply, "lasts_s") == math.inf


def test_a_pace_above_the_compressor_runs_the_tank_down() -> None:
    """60 a minute draw 1.3587 l/s; the band lasts 14.5 s, then 0.3587 l/s are short.

    Needed 400: the least tank pressure is 400 + 40 + 13.77 of the stroke, so
    10 (650 - 453.77) / 101.35 = 19.361 l are left, for 53.98 s more.
    """
    supply = work_out_air(shop(), pace_a_minute=60, needed_kpa=400.0)
    assert central(supply, "runs_s") == math.inf
    assert central(supply, "lasts_s") == pytest.approx(14.52 + 53.98, abs=0.05)
    assert central(supply, "rate_most_a_minute") == pytest.approx(44.16 + 14.52, 1e-3)


def test_a_stroke_lets_a_small_tank_fall() -> None:
    """1.3587 l out of 10 l: 13.77 kPa; begun at 650 it ends at 596.2 at the tool."""
    supply = work_out_air(shop())
    assert central(supply, "stroke_drop_kpa") == pytest.approx(13.77, abs=0.005)
    assert central(supply, "standing_kpa") == 600.0
    cycling = central(supply, "standing_cycling_kpa")
    assert cycling == pytest.approx(650 - 13.77 - 40, abs=0.005)
    assert central(supply, "tank_least_kpa") == pytest.approx(653.77, abs=0.005)


def test_each_limit_is_told_and_the_lowest_that_breaks_named() -> None:
    """Settings give 680 and 600, the cut-in 610, a stroke's end 596.2."""
    supply = work_out_air(shop(), needed_kpa=598.0)
    told = {(one.name, one.place): one for one in supply.limits}
    assert told["rating", None].figure.central == 600.0
    assert told["setting", 0].figure.central == 680.0
    assert told["setting", 3].figure.central == 600.0
    assert told["cut-in", None].figure.central == 610.0
    assert supply.is_enough is False
    assert supply.first_short is told["stroke", None]
    assert work_out_air(shop(), needed_kpa=590.0).is_enough is True
    assert work_out_air(shop(), needed_kpa=590.0).first_short is None


def test_a_first_regulator_set_too_low_is_named() -> None:
    """605 at the tank gives 585 after the second one's dead band."""
    supply = work_out_air(shop(regulator(605.0), regulator(600.0)), needed_kpa=590.0)
    short = supply.first_short
    assert short is not None
    assert (short.name, short.place, short.figure.central) == ("setting", 0, 585.0)


def test_too_much_pressure_is_seen() -> None:
    """A tank of 850 without a regulator on a tool rated 600."""
    assert work_out_air(shop(hose())).is_over is True
    assert work_out_air(shop()).is_over is False
    assert work_out_air(shop(squeezer=None)).is_over is None


def test_the_ram_stands_after_the_hold() -> None:
    """It fills in well under the second of the hold, so flow costs no force."""
    supply = work_out_air(shop())
    assert 0.05 < supply.figures["fill_s"].value.high < 0.5
    held = supply.figures["after_hold_kpa"].value
    assert held.low == pytest.approx(central(supply, "standing_cycling_kpa"), rel=2e-3)


def test_a_thin_hose_fills_the_ram_slower() -> None:
    """4 mm in place of 6 mm of the same length."""
    times = [
        central(work_out_air(shop(regulator(600.0), hose(1e4, bore))), "fill_s")
        for bore in (6.0, 4.0)
    ]
    assert times[1] > 2 * times[0]


def test_flow_loses_in_every_piece_while_the_ram_fills() -> None:
    """Standing, only the regulators take anything."""
    supply = work_out_air(shop())
    assert [drop.loss_kpa.central > 0 for drop in supply.still] == [
        *(True, False, False, True, False)
    ]
    assert all(drop.loss_kpa.central > 0 for drop in supply.flowing)


@pytest.mark.parametrize(
    ("change", "name", "absent"),
    [
        ({"free_air_m3_s": None}, "delivery", "refill_s"),
        ({"tank_m3": None}, "tank", "usable_air_m3"),
        ({"starts_kpa": None}, "cut-in", "standing_kpa"),
        ({"stops_kpa": None}, "cut-out", "standing_full_kpa"),
    ],
)
def test_what_the_plate_does_not_say_is_asked_for(
    change: dict[str, None], name: str, absent: str
) -> None:
    """Nothing is guessed: the figure stays away and its name is told."""
    supply = work_out_air(shop(compressor=with_compressor(**change)))
    assert supply.missing == (name,)
    assert absent not in supply.figures


def test_a_shop_without_air_asks_for_all_of_it() -> None:
    """No compressor, no line, no squeezer."""
    bare = replace(shop(compressor=None, squeezer=None), air_line=())
    supply = work_out_air(bare)
    assert supply.missing == (
        *("delivery", "tank", "cut-in", "cut-out"),
        *("air line", "ram bore", "ram stroke"),
    )
    assert supply.is_enough is None
    assert supply.still == supply.flowing == supply.limits == ()


def test_a_ram_that_nobody_measured_gives_a_range() -> None:
    """1.75 to 2.5 in by 3 to 5 in, FROM MEMORY: so is all that rests on it."""
    unknown = replace(SQUEEZER, bore_mm=None, cylinder_stroke_mm=None)
    supply = work_out_air(shop(squeezer=unknown))
    assert supply.missing == ("ram bore", "ram stroke")
    strokes = supply.figures["strokes_held_count"]
    assert strokes.value.low < strokes.central < strokes.value.high
    assert strokes.status is Status.FROM_MEMORY


def test_a_pace_nobody_gave_is_a_judged_range() -> None:
    """3 to 10 strokes a minute."""
    pace = work_out_air(shop()).figures["pace_a_minute"]
    assert (pace.value.low, pace.central, pace.value.high) == (3, 5, 10)
    assert pace.status is Status.JUDGEMENT


def test_an_empty_tank_fills_no_ram() -> None:
    """A cut-in below the dead bands leaves nothing at the tool."""
    supply = work_out_air(shop(compressor=with_compressor(starts_kpa=30.0)))
    assert central(supply, "standing_cycling_kpa") == 0.0
    assert "fill_s" not in supply.figures
    assert supply.flowing == ()

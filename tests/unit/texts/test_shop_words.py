"""Figures of the shop as a person reads them: ranges, times, both units."""

from __future__ import annotations

import math

import pytest

from rivetwright.bench.air import air_now
from rivetwright.engines.air_faults import TESTS
from rivetwright.engines.figure import Figure, given
from rivetwright.standards.source import Source, Status
from rivetwright.standards.spread import Spread
from rivetwright.standards.table import read_table
from rivetwright.texts.catalogue import catalogue
from rivetwright.texts.shop_words import (
    say_figure,
    say_limit,
    say_piece,
    say_shop_title,
    say_suspect,
)
from tests.unit.engines.air_shops import shop

SOURCE = Source("made for the test", "", Status.INVENTED)


def ranged(name: str, unit: str, *values: float) -> Figure:
    """A figure with least, usual and most."""
    return Figure(name, Spread(*values), unit, SOURCE)


@pytest.mark.parametrize(
    ("unit", "value", "inches", "millimetres"),
    [
        ("kPa", 689.4757, "100 psi", "689 kPa"),
        ("kg", 1.3607771, "3.0 lb", "1.4 kg"),
        ("m3/s", 0.000471947, "1.00 cfm", "28 l/min"),
        ("m3", 0.0283168, "1.000 ft3", "28.3 l"),
        ("mm", 50.8, "2 in", "50.80 mm"),
        ("N", 4448.2216, "1000 lbf", "4448 N"),
    ],
)
def test_a_figure_is_told_in_both_units(
    unit: str, value: float, inches: str, millimetres: str
) -> None:
    """By the definitions: 6.894757 kPa, 0.4536 kg, 28.3168 l, 25.4 mm, 4.448 N."""
    figure = given("standing_kpa", value, unit)
    said = say_figure(figure, "in")
    assert (said.main, said.other) == (inches, millimetres)
    turned = say_figure(figure, "mm")
    assert (turned.main, turned.other) == (millimetres, inches)


@pytest.mark.parametrize(
    ("seconds", "said"),
    [(0.14, "0.1 s"), (45.0, "45 s"), (120.0, "2 min"), (126.4, "2 min 6 s")],
)
def test_a_time_is_told_as_a_person_says_it(seconds: float, said: str) -> None:
    """Tenths below ten seconds, minutes from a hundred on."""
    assert say_figure(given("hold_s", seconds, "s"), "in").main == said


def test_an_hour_is_told_in_hours() -> None:
    """3,900 s are one hour and five minutes."""
    assert say_figure(given("lasts_s", 3900.0, "s"), "in").main == "1 h 5 min"


def test_a_range_is_told_with_its_usual_figure() -> None:
    """24 to 32 psi, usually 28; in the other unit the ends are enough."""
    psi = 6.894757293168361
    said = say_figure(
        ranged("learner_kpa", "kPa", *(psi * n for n in (24, 28, 32))), "in"
    )
    assert said.main == "24 to 32 psi, usually 28 psi"
    assert said.other == "165 to 221 kPa"


def test_a_range_whose_ends_read_alike_is_one_figure() -> None:
    """A tenth of a psi cannot be read on a gauge."""
    assert (
        say_figure(ranged("set_kpa", "kPa", 620.0, 620.1, 620.5), "in").main == "90 psi"
    )


def test_what_never_ends_is_told_without_a_figure() -> None:
    """Both ends without end; or only the far one."""
    endless = ranged("lasts_s", "s", math.inf, math.inf, math.inf)
    assert say_figure(endless, "in").main == "without end"
    half = ranged("runs_s", "s", 45.0, 60.0, math.inf)
    assert say_figure(half, "in").main == "45 s or more"


def test_a_tank_is_told_in_gallons_and_a_hose_is_not_smooth_to_the_inch() -> None:
    """The two that are never written as others of their unit."""
    assert say_figure(given("tank_m3", 231 * 0.0254**3, "m3"), "in").main == "1.0 gal"
    rough = say_figure(given("roughness_mm", 0.0015, "mm"), "in")
    assert (rough.main, rough.other) == ("0.0015 mm", "")


def test_every_cause_and_test_has_its_words() -> None:
    """Nothing that the search names is left without a sentence, and none is over."""
    assert set(catalogue().section("air_cause")) == set(TESTS)
    assert set(catalogue().section("air_test")) == set(TESTS.values())


def test_every_figure_of_the_air_has_a_title() -> None:
    """Down to the last that one rests on."""
    waiting = list(air_now(shop()).figures.values())
    while waiting:
        figure = waiting.pop()
        assert say_shop_title(figure.name.replace("_1_", "_").replace("_2_", "_"))
        waiting += figure.inputs.values()


def test_pieces_suspects_and_limits_are_told_by_name() -> None:
    """The tank is at -1; a short setting is told with its piece."""
    now = air_now(shop(), needed_kpa=650.0)
    assert say_piece(now.supply, -1) == "tank"
    assert say_piece(now.supply, 1) == "hose"
    told = [say_suspect(one, now.supply, "mm") for one in now.suspects]
    assert any(one.title == "The regulator is set too low" for one in told)
    assert all(one.test for one in told)
    assert [one.loss for one in told[-3:]] == ["", "", ""]
    limits = [say_limit(one, now.supply) for one in now.supply.limits]
    assert "The regulator lets through" in limits


def test_every_step_and_call_of_the_gun_has_its_words() -> None:
    """As gun_steps.csv has them: no more and no fewer."""
    rows = read_table("gun_steps").rows
    steps = {row.cells["key"] for row in rows if row.cells["part"] == "step"}
    calls = {row.cells["key"] for row in rows if row.cells["part"] == "call"}
    who = {row.cells["who"] for row in rows if row.cells["part"] == "call"}
    assert set(catalogue().section("gun_step")) == steps
    for section in ("gun_call", "gun_call_means"):
        assert set(catalogue().section(section)) == calls
    assert set(catalogue().section("gun_who")) == who

"""A shop file is read whole, or refused with its lines."""

from __future__ import annotations

from pathlib import Path

import pytest

from rivetwright.errors import PlanRefused
from rivetwright.intake.shop_file import read_shop, read_shop_bytes

SHOP = Path(__file__).parents[3] / "examples" / "ostrel" / "shop.yaml"
TEXT = SHOP.read_text("utf-8")
SMALL = b"format: rivetwright shop 1\nid: a\nname: b\nunit: in\n"


def test_shop_reads_sizes_forces_and_counts() -> None:
    """3000 lbf is 13344.66 N, 90 psi is 620.53 kPa, 9/16 in is 14.2875 mm."""
    shop = read_shop(SHOP)
    squeezer = shop.squeezers[0]
    assert squeezer.force_n == pytest.approx(13344.66, abs=0.01)
    assert squeezer.pressure_kpa == pytest.approx(620.53, abs=0.01)
    assert squeezer.stroke_mm == pytest.approx(14.2875)
    assert squeezer.diameter_32nds_max == 4
    assert shop.shims_mm == pytest.approx((0.254, 0.508, 0.8128, 1.6002))
    assert (shop.spare_ratio, shop.spare_count_min) == (0.1, 5)
    assert [person.role for person in shop.people] == ["builder", "helper", "inspector"]
    assert shop.quiet_after == "21:00"


def test_shop_reads_what_a_set_up_needs() -> None:
    """Y3's jaw is its die; a bar of 4 lb is 1.81436948 kg; pins 0 and 6.35 mm."""
    shop = read_shop(SHOP)
    tools = {one.id: one for one in shop.tools}
    assert [name for name, one in tools.items() if one.has_fixed_die] == ["Y3"]
    assert tools["BB1"].mass_kg == pytest.approx(1.81436948)
    assert shop.pins_mm == (0, 6.35)
    hand = shop.squeezers[1]
    assert (hand.kind, hand.lever_ratio) == ("hand", 10)
    assert hand.hand_force_n == pytest.approx(60 * 4.4482216152605)
    die = next(one for one in shop.dies if one.kind == "male")
    sizes = (die.length_mm, die.face_mm, die.engaged_mm, die.engaged_min_mm)
    assert sizes == pytest.approx((10.16, 9.525, 6.35, 3.175))


def test_shop_reads_the_air_line_in_its_order() -> None:
    """2 gal are 7.5708 l, 1.05 cfm 0.49554 l/s, 95 psi 655.0 kPa, 25 ft 7.62 m."""
    shop = read_shop(SHOP)
    compressor = shop.compressor
    assert compressor is not None
    assert compressor.tank_m3 == pytest.approx(0.0075708, abs=1e-7)
    assert compressor.free_air_m3_s == pytest.approx(0.00049554, abs=1e-8)
    assert compressor.starts_kpa == pytest.approx(655.0, abs=0.01)
    first, _, hose = shop.air_line[:3]
    assert (first.kind, first.title) == ("regulator", "at the tank")
    assert first.set_kpa == pytest.approx(758.42, abs=0.01)
    assert first.dead_band_kpa == pytest.approx(13.79, abs=0.01)
    assert (hose.bore_mm, hose.length_mm) == pytest.approx((9.525, 7620))
    assert [one.flow_coefficient for one in shop.air_line if one.kind == "pedal"] == [
        0.6
    ]


def test_empty_compressor_is_none() -> None:
    """Empty braces say nothing about a compressor."""
    assert read_shop_bytes(SMALL + b"compressor: {}", "shop").compressor is None


def test_bare_sizes_are_in_the_unit_of_the_file() -> None:
    """A pin of 6 in a file in mm is 6 mm; a hose still names its own unit."""
    text = SMALL.replace(b"unit: in", b"unit: mm") + b"pins: [0, 6]"
    assert read_shop_bytes(text, "shop").pins_mm == (0, 6)


@pytest.mark.parametrize(
    ("more", "field", "found", "allowed"),
    [
        ("pins: [-.1]", "pins[1]", "-.1", "0 or more"),
        ("pins: [25]", "pins[1]", "25", ".000 in to 1.575 in (0 mm to 40 mm)"),
        ("shims: [10]", "shims[1]", "10", ".001 in to .394 in (0.02 mm to 10 mm)"),
        ("dies: [{kind: dimple, length: .2}]", "dies[1].kind", "dimple", "female"),
        ("dies: [{kind: male, length: .2}]", "dies[1]", "no fits", "male die"),
        ("dies: [{kind: flat, length: 20}]", "dies[1].length", "20", "3.150 in"),
        (
            "dies: [{kind: flat, length: .2, length_max: .1}]",
            "dies[1].length_max",
            "length_max below length",
            "turned out",
        ),
        (
            "dies: [{kind: flat, length: .2, engaged_min: .1}]",
            "dies[1]",
            "no engaged",
            "beside engaged_min",
        ),
        (
            "dies: [{kind: flat, length: .2, engaged: .1, engaged_min: .2}]",
            "dies[1].engaged",
            "engaged below engaged_min",
            "engaged_min or more",
        ),
        ("tools: {B: {kind: bar, weight: 4}}", "tools.B.weight", "4", "2-1/2 lb"),
        ("tools: {B: {kind: bar, weight: 400 lb}}", "tools.B.weight", "400", "50 lb"),
        ("tools: {B: {kind: bar, weight: [4]}}", "tools.B.weight", "list", "50 lb"),
        (
            "tools: {Y: {kind: yoke, weight: 4 lb}}",
            "tools.Y.weight",
            "weight at a yoke",
            "weight at a bar",
        ),
        (
            "tools: {B: {kind: bar, jaw_is_die: yes}}",
            "tools.B.jaw_is_die",
            "jaw_is_die at a bar",
            "a yoke",
        ),
        (
            "tools: {Y: {kind: yoke, stiffness: 300 lbf/in}}",
            "tools.Y.stiffness",
            "300 lbf/in",
            "10000 lbf/in to 10000000 lbf/in",
        ),
        (
            "squeezers: [{title: a, force: 3000 lbf}]",
            "squeezers[1]",
            "no pressure",
            "belong together",
        ),
        (
            "squeezers: [{title: a, kind: hand, bore: 2}]",
            "squeezers[1].bore",
            "bore at a hand squeezer",
            "a pneumatic squeezer",
        ),
        (
            "squeezers: [{title: a, lever_ratio: 10}]",
            "squeezers[1].lever_ratio",
            "lever_ratio at a pneumatic squeezer",
            "a hand squeezer",
        ),
        (
            "squeezers: [{title: a, kind: hand, lever_ratio: 500}]",
            "squeezers[1].lever_ratio",
            "500",
            "1 to 100",
        ),
        ("guns: [{largest: 1/8}]", "guns[1].title", "no title", "title"),
        ("gun_sets: [{kind: cone}]", "gun_sets[1].kind", "cone", "flush"),
        ("compressor: {tank: 2}", "compressor.tank", "2", "2 gal, 24 l"),
        ("compressor: {tank: 2000 gal}", "compressor.tank", "2000", "500 gal"),
        ("compressor: {free_air: 2 psi}", "compressor.free_air", "2 psi", "2.4 cfm"),
        ("compressor: {stops: 125 bar}", "compressor.stops", "125 bar", "250 psi"),
        (
            "compressor: {starts: 125 psi, stops: 95 psi}",
            "compressor.starts",
            "starts not below stops",
            "starts below stops",
        ),
        ("air_line: [{kind: regulator}]", "air_line[1]", "no set", "regulator"),
        ("air_line: [{kind: hose, bore: 1/4}]", "air_line[1]", "no length", "hose"),
        ("air_line: [{kind: pipe, length: 1 m}]", "air_line[1]", "no bore", "pipe"),
        (
            "air_line: [{kind: hose, bore: 1/4, length: 25}]",
            "air_line[1].length",
            "25",
            "25 ft, 7.5 m",
        ),
        (
            "air_line: [{kind: hose, bore: 10, length: 1 m}]",
            "air_line[1].bore",
            "10",
            "2.362 in",
        ),
        (
            "air_line: [{kind: pedal, set: 90 psi}]",
            "air_line[1].set",
            "set at a pedal",
            "a regulator",
        ),
        (
            "air_line: [{kind: regulator, set: 90 psi, cv: 1}]",
            "air_line[1].cv",
            "cv at a regulator",
            "coupler or pedal",
        ),
        ("air_line: [{kind: coupler, cv: 0}]", "air_line[1].cv", "0", "0.01 to 50"),
        ("air_line: [{kind: tap}]", "air_line[1].kind", "tap", "coupler"),
    ],
)
def test_tool_or_air_is_refused_with_its_field(
    more: str, field: str, found: str, allowed: str
) -> None:
    """One slip in a small shop gives one fault with what is allowed and what to do."""
    with pytest.raises(PlanRefused) as refused:
        read_shop_bytes(SMALL + more.encode(), "shop.yaml")
    (fault,) = refused.value.faults
    assert (fault.line, fault.field) == (5, field)
    assert found in fault.found
    assert allowed in fault.allowed
    assert fault.do


def test_stock_code_is_written_one_way() -> None:
    """An older number with a space becomes the present one."""
    shop = read_shop_bytes(TEXT.replace("MS20470AD4-5:", "AN470 AD4-5:").encode(), "s")
    assert {one.code: one.count for one in shop.stock}["MS20470AD4-5"] == 6


@pytest.mark.parametrize(
    ("old", "new", "field", "found", "allowed"),
    [
        ("Europe/London", "Europe/Londn", "time_zone", "Europe/Londn", "Europe/London"),
        ('"21:00"', '"9 pm"', "quiet_after", "9 pm", "21:00"),
        ("role: builder}", "role: bilder}", "people.builder.role", "bilder", "builder"),
        ("hours: 3,", "hours: 33,", "calendar[3].hours", "33", "0 to 24"),
        ("kind: yoke, title: deep", "kind: jaw", "tools.Y2.kind", "jaw", "yoke"),
        (
            "largest: 1/8, jumps",
            "largest: .13, jumps",
            "tools.Y4.largest",
            ".13",
            "1/32",
        ),
        (
            "largest: 1/8, jumps",
            "largest: [1], jumps",
            "tools.Y4.largest",
            "list",
            "1/32",
        ),
        (
            "largest: 1/8, jumps",
            "largest: big, jumps",
            "tools.Y4.largest",
            "big",
            "1/32",
        ),
        (", due: 2026-12-04", ", due: soon", "tools.BB3.due", "soon", "2026-01-31"),
        (
            "state: on order, due: 2026-12-04",
            "due: 2026-12-04",
            "tools.BB3.due",
            "2026-12-04",
            "state: on order",
        ),
        ("3000 lbf", "3000 kg", "squeezers[1].force", "3000 kg", "lbf"),
        ("pressure: 90 psi", "pressure: 90 atm", "squeezers[1].pressure", "atm", "psi"),
        ("flat, length: .375", "flat, length: 0", "dies[3].length", "0", "more than 0"),
        ("spare: 10 %", "spare: much", "spare", "much", "0 to 1"),
        ("5/32: 8}", "7 mm: 8}", "holders.7 mm", "7 mm", "1/32"),
        (
            "MS20470AD4-5: 6",
            "MS20470XX4-5: 6",
            "opening.stock.MS20470XX4-5",
            "MS20470XX4-5",
            "material letters",
        ),
        (
            "MS20470AD4-5: 6",
            "MS20470AD4-5: -6",
            "opening.stock.MS20470AD4-5",
            "-6",
            "whole number from 0",
        ),
        (
            "minutes: 40",
            "minutes: long",
            "opening.hours[1].minutes",
            "long",
            "a number",
        ),
        ("id: garage", "id: my garage", "id", "my garage", "without spaces"),
    ],
)
def test_shop_is_refused_with_line_and_field(
    old: str, new: str, field: str, found: str, allowed: str
) -> None:
    """One change of the example gives one fault at its line."""
    assert TEXT.count(old) == 1
    text = TEXT.replace(old, new)
    line = text[: text.index(new)].count("\n") + 1
    with pytest.raises(PlanRefused) as refused:
        read_shop_bytes(text.encode(), "shop.yaml")
    (fault,) = refused.value.faults
    assert (fault.line, fault.field) == (line, field)
    assert found in fault.found
    assert allowed in fault.allowed
    assert fault.do

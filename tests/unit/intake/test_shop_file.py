"""A shop file is read whole, or refused with its lines."""

from __future__ import annotations

from pathlib import Path

import pytest

from rivetwright.errors import PlanRefused
from rivetwright.intake.shop_file import read_shop, read_shop_bytes

SHOP = Path(__file__).parents[3] / "examples" / "ostrel" / "shop.yaml"
TEXT = SHOP.read_text("utf-8")


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

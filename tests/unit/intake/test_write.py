"""Plans, shops and bulletins read back equal when they are written."""

from __future__ import annotations

from dataclasses import fields, replace
from fractions import Fraction
from pathlib import Path

import pytest

from rivetwright.intake.bulletin_file import read_bulletin, read_bulletin_bytes
from rivetwright.intake.lay_out import (
    WIDTH,
    Block,
    exact_length,
    length,
    lines,
    number,
    quantity,
    text,
)
from rivetwright.intake.plan_file import read_plan, read_plan_text
from rivetwright.intake.shop_file import read_shop, read_shop_bytes
from rivetwright.intake.write_bulletin import write_bulletin
from rivetwright.intake.write_plan import write_plan
from rivetwright.intake.write_shop import write_shop
from rivetwright.units.force import KPA_PER_BAR, KPA_PER_PSI

EXAMPLES = Path(__file__).parents[3] / "examples" / "ostrel"


@pytest.mark.parametrize("name", ["aileron", "root-rib", "flap"])
def test_example_reads_back_equal_when_written(name: str) -> None:
    """Nothing of a plan is lost on the way through its text."""
    plan = read_plan(EXAMPLES / f"{name}.yaml")
    assert read_plan_text(write_plan(plan), plan.file) == plan


def test_shop_reads_back_equal_when_written() -> None:
    """Nothing of a shop is lost, forces and pressures included."""
    shop = read_shop(EXAMPLES / "shop.yaml")
    assert read_shop_bytes(write_shop(shop).encode(), "shop") == shop
    odd = replace(
        shop, unit="mm", squeezers=(replace(shop.squeezers[0], force_n=12345.6),)
    )
    assert read_shop_bytes(write_shop(odd).encode(), "shop") == odd


def test_every_field_of_a_shop_reads_back_equal() -> None:
    """The page's example has every field of tools, dies and air at least once."""
    page = (EXAMPLES.parents[1] / "docs" / "shop-file.md").read_text("utf-8")
    shop = read_shop_bytes(page.split("```yaml\n")[1].split("```")[0].encode(), "page")
    for things in (shop.tools, shop.squeezers, shop.dies, shop.gun_sets, shop.air_line):
        for field in fields(things[0]):
            usual = field.default
            assert any(getattr(one, field.name) != usual for one in things), field.name
    assert read_shop_bytes(write_shop(shop).encode(), "shop") == shop


def test_quantity_is_in_the_unit_that_needs_the_fewest_figures() -> None:
    """6 bar stays 6 bar, 90 psi stays 90 psi; 33.3... kPa are no short psi.

    What no gauge could show is nought.
    """
    units = {"psi": KPA_PER_PSI, "bar": KPA_PER_BAR}
    assert quantity(600.0, units) == "6 bar"
    assert quantity(float(90 * KPA_PER_PSI), units) == "90 psi"
    shown, unit = quantity(100 / 3, units).split()
    assert float(Fraction(shown) * units[unit]) == 100 / 3
    assert quantity(1e-300, units) == "0 psi"


def test_bulletin_reads_back_equal_when_written() -> None:
    """Nothing of a bulletin is lost; replaced rows keep the plan's ids."""
    plan = read_plan(EXAMPLES / "root-rib.yaml")
    bulletin = read_bulletin(EXAMPLES / "sb-07.yaml", plan)
    again = write_bulletin(bulletin, plan).encode()
    assert read_bulletin_bytes(again, "sb", plan) == bulletin


@pytest.mark.parametrize(
    ("written", "shown"),
    [
        ("2024-T3", "2024-T3"),
        ("A12:18-20", "A12:18-20"),
        ("503 dimple", "503 dimple"),
        ("-.7", "-.7"),
        ("", '""'),
        ("null", '"null"'),
        ("a: b", '"a: b"'),
        ("#40", '"#40"'),
        ("a, b", '"a, b"'),
        ("- a", '"- a"'),
        ("line\nline", '"line\\nline"'),
        ("a\u2028b", '"a\\u2028b"'),
        ("two  spaces", '"two  spaces"'),
    ],
)
def test_text_is_quoted_where_it_must(written: str, shown: str) -> None:
    """Quotes stand only where YAML would read something else."""
    assert text(written) == shown


def test_length_is_the_shortest_that_reads_back() -> None:
    """0.032 in is 0.8128 mm; a third of a millimetre has no short decimal."""
    assert length(0.8128, "in") == ".032"
    assert length(0.8128, "mm") == "0.8128"
    assert length(-17.78, "in") == "-.7"
    assert float(Fraction(length(1 / 3, "mm"))) == 1 / 3


def test_exact_length_is_a_fraction_where_no_decimal_is_exact() -> None:
    """1 mm is 5/127 in."""
    assert exact_length(Fraction(1), "in") == "5/127"
    assert exact_length(Fraction(127, 40), "in") == ".125"


def test_number_drops_a_useless_nought() -> None:
    """Whole numbers are written whole."""
    assert (number(30.0), number(2.5)) == ("30", "2.5")


def test_long_entry_is_filled_into_lines() -> None:
    """An entry wider than a line goes on under its first field."""
    many = [f"A{k}" for k in range(40)]
    shown = list(lines(Block({"set": many})))
    assert len(shown) > 1
    assert all(len(line) <= WIDTH for line in shown)
    assert shown[1].startswith("      A")

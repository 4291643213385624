"""What to order on 2026-11-25, worked by hand from the scenario's tables.

Need by code, from the tables of rows, holes left open and the bulletin's rows; "sure"
leaves out what a finding doubts. Spare: 10 % rounded up, at least 5.

    MS20426AD3-3    A17 A18 12 + A19-A22 32 + B11 20 + B12 20 + B15-B18 8 + C8-C12 70
                    = 162, spare 17; on hand 140: 39 short, smallest order 100
    MS20470AD5-8    B5:6-7 with 903 = 2, spare 5; none on hand: 7 short, order 100
    BF4-2           C15-C18 28 if the supplier agrees, spare 5; on hand 20: 13 short
    MS20470AD4-5    B9 and B10 after SB-07 = 8 (four of them must come out first),
                    spare 5; on hand 6, 20 come with kit SB-07K on 2026-12-09: enough
    MS20426AD3-3.5  A11:37 = 1 sure, A11:1-36 if the supplier agrees; on hand 60
    MS20426AD3-2.5  A11:1-36 = 36 as drawn; on hand 45
    MS20470AD4-5.5  B3 B4 6 sure, A1 A2 6 if so: 12, spare 5; on hand 25
    MS20470AD4-4.5  C6 C7 4 sure, A1 A2 6 as drawn; on hand 40
    MS20470AD4-4    B8 5 + B14 5 + B19 5 + C1-C4 12 = 27, spare 5; on hand 60
    MS20470AD5-7    B5:1-5 5 + C5 3 = 8, spare 5; on hand 14
    MS20470AD3-3.5  C19 42, spare 5; on hand 50.  MS20426AD4-5: C13 C14 35, on hand 60
    BD4-2           A12 37, spare 5; on hand 45.  BF4-1: C15-C18 28 as drawn
    (A23-A26: 4 holes of which nobody knows what goes in, question Q-1)
"""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from datetime import UTC, date, datetime
from pathlib import Path

import pytest

from rivetwright.bench.stock import Stock, stock_of
from rivetwright.bench.workshop import Workshop
from rivetwright.engines.stock.need import Arrival
from rivetwright.engines.stock.stand_ins import Way
from rivetwright.engines.stock.wants import Sureness

NOW = datetime(2026, 11, 25, 19, 0, tzinfo=UTC)
SURE, IF_SO, AS_DRAWN = Sureness.SURE, Sureness.IF_SO, Sureness.AS_DRAWN

# Code: sure, if so, as drawn, spare, on hand.
WORKED = {
    "BD4-2": (37, 0, 0, 5, 45),
    "BF4-1": (0, 0, 28, 0, 60),
    "BF4-2": (0, 28, 0, 0, 20),
    "MS20426AD3-2.5": (0, 0, 36, 0, 45),
    "MS20426AD3-3": (162, 0, 0, 17, 140),
    "MS20426AD3-3.5": (1, 36, 0, 5, 60),
    "MS20426AD4-5": (35, 0, 0, 5, 60),
    "MS20470AD3-3": (0, 0, 0, 0, 30),
    "MS20470AD3-3.5": (42, 0, 0, 5, 50),
    "MS20470AD4-4": (27, 0, 0, 5, 60),
    "MS20470AD4-4.5": (4, 0, 6, 5, 40),
    "MS20470AD4-5": (8, 0, 0, 5, 6),
    "MS20470AD4-5.5": (6, 6, 0, 5, 25),
    "MS20470AD5-7": (8, 0, 0, 5, 14),
    "MS20470AD5-8": (2, 0, 0, 5, 0),
}


@pytest.fixture(scope="module", params=("file", "record"))
def stock(
    root: Path, tmp_path_factory: pytest.TempPathFactory, request: pytest.FixtureRequest
) -> Iterator[Stock]:
    """The demo's stock: by its files alone, and by its record."""
    folder = tmp_path_factory.mktemp("stock") / "ostrel"
    shutil.copytree(root / "examples" / "ostrel", folder)
    workshop = Workshop(folder, clock=lambda: NOW)
    if request.param == "record":
        assert workshop.begin()
    yield stock_of(workshop)
    workshop.close()


def test_every_code_is_counted_as_by_hand(stock: Stock) -> None:
    """The table above, code by code."""
    found = {
        need.code: (
            need.needed,
            need.count(IF_SO),
            need.count(AS_DRAWN),
            need.spare,
            need.drawer.on_hand,
        )
        for need in stock.needs
    }
    assert found == WORKED


def test_what_to_order(stock: Stock) -> None:
    """Two codes surely, one only if the answer says so; each in the smallest order."""
    orders = [(one.code, one.count, one.short, one.is_sure) for one in stock.orders]
    assert orders == [
        ("MS20470AD5-8", 100, 7, True),
        ("MS20426AD3-3", 100, 39, True),
        ("BF4-2", 100, 13, False),
    ]


def test_shortages_by_when_they_bite(stock: Stock) -> None:
    """140 of -3 last through 12 + 8 + 32 + 70 = 122; of wing-7's 20 two go without.

    Both B5:6-7 go without; BF4-2 runs out after 20 of flap-7's 28. No day is known for
    the first two: they wait for the wing kit and for 903, neither ordered.
    """
    bites = {one.code: one.bites for one in stock.orders}
    assert {
        code: (bite.wanted.step, bite.missing, bite.wanted.when.waits_for)
        for code, bite in bites.items()
        if bite is not None
    } == {
        "MS20470AD5-8": ("rib-4", 2, "903"),
        "MS20426AD3-3": ("wing-7", 2, "wing kit"),
        "BF4-2": ("flap-7", 8, ""),
    }


def test_the_kit_of_the_bulletin_covers_its_rivets(stock: Stock) -> None:
    """Eight at rib-7 from 2026-12-09, when 621 comes; 20 come in the same kit."""
    need = stock.need("MS20470AD4-5")
    assert need is not None
    assert need.drawer.arrivals == (Arrival(20, date(2026, 12, 9), "SB-07K"),)
    assert {one.step for one in need.wants} == {"rib-7"}
    assert {one.when.day for one in need.wants} == {date(2026, 12, 9)}
    assert (need.short, need.bites) == (0, None)


def test_nobody_knows_what_goes_into_four_holes(stock: Stock) -> None:
    """A23 to A26: open question Q-1, hold D10."""
    (one,) = stock.unknown
    holes = stock.assembly_of(one).worked_plan.worked.holes
    names = [holes.name(hole) for hole in one.holes]
    assert (names, one.because) == (["A23:1", "A24:1", "A25:1", "A26:1"], "D10")


def test_stand_ins_only_where_a_source_allows(stock: Stock) -> None:
    """-3.5 flush has 60 - 37 - 5 = 18 to spare and may be cut to -3.

    14 of AD5-7 less 8 and 5 leave one; its length is legal by volume but not drawn, so
    it is to be asked for. Nothing stands in for a blind rivet.
    """
    found = {
        line.code: [
            (one.code, one.spared, one.way) for one in stock.stand_ins(line.need)
        ]
        for line in stock.orders
    }
    assert found == {
        "MS20426AD3-3": [("MS20426AD3-3.5", 18, Way.CUT)],
        "MS20470AD5-8": [("MS20470AD5-7", 1, Way.ASK_LENGTH)],
        "BF4-2": [],
    }


def test_sheet_holders_last(stock: Stock) -> None:
    """Every second hole: 32 of 1/8 for flap-6 to flap-8, of 63; 40 are owned.

    3/32: A13 to A18 36, A19 to A26 36, A11 37: 109 holes from aileron-4 to the
    inspection, so 55; 80 are owned.
    """
    by_size = {one.diameter_32nds: one for one in stock.holders}
    assert (by_size[4].wanted, by_size[4].owned) == (32, 40)
    assert (by_size[3].wanted, by_size[3].owned) == (55, 80)
    assert by_size[4].steps == ("flap-6", "flap-7", "flap-8")
    assert all(not one.short for one in stock.holders)

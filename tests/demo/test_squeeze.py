"""The demo's set-ups with the demo's own dies, pins and shims (INVENTED).

Worked by hand from the scenario: closed height 0.760 of the deep yoke Y2; gap wanted
= grip + dimple stand-off + head (0.060 for 1/8, 0.044 for 3/32) + universal head
(0.054, 0.040); band 0.050 to 0.070, 0.038 to 0.050. Its stand-off is the middle of
(head - hole) / 2 / tan 50 and of that less (1 - sin 50) of the dimpled sheets.
Yoke spring is not in these numbers. Sizes in inches.
"""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from rivetwright.engines.plan import WorkedPlan
from rivetwright.engines.squeeze.cover import cover
from rivetwright.engines.squeeze.dimpling import dimple_set_ups
from rivetwright.engines.squeeze.set_up import SetUp, Verdict
from rivetwright.engines.squeeze.set_ups import set_up_of, set_ups
from rivetwright.engines.worked import Worked
from rivetwright.errors import NotFound
from rivetwright.intake.shop_file import read_shop
from rivetwright.model.shop import Shop

IN = 25.4
AIR = "pneumatic squeezer"
FILES = {"A": "aileron", "B": "root-rib", "C": "flap"}


@pytest.fixture(scope="module")
def shop(root: Path) -> Shop:
    """The demo's shop."""
    return read_shop(root / "examples" / "ostrel" / "shop.yaml")


def set_up(
    demo: dict[str, WorkedPlan], shop: Shop, name: str, yoke: str = "Y2"
) -> SetUp:
    """The set-up of one hole of the demo with the pneumatic squeezer."""
    worked = demo[FILES[name[0]]].worked
    return set_up_of(worked, shop, worked.holes.index(name), yoke, AIR)


# hole; gap wanted; closed height less dies; shims; head = gap - (wanted - head aimed)
BY_HAND = [
    ("A5:1", 0.269, 0.280, (0.010,), 0.061),
    ("A3:1", 0.179, 0.280, (0.063, 0.032), 0.066),
    ("A9:1", 0.164, 0.280, (0.063, 0.032, 0.020), 0.061),
    ("B1:1", 0.209, 0.280, (0.063, 0.010), 0.058),
    ("B3:1", 0.259, 0.280, (0.020,), 0.061),
    ("B7:1", 0.186, 0.280, (0.063, 0.020, 0.010), 0.061),
    ("B13:1", 0.134, 0.145, (0.010,), 0.045),
    ("B14:1", 0.171, 0.280, (0.063, 0.032, 0.010), 0.064),
    ("C6:1", 0.202, 0.280, (0.063, 0.010), 0.065),
    ("C13:1", 0.172, 0.260, (0.063, 0.020), 0.065),
]


@pytest.mark.parametrize(("hole", "wanted", "bare", "shims", "head"), BY_HAND)
def test_plain_rows_are_set_up_as_by_hand(
    demo: dict[str, WorkedPlan],
    shop: Shop,
    hole: str,
    wanted: float,
    bare: float,
    shims: tuple[float, ...],
    head: float,
) -> None:
    """Dies and shims leave the gap whose head is the thicker one, clear of limits."""
    found = set_up(demo, shop, hole)
    assert found.wanted_mm.central / IN == pytest.approx(wanted)
    assert found.gap_mm is not None
    assert found.gap_mm / IN == pytest.approx(bare - sum(shims))
    assert found.pieces is not None
    assert sorted(found.pieces.shims_mm) == pytest.approx(
        sorted(shim * IN for shim in shims)
    )
    assert found.head_mm is not None
    assert found.head_mm.central / IN == pytest.approx(head)
    assert found.verdict is Verdict.IN_BAND


@pytest.mark.parametrize(
    ("hole", "wanted", "least", "most"),
    [
        ("A11:1", 0.070 + 0.0258 + 0.044, 0.0176, 0.0340),
        ("A13:1", 0.040 + 0.0293 + 0.044, 0.0246, 0.0340),
        ("C12:1", 0.057 + 0.0273 + 0.044, 0.0206, 0.0340),
    ],
)
def test_dimpled_rows_count_their_stand_off(
    demo: dict[str, WorkedPlan],
    shop: Shop,
    hole: str,
    wanted: float,
    least: float,
    most: float,
) -> None:
    """Three, two and two dimpled sheets: the cone stands proud under the shop head."""
    found = set_up(demo, shop, hole, "Y1")
    assert found.wanted_mm.central / IN == pytest.approx(wanted, abs=1e-4)
    assert found.stand_off_mm.low / IN == pytest.approx(least, abs=1e-4)
    assert found.stand_off_mm.high / IN == pytest.approx(most, abs=1e-4)
    assert found.needs_scrap


def test_trailing_edge_row_in_the_thin_yoke(
    demo: dict[str, WorkedPlan], shop: Shop
) -> None:
    """C19 in Y3, whose jaw is the die: 0.455 - 0.240 = 0.215, wanted 0.169.

    Shims 0.032 + 0.010 leave 0.173 and a head of 0.048; nothing thicker is inside.
    """
    yokes = [replace(t, has_fixed_die=t.id == "Y3") for t in shop.tools]
    found = set_up(demo, replace(shop, tools=tuple(yokes)), "C19:1", "Y3")
    assert found.pieces is not None
    assert found.pieces.fixed is None
    assert found.gap_mm is not None
    assert found.gap_mm / IN == pytest.approx(0.173)
    assert found.head_mm is not None
    assert found.head_mm.central / IN == pytest.approx(0.048)


def test_rows_over_the_rating_have_no_set_up(
    demo: dict[str, WorkedPlan], shop: Shop
) -> None:
    """P6: 5/32 in C5 is over the squeezer's rating, whatever the plan says."""
    with pytest.raises(NotFound):
        set_up(demo, shop, "C5:1")


def holds(found: SetUp, worked: Worked) -> Verdict:
    """In band; but P1: A11's -2.5 makes about .096 in at mid height, .122 is least."""
    callout = str(worked.stacks.classes[found.hole_class].callout)
    return Verdict.TOO_NARROW if callout == "MS20426AD3-2.5" else Verdict.IN_BAND


def test_every_measured_yoke_holds_the_band_in_every_row(
    demo: dict[str, WorkedPlan], shop: Shop
) -> None:
    """The stock of the demo suffices: only the yoke on order was not measured."""
    for plan in demo.values():
        for found in set_ups(plan.worked, shop):
            is_measured = found.yoke.closed_height_mm is not None
            expected = (
                holds(found, plan.worked) if is_measured else Verdict.NOT_MEASURED
            )
            assert found.verdict is expected, found.yoke.id


def test_whole_project_needs_one_yoke_and_all_of_the_shims(
    demo: dict[str, WorkedPlan], shop: Shop
) -> None:
    """Without a thought to reach, Y1 alone holds every band; nothing is to be bought.

    Only 5/32, over every rating, is lost to the squeezer: B5 and C5 as they stand,
    and B5 with the tank bracket in its stack.
    """
    found = cover([plan.worked for plan in demo.values()], shop)
    assert len(found.yokes) == 1
    assert not found.shims_to_buy
    assert not found.dies_to_buy
    lost = {
        demo[list(FILES.values())[job.plan]].worked.stacks.classes[job.hole_class]
        for job in found.lost
    }
    assert {str(one.callout) for one in lost} == {"MS20470AD5-7", "MS20470AD5-8"}
    kept = found.part_of(shop)
    for plan in demo.values():
        for one in set_ups(plan.worked, kept):
            assert one.verdict is holds(one, plan.worked)


def test_dimple_dies_touch_in_the_yokes_that_take_them(
    demo: dict[str, WorkedPlan], shop: Shop
) -> None:
    """0.400 + 0.353 + shim 0.010 in 0.760: 0.003 past touching in Y1 and Y2."""
    for found in dimple_set_ups(demo["aileron"].worked, shop):
        if found.yoke.id in ("Y1", "Y2"):
            assert found.verdict is Verdict.IN_BAND
            assert found.gap_mm is not None
            assert found.gap_mm / IN == pytest.approx(-0.003)

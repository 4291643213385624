"""What a head was set with: as told before, as its set-up names it, or not told."""

from __future__ import annotations

from rivetwright.bench.head_tools import moved_since, set_with, usual_with
from rivetwright.bench.heads import Heads
from rivetwright.bench.workshop import Workshop
from tests.unit.bench.conftest import Phone


def test_tool_is_told_only_where_something_tells_it(
    workshop: Workshop, phone: Phone
) -> None:
    """Set with "squeezer": no yoke is guessed; told for one head, it is the next's.

    A rivet whose own set-up names Y1 was set with Y1.
    """
    assembly = workshop.now().assembly("aileron")
    hole = workshop.hole_ids("aileron").holes.index

    def heads() -> Heads:
        return Heads(assembly.worked_plan, workshop.state())

    shop = workshop.read().project.shop
    choices = set_with(assembly.worked_plan, shop, hole("A5:3"))
    assert {one.yoke for one in choices} >= {"Y1", "Y2"}
    assert usual_with(heads(), choices, hole("A5:3")) is None
    told = {"squeezer": choices[0].squeezer, "yoke": "Y2", "die_gap_mm": 6.4}
    phone.record("head-checked", "A5:3", height_mm=1.6, **told)
    usual = usual_with(heads(), choices, hole("A6:1"))
    assert usual is not None
    assert usual.yoke == "Y2"
    moved = moved_since(heads(), choices, hole("A6:1"))
    (y2,) = (one for one in moved if one.key == usual.key)
    assert (y2.before_mm, y2.gap_mm) == (6.4, usual.gap_mm)
    assert all(one.before_mm is None for one in moved if one.key != usual.key)
    key = "MS20426AD3-3|503 + 502|Y1,Y4"
    phone.record("rivets-set", "A17:1", callout="MS20426AD3-3", setup=key)
    flush = set_with(assembly.worked_plan, shop, hole("A17:1"))
    usual = usual_with(heads(), flush, hole("A17:1"))
    assert usual is not None
    assert usual.yoke == "Y1"

"""Parts that lie beside a hole, on the head's and on the shop head's side."""

from __future__ import annotations

import math
from typing import Any

import pytest

from rivetwright.engines.plan import WorkedPlan
from rivetwright.engines.worked import working
from rivetwright.model.outline import CutOut, Layer
from rivetwright.model.plan import FAR, SKETCHED
from tests.unit.engines.small import box, codes, inches, row, worked

CODE = "MS20470AD4-4"


def at(*layers: Layer, **more: Any) -> WorkedPlan:
    """One 1/8 universal hole at (50, 25)."""
    return worked(row("R", CODE, (50, 25), **more), layers=layers)


def step(found: WorkedPlan, side: str) -> tuple[float, str]:
    """Distance to the step on one side, and whose it is."""
    name = f"step_distance_{side}_mm"
    witness = working(found.worked, name, 0).witness
    part = str(witness.fields["part"]) if witness else ""
    return float(found.worked.at(name, 0)), part


def test_circles_of_the_two_heads() -> None:
    """1/8 universal: head .250 wide, so .125; shop head 1.75 x .125 / 2 = .1094."""
    found = at(box("a"), box("b"))
    assert inches(found, "head_radius_mm") == pytest.approx(0.125)
    assert inches(found, "shop_circle_radius_mm") == pytest.approx(0.109375)
    assert inches(found, "head_circle_mm") == pytest.approx(0.125)


def test_part_on_the_near_side_is_under_the_head() -> None:
    """A doubler on the near side ends 2 mm from the hole: a step for the head."""
    found = at(box("doubler", u=(52, 90)), box("skin"), box("rib"))
    assert step(found, "head") == (2.0, "doubler")
    assert math.isnan(step(found, "shop")[0])
    assert "CLEAR-02" in codes(found)
    assert "CLEAR-03" not in codes(found)


def test_part_on_the_far_side_is_under_the_shop_head() -> None:
    """The same part behind the rib; turned round when the head is on the far side."""
    layers = [box("skin"), box("rib"), box("angle", u=(52, 90))]
    found = at(*layers)
    assert step(found, "shop") == (2.0, "angle")
    assert "CLEAR-03" in codes(found)
    turned = at(*layers, head_side=FAR)
    assert step(turned, "head") == (2.0, "angle")


def test_part_out_of_reach_is_no_step() -> None:
    """4 mm away, the head needs 3.175: nothing is found."""
    found = at(box("doubler", u=(54, 90)), box("skin"), box("rib"))
    assert math.isnan(step(found, "head")[0])


def test_rim_of_a_hole_in_the_part_above_is_a_step() -> None:
    """The rivet stands in a lightening hole of the near part, 2 mm from its rim."""
    over = box("web", cuts=(CutOut((50, 25 - 8), 10.0),))
    found = at(over, box("skin"), box("rib"))
    assert step(found, "head") == (2.0, "web")


def test_part_beside_on_the_same_sheet_is_no_step() -> None:
    """Two ribs side by side on one skin, listed either way: none is above the other."""
    mine, other = box("mine", u=(0, 51)), box("other", u=(52, 100))
    for layers in ([box("skin"), mine, other], [box("skin"), other, mine]):
        found = at(*layers)
        assert math.isnan(step(found, "shop")[0])


def test_part_that_comes_later_is_no_step_yet() -> None:
    """The angle is put on at step 2, the hole is set at step 1."""
    late = box("angle", u=(52, 90), from_step="2")
    found = at(box("skin"), box("rib"), late)
    assert math.isnan(step(found, "shop")[0])


def test_of_parts_equally_near_the_first_by_name() -> None:
    """2 mm on either side: part a, whichever is listed first."""
    left, right = box("b", u=(10, 48)), box("a", u=(52, 90))
    for near in ([left, right], [right, left]):
        found = at(*near, box("skin"), box("rib"))
        assert step(found, "head") == (2.0, "a")


def test_sketched_place_has_no_step() -> None:
    """No distance and no part is named for a place by eye."""
    found = at(box("doubler", u=(52, 90)), box("skin"), box("rib"), places=SKETCHED)
    assert math.isnan(step(found, "head")[0])
    assert step(found, "head")[1] == ""

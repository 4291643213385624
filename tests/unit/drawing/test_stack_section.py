"""The section shows every sheet, the rivet and the head to be expected, to scale."""

from __future__ import annotations

import re

import pytest

from rivetwright.drawing.stack_section import section_hole, stack_section_svg
from tests.unit.drawing.pictures import DEMO, demo, of_class, read, small, view_box


def section(name: str, hole: str, **more: float):
    """The section at a hole of the demo."""
    plan = demo(name)
    return read(stack_section_svg(plan, plan.worked.holes.index(hole), **more))


def extent(path) -> tuple[float, float, float, float]:
    """Left, top, right and bottom of a path."""
    numbers = [float(n) for n in re.findall(r"-?[\d.]+", path.get("d", ""))]
    x, y = numbers[::2], numbers[1::2]
    return min(x), min(y), max(x), max(y)


def words(picture) -> list[str]:
    """Every word in a picture."""
    return [e.text or "" for e in picture.iter() if e.tag.endswith("text")]


def test_sheets_have_their_thickness() -> None:
    """A1: .040, .025 and .090 in, both halves, one under the other."""
    picture = section("aileron", "A1:1")
    edges = [extent(path) for path in of_class(picture, "sheet")]
    tops = [0, 1.016, 1.651, 3.937]
    for k in range(3):
        for half in edges[2 * k : 2 * k + 2]:
            assert half[1::2] == pytest.approx((tops[k], tops[k + 1]), abs=0.001)


def test_the_shop_head_has_the_width_and_height_that_are_named() -> None:
    """B5: what the columns expect is what is drawn."""
    plan = demo("root-rib")
    hole = plan.worked.holes.index("B5:1")
    width = float(plan.worked.at("head_width_mm", hole))
    height = float(plan.worked.at("head_height_aim_mm", hole))
    (rivet,) = of_class(section("root-rib", "B5:1"), "rivet")
    numbers = [float(n) for n in re.findall(r"-?[\d.]+", rivet.get("d", ""))]
    points = list(zip(numbers[::2], numbers[1::2], strict=True))
    grip = 0.220 * 25.4
    below = [abs(x) for x, y in points if y > grip + 0.001]
    assert 2 * max(below) == pytest.approx(width, abs=0.01)
    assert max(y for _, y in points) == pytest.approx(grip + height, abs=0.002)


def test_figures_stand_beside_it_in_the_plan_s_unit() -> None:
    """Grip .220 in, and 1.80 mm in a plan in millimetres."""
    assert "grip .220" in words(section("root-rib", "B5:1"))
    in_mm = read(stack_section_svg(small(), small().worked.holes.index("R1:1")))
    assert "grip 1.80" in words(in_mm)


def test_each_sheet_is_named_with_its_preparation() -> None:
    """C13: two dimples nested in a countersink, manufactured head first."""
    assert words(section("flap", "C13:2"))[:3] == [
        "707  .020  dimple",
        "701  .032  dimple",
        "709A  .060  countersink",
    ]


def test_a_blind_rivet_promises_no_shop_head() -> None:
    """It makes its own far end; the outline is dashed."""
    picture = section("flap", "C15:1")
    (rivet,) = of_class(picture, "rivet")
    assert rivet.get("stroke-dasharray")
    assert any("blind" in text for text in words(picture))
    assert not any("width" in text for text in words(picture))


@pytest.mark.parametrize("name", DEMO)
def test_nothing_lies_outside_the_picture(name: str) -> None:
    """Every class of holes of the demo can be drawn, and fits its frame."""
    plan = demo(name)
    kinds = plan.worked.stacks.class_of.tolist()
    for hole in {kind: hole for hole, kind in enumerate(kinds)}.values():
        picture = read(stack_section_svg(plan, hole))
        left, top, right, bottom = view_box(picture)
        for path in (e for e in picture.iter() if e.get("d")):
            x0, y0, x1, y1 = extent(path)
            assert left <= x0
            assert x1 <= right
            assert top <= y0
            assert y1 <= bottom


def test_the_drawing_can_be_asked_smaller_beside_the_same_letters() -> None:
    """Half as large as drawn, the scale doubles."""
    full, half = (section("aileron", "A1:1", side_drawn_mm=s) for s in (60.0, 30.0))
    ratio = float(half.get("data-scale", "")) / float(full.get("data-scale", ""))
    assert ratio == pytest.approx(2.0, abs=1e-4)


def test_a_hole_with_a_stack_is_found() -> None:
    """The first of those asked for; none among none."""
    assert section_hole(small(), [3, 4]) == 3
    assert section_hole(small(), []) is None

"""Between the jaws everything is drawn to scale, and every piece is named."""

from __future__ import annotations

import re
from dataclasses import replace
from functools import cache
from xml.etree.ElementTree import Element

import pytest

from rivetwright.drawing.die_stack import die_stack_svg, piece_words
from rivetwright.drawing.dimple_stack import dimple_stack_svg
from rivetwright.engines.plan import WorkedPlan, work_out
from rivetwright.engines.squeeze.dimpling import DimpleSetUp, dimple_set_ups
from rivetwright.engines.squeeze.set_up import SetUp
from rivetwright.engines.squeeze.set_ups import set_up_of
from rivetwright.intake.plan_file import read_plan
from rivetwright.intake.shop_file import read_shop
from rivetwright.model.shop import Shop
from tests.unit.drawing.pictures import ROOT, of_class, read, view_box

PNEUMATIC = "pneumatic squeezer"
INCH = 25.4


@cache
def shop() -> Shop:
    """The demo's garage."""
    return read_shop(ROOT / "examples" / "ostrel" / "shop.yaml")


@cache
def plan(name: str = "aileron") -> WorkedPlan:
    """A demo assembly worked out with the garage."""
    file = ROOT / "examples" / "ostrel" / f"{name}.yaml"
    return work_out(read_plan(file), shop=shop())


def set_up(hole: str, yoke: str) -> tuple[int, SetUp]:
    """The set-up of a hole of the aileron."""
    worked = plan().worked
    at = worked.holes.index(hole)
    return at, set_up_of(worked, shop(), at, yoke, PNEUMATIC)


def drawn(hole: str, yoke: str, **more: bool) -> Element:
    """The picture of a set-up of the aileron."""
    at, one = set_up(hole, yoke)
    svg = die_stack_svg(plan(), at, one, **more)
    assert svg is not None
    return read(svg)


def heights(path: Element) -> tuple[float, float]:
    """Top and bottom of a path."""
    numbers = [float(n) for n in re.findall(r"-?[\d.]+", path.get("d", ""))]
    return min(numbers[1::2]), max(numbers[1::2])


def words(picture: Element) -> list[str]:
    """Every word in a picture."""
    return [e.text or "" for e in picture.iter() if e.tag.endswith("text")]


def test_the_pieces_stand_on_each_other_with_their_lengths() -> None:
    """A5 in Y2: shim .010 on the cup .230, then gap, flat die .250 on the jaw.

    The ram's die ends at the bottom of its cup, the crown of the head: .054 in over
    the stack; the flat die begins under the shop head.
    """
    _, one = set_up("A5:1", "Y2")
    assert one.head_mm is not None
    metal = of_class(drawn("A5:1", "Y2"), "metal")
    _, shim, cup, flat, jaw = (heights(path) for path in metal)
    seat = -0.054 * INCH
    foot = (0.155 * INCH) + one.head_mm.central
    assert shim == pytest.approx((seat - 0.240 * INCH, seat - 0.230 * INCH), abs=0.002)
    assert cup[0] == pytest.approx(seat - 0.230 * INCH, abs=0.002)
    assert flat == pytest.approx((foot, foot + 0.250 * INCH), abs=0.002)
    assert jaw[0] == pytest.approx(foot + 0.250 * INCH, abs=0.002)


def test_all_of_it_is_as_high_as_the_yoke_when_closed() -> None:
    """Ram to jaw with no load is the closed height, .760 in; no spring is drawn here.

    The central spring of a yoke that was not measured is nought.
    """
    metal = of_class(drawn("A5:1", "Y2"), "metal")
    ram, jaw = heights(metal[0]), heights(metal[-1])
    assert jaw[0] - ram[1] == pytest.approx(0.760 * INCH, abs=0.003)


def test_the_rivet_fills_the_gap_from_die_to_die() -> None:
    """Head, stack and shop head together are the gap."""
    _, one = set_up("A5:1", "Y2")
    (rivet,) = of_class(drawn("A5:1", "Y2"), "rivet")
    top, bottom = heights(rivet)
    assert bottom - top == pytest.approx(one.gap_mm, abs=0.003)


def test_a_jaw_that_is_the_die_has_no_die_in_it() -> None:
    """Y3: ram end, three shims and the flat die above, the jaw below: six outlines."""
    _, one = set_up("A13:1", "Y3")
    assert one.pieces is not None
    count = 1 + len(one.pieces.shims_mm) + 1 + 1
    assert len(of_class(drawn("A13:1", "Y3"), "metal")) == count


def test_every_piece_and_dimension_is_named() -> None:
    """Pieces at the right, what makes up the gap at the left, in the plan's unit."""
    said = words(drawn("A5:1", "Y2"))
    for text in ("shim .010", "cup 1/8  .230", "flat  .250", "fixed jaw Y2"):
        assert text in said
    for text in ("gap .270", "head .054", "grip .155", "keep .050 to .070"):
        assert text in said
    assert "dimple .029" in words(drawn("A13:1", "Y3"))


@pytest.mark.parametrize(
    ("hole", "yoke"),
    [("A5:1", "Y2"), ("A11:1", "Y1"), ("A11:37", "Y1"), ("A13:1", "Y3")],
)
def test_nothing_written_is_cut_off(hole: str, yoke: str) -> None:
    """Every word stands between top and bottom of the picture."""
    picture = drawn(hole, yoke)
    _, top, _, bottom = view_box(picture)
    for text in (e for e in picture.iter() if e.tag.endswith("text")):
        assert top < float(text.get("y", "")) < bottom


def test_paper_and_screen_differ_in_their_ink_alone() -> None:
    """The same shapes and words; the style is another."""
    screen, paper = drawn("A5:1", "Y2"), drawn("A5:1", "Y2", for_paper=True)
    shapes = [e.get("d") for e in screen.iter() if e.get("d")]
    assert shapes == [e.get("d") for e in paper.iter() if e.get("d")]
    assert words(screen) == words(paper)


def test_what_cannot_be_set_up_has_no_picture() -> None:
    """Y4's closed height was never measured: nothing is put in."""
    at, one = set_up("A5:1", "Y4")
    assert die_stack_svg(plan(), at, one) is None


def dimple(yoke: str) -> DimpleSetUp:
    """The dimpling set-up for .020 in sheet and 3/32 in one yoke."""
    every = dimple_set_ups(plan().worked, shop())
    return next(one for one in every if one.yoke.id == yoke)


def test_dimple_dies_press_the_sheet_between_them() -> None:
    """The female die's face lies one sheet, .020 in, under the male one's at nought."""
    at = plan().worked.holes.index("A13:1")
    svg = dimple_stack_svg(plan(), at, "502", dimple("Y1"))
    assert svg is not None
    metal = of_class(read(svg), "metal")
    male, *female, jaw = metal[2:]
    assert heights(male)[0] == pytest.approx(-0.400 * INCH, abs=0.002)
    for half in female:
        assert heights(half)[0] == pytest.approx(0.020 * INCH, abs=0.002)
    assert heights(jaw)[0] == pytest.approx(0.373 * INCH, abs=0.002)
    assert "502  .020" in words(read(svg))


def test_without_dimple_dies_there_is_no_picture() -> None:
    """Y3's jaw is flat and takes no female die."""
    assert dimple_stack_svg(plan(), 0, "502", dimple("Y3")) is None


def test_a_pin_is_told_by_what_it_is_longer() -> None:
    """The pin stands first, for it is nearest the ram."""
    _, one = set_up("A5:1", "Y2")
    assert one.pieces is not None
    longer = replace(one.pieces, pin_mm=0.250 * INCH)
    assert piece_words(longer, "in")[0][0] == "ram pin + .250"

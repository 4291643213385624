"""What a near sheet covers is dashed, once, and bends are told from edges."""

from __future__ import annotations

import numpy as np
import pytest

from rivetwright.drawing.outlines import (
    clipped,
    draw_layers,
    line_runs,
    ring_runs,
)
from rivetwright.drawing.view import Look, Window, look_at
from rivetwright.model.outline import CutOut, Face, Layer, Outline

NEAR = Layer("near", Outline.rectangle((0, 100), (0, 40), ("v0",)))
FAR = Layer("far", Outline.rectangle((50, 120), (10, 30)))


def drawn(*layers: Layer, look: Look | None = None):
    """The layers of a face, drawn."""
    face = Face("F", "", layers)
    view = look_at(face, np.zeros((0, 2)), look or Look())
    return [clipped(one, view) for one in draw_layers(face, view)]


def test_the_near_sheet_is_drawn_in_full() -> None:
    """100 by 40 with the lower side a bend: 100 + 2 x 40 free, 100 bend."""
    near, _ = drawn(NEAR, FAR)
    assert (near.full.length, near.bend.length, near.hidden.length) == (180, 100, 0)


def test_what_lies_behind_is_dashed() -> None:
    """Of 2 x (70 + 20) round the far sheet, 20 + 2 x 50 lie behind the near one."""
    _, far = drawn(NEAR, FAR)
    assert (far.hidden.length, far.full.length) == (120, 60)


def test_lines_that_fall_together_are_drawn_once() -> None:
    """A far sheet of the same outline adds no line."""
    _, same = drawn(NEAR, Layer("same", NEAR.outline))
    assert same.lines.is_empty


def test_a_part_that_comes_later_covers_nothing() -> None:
    """Laid on top for open holes only, it is a phantom: the near sheet stays full."""
    later, near = drawn(Layer("later", FAR.outline, for_open="D1"), NEAR)
    assert later.is_later
    assert later.full.is_empty
    assert (later.hidden.length, near.full.length) == (180, 180)


def test_a_cut_out_has_a_rim_and_shows_what_lies_behind() -> None:
    """A round hole of radius 5 adds 2 pi 5; a sheet behind it is seen inside."""
    cut = Layer("cut", NEAR.outline, (CutOut((50.0, 20.0), 5.0),))
    line = Layer("line", Outline.rectangle((50, 60), (15, 25)))
    near, behind = drawn(cut, line)
    assert near.full.length == pytest.approx(180 + 2 * np.pi * 5, rel=1e-3)
    # Its left side, 10 long, is the diameter of the cut-out.
    assert behind.full.length == pytest.approx(10, abs=1e-6)


def test_a_cut_out_with_corners_is_left_out_of_the_sheet() -> None:
    """A square of 10 by 10 is taken from 100 by 40."""
    square = CutOut(corners_mm=((40, 10), (50, 10), (50, 20), (40, 20)))
    (one,) = drawn(Layer("p", NEAR.outline, (square,)))
    assert one.sheet.area == pytest.approx(4000 - 100)
    assert len(ring_runs(one.sheet)) == 2


def test_a_window_cuts_lines_off() -> None:
    """From u 0 to 50 remain 40 of the left side and 50 of the upper one."""
    near, far = drawn(NEAR, FAR, look=Look(window=Window("I", (0, 0, 50, 40))))
    assert near.full.length == 90
    assert far.full.is_empty


def test_lines_are_joined_where_they_meet() -> None:
    """Three free sides of a rectangle make one run of four points."""
    near, _ = drawn(NEAR, FAR)
    assert [len(run) for run in line_runs(near.full)] == [4]

"""A drawing becomes a draft: faces, layers, cut-outs, rows (panels INVENTED)."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from rivetwright.bench.drawing_choice import DrawingChoice, LayerPart
from rivetwright.bench.drawing_import import Draft, draft_of
from rivetwright.bench.drawing_named import DrawingNamed, draw_in
from rivetwright.errors import CodeRefused, Refusal
from rivetwright.intake.dxf.shapes import Circle, DrawnShapes, Loop
from rivetwright.intake.plan_file import read_plan_text
from rivetwright.intake.write_plan import write_plan
from rivetwright.model.outline import CutOut
from rivetwright.model.pattern import Between, Points
from rivetwright.model.plan import Project

OTHERS = Path(__file__).parents[2] / "dxf"
PROJECT = Project("0b3c5a4e-2f7d-4d1c-9b8a-6e5f4a3b2c1d", "Made up")
CHOICE = DrawingChoice(
    (LayerPart("SKIN", "11", 0.8), LayerPart("ANGLE", "12", 1.0)), "MS20470AD4-4"
)


def box(layer: str, u: float, v: float, width: float, height: float) -> Loop:
    """A rectangle on the sheet."""
    corners = ((u, v), (u + width, v), (u + width, v + height), (u, v + height))
    return Loop(corners, layer)


def panel() -> DrawnShapes:
    """A skin with an angle on it and nine holes, and a second view beside it.

    The skin lies from (100, 100) to (300, 200), the angle from (100, 105) to
    (300, 130), holes at v 117 from u 110 at 20 mm with a ring of 6.4 round each, a
    lightening hole of 30 mm at (200, 170); the second view is a plate of 100 by 100
    with one hole in its middle.
    """
    holes = [Circle((110 + 20 * k, 117), 3.2, "HOLES") for k in range(9)]
    rings = [Circle((110 + 20 * k, 117), 6.4, "HOLES") for k in range(9)]
    loops = (
        box("SKIN", 100, 100, 200, 100),
        box("ANGLE", 100, 105, 200, 25),
        box("SKIN", 400, 100, 100, 100),
        box("FRAME", 0, 0, 600, 300),
    )
    cut = Circle((200, 170), 30, "SKIN")
    alone = Circle((450, 150), 3.2, "HOLES")
    return DrawnShapes("panel.dxf", "mm", (*holes, *rings, cut, alone), loops, ())


def made() -> Draft:
    """The draft of the panel."""
    return draft_of(panel(), CHOICE, PROJECT, "panel")


def test_views_become_faces_with_their_layers() -> None:
    """Two views, left to right, each counted from its own lower left corner."""
    first, second = made().plan.faces
    assert [layer.part for layer in first.layers] == ["11", "12"]
    assert first.layers[1].outline.corners_mm[0] == (0, 5)
    assert [layer.part for layer in second.layers] == ["11"]
    assert max(second.layers[0].outline.corners_mm) == (100, 100)


def test_large_circle_in_a_part_is_cut_out_of_it() -> None:
    """The lightening hole lies at (100, 70) of the face, radius 15."""
    first, _ = made().plan.faces
    assert first.layers[0].cut_outs == (CutOut((100, 70), 15),)


def test_circles_become_rows_and_single_holes() -> None:
    """Nine holes from (10, 17) to (170, 17); the one alone in a list of points."""
    first, second = made().plan.rows
    assert (first.name, first.pattern) == ("F1-R1", Between((10, 17), (170, 17), 9))
    assert second.pattern == Points(((50, 50),))
    assert first.drill_mm == 3.2


def test_what_became_nothing_is_told() -> None:
    """The nine rings round the holes and the frame of the sheet stay out."""
    draft = made()
    assert [one.diameter_mm for one in draft.stayed_out] == [6.4] * 9
    assert [loop.layer for loop in draft.unused_loops] == ["FRAME"]


def test_draft_is_a_plan_file_that_reads() -> None:
    """Written and read again it is the same plan."""
    plan = made().plan
    assert replace(read_plan_text(write_plan(plan)), file="") == plan


def test_two_outlines_alike_on_a_layer_are_one_in_the_other() -> None:
    """The same plate drawn twice is a layer with a cut-out, never lost or endless."""
    shapes = replace(panel(), loops=(box("SKIN", 0, 0, 50, 50),) * 2, circles=())
    choice = replace(CHOICE, parts=CHOICE.parts[:1])
    (face,) = draft_of(shapes, choice, PROJECT, "panel").plan.faces
    assert len(face.layers) == 1


def test_layers_that_are_not_there_are_refused() -> None:
    """A misspelt layer is told with the nearest one and what each layer holds."""
    wrong = replace(CHOICE, parts=(LayerPart("SKNI", "11", 0.8),))
    with pytest.raises(Refusal, match=r"no layer SKNI.*SKIN: 2 outline\(s\).*nearest"):
        draft_of(panel(), wrong, PROJECT, "panel")


def test_no_part_named_lists_the_layers() -> None:
    """Nothing is guessed: the layers are told, and how to name one."""
    with pytest.raises(Refusal, match=r"no part.*HOLES: 0 outline\(s\), 19 circle"):
        draft_of(panel(), replace(CHOICE, parts=()), PROJECT, "panel")


def test_callout_that_is_none_is_refused() -> None:
    """A drawing names no rivet, so one must be given."""
    with pytest.raises(CodeRefused):
        draft_of(panel(), replace(CHOICE, callout=""), PROJECT, "panel")


def test_drawing_of_another_writer_is_drawn_in_by_its_words() -> None:
    """Eight points at 20 mm pitch make a row; a bare thickness counts in mm."""
    named = DrawingNamed(("SKIN=11:.8",), "MS20470AD4-4", ("HOLES",), "mm")
    plan = draw_in(OTHERS / "gdal.dxf", named).draft.plan
    assert plan.parts[0].thickness_mm == pytest.approx(0.8)
    (row,) = plan.rows
    assert row.pattern == Between((20, 10), (160, 10), 8)


@pytest.mark.parametrize(
    "named",
    [
        DrawingNamed(("SKIN 11 .8",), "MS20470AD4-4", (), "mm"),
        DrawingNamed(("SKIN=11:thick",), "MS20470AD4-4", (), "mm"),
        DrawingNamed(("SKIN=11:.8",), "MS20470AD4-4", (), "cm"),
    ],
    ids=["form", "thickness", "unit"],
)
def test_words_that_are_not_understood_are_refused(named: DrawingNamed) -> None:
    """Each is told with what is allowed."""
    with pytest.raises(Refusal):
        draw_in(OTHERS / "gdal.dxf", named)

"""Drawings into shapes: units, blocks, curves, other writers, and broken files."""

from __future__ import annotations

import io
import math
from collections.abc import Callable
from pathlib import Path

import ezdxf
import pytest
from ezdxf.document import Drawing
from ezdxf.layouts import Modelspace

from rivetwright.errors import PlanRefused
from rivetwright.intake.dxf.read import read_drawing, read_drawing_bytes
from rivetwright.intake.dxf.shapes import DrawnShapes

OTHERS = Path(__file__).parents[2] / "dxf"
PLATE = [(0, 0), (200, 0), (200, 100), (0, 100)]


def bytes_of(drawing: Drawing) -> bytes:
    """A drawing as the bytes of its file."""
    text = io.StringIO()
    drawing.write(text)
    return text.getvalue().encode("utf-8", "surrogateescape")


def drawn(draw: Callable[[Modelspace], object], units: int = 4) -> DrawnShapes:
    """What is read of a drawing made here."""
    drawing = ezdxf.new(units=units)
    draw(drawing.modelspace())
    return read_drawing_bytes(bytes_of(drawing), "made.dxf")


def test_circle_and_outline_are_read_in_mm() -> None:
    """A plate of 200 by 100 and a circle of radius 1.6 at (10, 20)."""

    def draw(space: Modelspace) -> None:
        space.add_lwpolyline(PLATE, close=True, dxfattribs={"layer": "SKIN"})
        space.add_circle((10, 20), 1.6, dxfattribs={"layer": "HOLES"})

    shapes = drawn(draw)
    (circle,), (loop,) = shapes.circles, shapes.loops
    assert (circle.centre_mm, circle.diameter_mm, circle.layer) == (
        (10, 20),
        3.2,
        "HOLES",
    )
    assert sorted(loop.corners_mm) == sorted(PLATE)
    assert shapes.not_understood == ()


@pytest.mark.parametrize(("units", "mm"), [(1, 25.4), (4, 1), (5, 10), (6, 1000)])
def test_unit_of_the_file_counts(units: int, mm: float) -> None:
    """One unit along: an inch, a millimetre, a centimetre, a metre."""
    (circle,) = drawn(lambda space: space.add_circle((1, 0), 0.05), units).circles
    assert circle.centre_mm == (mm, 0)


def test_drawing_without_a_unit_asks_for_it() -> None:
    """Nothing is guessed; told the unit, it reads."""
    drawing = ezdxf.new(units=0)
    drawing.modelspace().add_circle((1, 0), 0.1)
    raw = bytes_of(drawing)
    with pytest.raises(PlanRefused, match="names no unit"):
        read_drawing_bytes(raw, "a.dxf")
    assert read_drawing_bytes(raw, "a.dxf", "in").circles[0].centre_mm == (25.4, 0)


def test_circles_of_blocks_lie_where_the_block_is_put() -> None:
    """A block in a block, turned by 90 degrees and doubled: (3, 0) -> (50, 56).

    The inner block is put at (1, 0) of the outer, its circle at (2, 0); the outer at
    (50, 50): 3 along u becomes 6 along v. On layer 0 it takes the layer of the block.
    """
    drawing = ezdxf.new(units=4)
    inner, outer = drawing.blocks.new("IN"), drawing.blocks.new("OUT")
    inner.add_circle((2, 0), 1)
    outer.add_blockref("IN", (1, 0))
    where = {"layer": "HOLES", "rotation": 90, "xscale": 2, "yscale": 2}
    drawing.modelspace().add_blockref("OUT", (50, 50), dxfattribs=where)
    (circle,) = read_drawing_bytes(bytes_of(drawing), "a.dxf").circles
    assert circle.centre_mm == pytest.approx((50, 56))
    assert (circle.diameter_mm, circle.layer) == (pytest.approx(4), "HOLES")


def test_unevenly_scaled_circle_is_told_and_kept() -> None:
    """It is an ellipse then: an outline, with a word about it."""
    drawing = ezdxf.new(units=4)
    drawing.blocks.new("H").add_circle((0, 0), 2)
    drawing.modelspace().add_blockref("H", (9, 9), dxfattribs={"xscale": 2})
    shapes = read_drawing_bytes(bytes_of(drawing), "a.dxf")
    assert (len(shapes.loops), shapes.circles) == (1, ())
    assert [one.kind for one in shapes.not_understood] == ["ELLIPSE"]


def test_lines_and_arcs_join_to_an_outline() -> None:
    """A slot: two lines of 40 and two half circles of radius 5, drawn in any order."""

    def draw(space: Modelspace) -> None:
        space.add_line((0, 0), (40, 0))
        space.add_arc((0, 5), 5, 90, 270)
        space.add_line((40, 10), (0, 10))
        space.add_arc((40, 5), 5, 270, 90)

    (loop,) = drawn(draw).loops
    u = [corner[0] for corner in loop.corners_mm]
    assert (min(u), max(u)) == pytest.approx((-5, 45), abs=0.02)


def test_circle_of_two_bows_is_a_circle() -> None:
    """A polyline of two half circles, bulge 1: centre (32, 10), diameter 4."""
    bows = [(30, 10, 0, 0, 1), (34, 10, 0, 0, 1)]
    (circle,) = drawn(lambda space: space.add_lwpolyline(bows, close=True)).circles
    assert circle.centre_mm == pytest.approx((32, 10), abs=0.001)
    assert circle.diameter_mm == pytest.approx(4, abs=0.002)


def test_closed_spline_is_an_outline() -> None:
    """A spline through the corners of a square that ends where it began."""
    through = [(0, 0), (20, 0), (20, 20), (0, 20), (0, 0)]
    assert len(drawn(lambda space: space.add_spline(through)).loops) == 1


def test_other_kinds_are_counted_and_named() -> None:
    """Two texts and an open line: nothing is dropped without a word."""

    def draw(space: Modelspace) -> None:
        space.add_text("R1")
        space.add_mtext("rivets")
        space.add_line((0, 0), (9, 9))

    told = [(one.kind, one.count, one.why) for one in drawn(draw).not_understood]
    assert told == [
        ("MTEXT", 1, "no outline and no hole"),
        ("TEXT", 1, "no outline and no hole"),
        ("line", 1, "it does not close"),
    ]


def test_drawing_by_trimesh_reads() -> None:
    """Eight circles of 3.2 mm at 20 mm pitch in a plate of 200 by 100."""
    shapes = read_drawing(OTHERS / "trimesh.dxf", "mm")
    assert [one.centre_mm for one in shapes.circles] == [
        (20 + 20 * k, 10) for k in range(8)
    ]
    assert {one.diameter_mm for one in shapes.circles} == {3.2}
    assert sorted(shapes.loops[0].corners_mm) == sorted(PLATE)


def test_drawing_by_gdal_reads() -> None:
    """Eight points, the plate, and a circle of 8 mm drawn with 64 corners."""
    shapes = read_drawing(OTHERS / "gdal.dxf", "mm")
    points = [one.centre_mm for one in shapes.circles if one.layer == "HOLES"]
    assert points == [(20 + 20 * k, 10) for k in range(8)]
    (cut,) = [one for one in shapes.circles if one.layer == "CUT"]
    assert (cut.centre_mm, cut.diameter_mm) == ((180, 90), 8)


def test_drawing_by_potrace_reads() -> None:
    """A traced outline with six traced holes: seven closed outlines."""
    shapes = read_drawing(OTHERS / "potrace.dxf", "mm")
    assert len(shapes.loops) == 7
    assert shapes.not_understood == ()


GOOD = ezdxf.new(units=4)
GOOD.modelspace().add_lwpolyline(PLATE, close=True)
GOOD.modelspace().add_circle((10, 20), 1.6)
RAW = bytes_of(GOOD)


def _spoilt() -> dict[str, bytes]:
    """Broken and strange files by name: a good one cut, doubled and overwritten."""
    made = {
        "nothing": b"",
        "a word": b"hello",
        "only an end": b"0\nEOF\n",
        "noughts": bytes(5000),
        "a picture": b"\x89PNG\r\n\x1a\n" + bytes(range(256)) * 9,
        "another drawing format": b"AC1032" + bytes(range(256)) * 40,
        "binary mark alone": b"AutoCAD Binary DXF\r\n\x1a\x00"[:22],
        "utf 16": RAW.decode("utf-8").encode("utf-16"),
        "windows line ends": RAW.replace(b"\n", b"\r\n"),
        "without header": RAW[RAW.index(b"ENTITIES") - 12 :],
        "twice": RAW + RAW,
        "blanks before": b"\n\n\n" + RAW,
        "huge radius": RAW.replace(b"1.6", b"1.6e300"),
        "radius in words": RAW.replace(b"1.6", b"wide"),
        "no number": RAW.replace(b"1.6", b"nan"),
        "radius below nought": RAW.replace(b"1.6", b"-1.6"),
        "radius nought": RAW.replace(b"1.6", b"0"),
        "no layer table": RAW.replace(b"LAYER", b"LIAR"),
        "strange kind": RAW.replace(b"CIRCLE", b"SPHERE"),
        "sections unclosed": RAW.replace(b"ENDSEC", b"ENDSIC"),
        "letters for codes": RAW.replace(b"\n 10\n", b"\n ab\n"),
    }
    for k in range(1, 16):
        made[f"cut at {k}/16"] = RAW[: len(RAW) * k // 16]
    for k in range(1, 16):
        at = len(RAW) * k // 16
        made[f"overwritten at {k}/16"] = RAW[:at] + b"\xff\x00zz" * 9 + RAW[at + 36 :]
    return made


SPOILT = _spoilt()


@pytest.mark.parametrize("name", SPOILT)
def test_broken_file_is_read_or_refused(name: str) -> None:
    """Whatever the bytes: finite shapes, or a refusal that says what to do."""
    assert handled(SPOILT[name])


def handled(raw: bytes) -> bool:
    """Whether bytes give finite shapes, or a refusal that says what to do."""
    try:
        shapes = read_drawing_bytes(raw, "broken.dxf", "mm")
    except PlanRefused as refused:
        return bool(refused.faults[0].do)
    return all(math.isfinite(one.diameter_mm) for one in shapes.circles)


def test_broken_files_are_fifty() -> None:
    """As many as were asked for, each another."""
    assert len(set(SPOILT.values())) >= 50


def test_block_within_itself_is_handled() -> None:
    """A block that holds itself is not followed without end."""
    drawing = ezdxf.new(units=4)
    ring = drawing.blocks.new("RING")
    ring.add_circle((0, 0), 1)
    ring.add_blockref("RING", (1, 0))
    drawing.modelspace().add_blockref("RING", (0, 0))
    assert handled(bytes_of(drawing))


def test_blocks_that_unfold_without_end_are_refused() -> None:
    """Ten blocks, each holding the next ten times: ten thousand million circles."""
    drawing = ezdxf.new(units=4)
    for k in range(10):
        block = drawing.blocks.new(f"B{k}")
        for n in range(10):
            block.add_blockref(f"B{k + 1}", (n, 0))
    drawing.blocks.new("B10").add_circle((0, 0), 1)
    drawing.modelspace().add_blockref("B0", (0, 0), dxfattribs={"column_count": 30000})
    drawing.modelspace().add_blockref(
        "B0", (0, 0), dxfattribs={"column_count": 30000, "row_count": 30000}
    )
    raw = bytes_of(drawing)
    with pytest.raises(PlanRefused, match="more than 300,000 shapes"):
        read_drawing_bytes(raw, "a.dxf")

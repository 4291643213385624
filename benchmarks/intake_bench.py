"""A drawing of 20,000 circles: file read, outlines joined, circles sorted into rows.

The drawing is INVENTED: rows of 25 to 100 holes at several pitches on a plate, a tenth
of the holes missing from every third row. It is made before the clock starts.
"""

from __future__ import annotations

import io
from time import perf_counter

from ezdxf.filemanagement import new

from benchmarks.report import Entry
from rivetwright.bench.drawing_choice import DrawingChoice, LayerPart
from rivetwright.bench.drawing_import import draft_of
from rivetwright.intake.dxf.read import read_drawing_bytes
from rivetwright.model.plan import Project

CIRCLES, QUICK_CIRCLES = 20_000, 1_000
CHOICE = DrawingChoice((LayerPart("SKIN", "11", 0.8),), "MS20470AD4-4")
PROJECT = Project("0b3c5a4e-2f7d-4d1c-9b8a-6e5f4a3b2c1d", "Measured")


def drawing(count: int) -> bytes:
    """A plate with so many circles in rows 19 mm apart."""
    made = new(units=4)
    space = made.modelspace()
    drawn, row, u_most = 0, 0, 0.0
    while drawn < count:
        pitch_mm = (16.0, 19.5, 25.4, 31.75)[row % 4]
        for k in range(25 + 25 * (row % 4)):
            is_missing = row % 3 == 0 and k % 10 == 5
            if drawn < count and not is_missing:
                u_mm = 20 + k * pitch_mm
                space.add_circle((u_mm, 20 + 19.0 * row), 1.6)
                u_most = max(u_most, u_mm)
                drawn += 1
        row += 1
    corners = [
        (0, 0),
        (u_most + 20, 0),
        (u_most + 20, 19.0 * row + 40),
        (0, 19.0 * row + 40),
    ]
    space.add_lwpolyline(corners, close=True, dxfattribs={"layer": "SKIN"})
    text = io.StringIO()
    made.write(text)
    return text.getvalue().encode()


def measure(is_quick: bool) -> list[Entry]:
    """Time from the bytes of the file to the draft of a plan."""
    raw = drawing(QUICK_CIRCLES if is_quick else CIRCLES)
    begun = perf_counter()
    shapes = read_drawing_bytes(raw, "measured.dxf")
    read = perf_counter()
    draft = draft_of(shapes, CHOICE, PROJECT, "measured")
    done = perf_counter()
    beside = {
        "reading_seconds": read - begun,
        "grouping_seconds": done - read,
        "circles": len(shapes.circles),
        "rows": len(draft.plan.rows),
    }
    return [Entry("intake_20000_circles_seconds", done - begun, beside)]

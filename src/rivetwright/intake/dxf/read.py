"""A DXF file read into shapes, blocks taken apart, units asked for where none stand."""

from __future__ import annotations

import io
import math
from collections import Counter, defaultdict
from collections.abc import Iterator
from pathlib import Path

from ezdxf import filemanagement, recover
from ezdxf import path as paths
from ezdxf.audit import Auditor
from ezdxf.document import Drawing
from ezdxf.entities.dxfentity import DXFEntity
from ezdxf.entities.insert import Insert
from ezdxf.lldxf.const import DXFError
from ezdxf.math import OCS, Vec3

from rivetwright.errors import PlanRefused
from rivetwright.intake.dxf.loops import (
    CHORD_MM,
    joined_runs,
    round_of,
    tidy_corners,
)
from rivetwright.intake.dxf.shapes import Circle, DrawnShapes, Loop, NotUnderstood
from rivetwright.intake.faults import Faults
from rivetwright.model.pattern import Point

BYTES_MOST = 60_000_000
SHAPES_MOST = 300_000
DEPTH_MOST = 12
DESCRIBED_IN = "docs/drawing-file.md"

# Codes of $INSUNITS: inch, foot, millimetre, centimetre, metre.
UNITS_MM = {1: 25.4, 2: 304.8, 4: 1.0, 5: 10.0, 6: 1000.0}
INCHES = (1, 2)
NAMED_MM = {"in": 25.4, "mm": 1.0}
_LINES = frozenset({"LINE", "ARC", "ELLIPSE", "SPLINE", "LWPOLYLINE", "POLYLINE"})
# What a torn or strange drawing comes to inside the reading library.
_TORN = (
    DXFError, OSError, EOFError, ValueError, TypeError, KeyError, IndexError,
    AttributeError, ArithmeticError, AssertionError, RecursionError,
    NotImplementedError,
)  # fmt: skip


class _TooMany(Exception):
    """The drawing unfolds to more shapes than are read."""


def read_drawing(path: Path | str, unit: str = "") -> DrawnShapes:
    """Read a DXF file.

    Args:
        path: the file.
        unit: in or mm, where the file does not say it; empty to go by the file.

    Returns:
        Its shapes [mm].

    Raises:
        PlanRefused: it is no drawing, names no unit, or holds too much.
    """
    try:
        with Path(path).open("rb") as opened:
            raw = opened.read(BYTES_MOST + 1)
    except OSError as why:
        found = why.strerror or "a file that cannot be read"
        do = "Check its name and folder"
        raise _refusal(str(path), found, "a file that can be read", do) from None
    return read_drawing_bytes(raw, str(path), unit)


def read_drawing_bytes(raw: bytes, file: str, unit: str = "") -> DrawnShapes:
    """Read the bytes of a DXF file.

    Args:
        raw: the bytes.
        file: name to show in mistakes.
        unit: in or mm, where the file does not say it; empty to go by the file.

    Returns:
        Its shapes [mm].

    Raises:
        PlanRefused: they are no drawing, name no unit, or hold too much.
    """
    if len(raw) > BYTES_MOST:
        found = f"more than {BYTES_MOST:,} bytes"
        do = "Save the views of one assembly alone"
        raise _refusal(file, found, f"at most {BYTES_MOST:,} bytes", do)
    try:
        drawing, auditor = _opened(raw)
        space = drawing.modelspace()
        code = int(drawing.header.get("$INSUNITS", 0))
        away = len(list(drawing.layout_names())) - 1
    except _TORN:
        do = "Save it again as DXF with the program that drew it"
        raise _refusal(file, "a file that is no DXF drawing", "DXF", do) from None
    factor = NAMED_MM.get(unit) or UNITS_MM.get(code)
    if factor is None:
        do = "Look at a known size in the drawing and say in or mm"
        raise _refusal(file, "a drawing that names no unit", "in or mm", do)
    reader = _Reader(factor)
    try:
        for one in space:
            reader.take(one, _layer(one), 0)
    except _TooMany:
        do = "Save the views of one assembly alone"
        found = f"more than {SHAPES_MOST:,} shapes"
        raise _refusal(file, found, f"at most {SHAPES_MOST:,}", do) from None
    if auditor.errors:
        reader.left("record", "", "faulty in the file", len(auditor.errors))
    if away > 1:
        reader.left("sheet layout", "", "only the model is read", away)
    is_inches = unit == "in" or (not unit and code in INCHES)
    return reader.shapes(file, "in" if is_inches else "mm")


def _opened(raw: bytes) -> tuple[Drawing, Auditor]:
    """The drawing, and what was mended in it.

    A file that is whole reads twice as fast without looking for what to mend.
    """
    if raw.rstrip().endswith(b"EOF"):
        try:
            drawing = filemanagement.read(io.StringIO(raw.decode("utf-8")))
            return drawing, drawing.audit()
        except _TORN:
            pass
    return recover.read(io.BytesIO(raw))


def _refusal(file: str, found: str, allowed: str, do: str) -> PlanRefused:
    """A drawing that cannot be read."""
    faults = Faults(file, described_in=DESCRIBED_IN)
    faults.add((), found, allowed, do)
    return faults.refusal()


def _layer(one: DXFEntity) -> str:
    """The layer of a shape; 0 for kinds that know no layers."""
    has_layers = one.dxf.is_supported("layer")
    return str(one.dxf.get("layer", "0")) if has_layers else "0"


class _Reader:
    """Takes shape after shape; what it does not understand is counted with the why."""

    def __init__(self, factor: float) -> None:
        self._factor = factor
        self._count = 0
        self._circles: list[Circle] = []
        self._runs: dict[str, list[list[Point]]] = defaultdict(list)
        self._left: Counter[tuple[str, str, str]] = Counter()

    def left(self, kind: str, layer: str, why: str, count: int = 1) -> None:
        """Count things that stay out."""
        self._left[kind, layer, why] += count

    def take(self, one: DXFEntity, layer: str, depth: int) -> None:
        """Take one shape, or the shapes of a block."""
        self._count += 1
        if self._count > SHAPES_MOST:
            raise _TooMany
        kind = one.dxftype()
        try:
            if isinstance(one, Insert):
                self._insert(one, layer, depth)
            elif kind == "CIRCLE":
                self._circle(one, layer)
            elif kind == "POINT":
                self._add_circle(one.dxf.location, 0.0, layer)
            elif kind in _LINES:
                self._line(one, layer)
            else:
                self.left(kind, layer, "no outline and no hole")
        except _TORN:
            self.left(kind, layer, "its values make no shape")

    def _insert(self, one: Insert, layer: str, depth: int) -> None:
        """The shapes of a block; those on layer 0 lie on the layer of the block."""
        if depth >= DEPTH_MOST:
            self.left("INSERT", layer, f"blocks more than {DEPTH_MOST} deep")
            return
        if one.mcount > SHAPES_MOST:
            raise _TooMany
        for copy in one.multi_insert() if one.mcount > 1 else (one,):
            for inner in self._inner(copy, layer):
                own = _layer(inner)
                self.take(inner, layer if own == "0" else own, depth + 1)

    def _inner(self, one: Insert, layer: str) -> Iterator[DXFEntity]:
        """What a block holds, moved to where it is put."""

        def strange(inner: DXFEntity, why: str) -> None:
            self.left(inner.dxftype(), layer, "cannot be moved with its block")

        yield from one.virtual_entities(skipped_entity_callback=strange)

    def _circle(self, one: DXFEntity, layer: str) -> None:
        """A circle, seen from above or from below."""
        facing = Vec3(one.dxf.extrusion).normalize()
        if abs(abs(facing.z) - 1) > 1e-6:
            self.left("CIRCLE", layer, "seen from the side")
            return
        centre = OCS(facing).to_wcs(one.dxf.center)
        self._add_circle(centre, 2 * one.dxf.radius, layer)

    def _add_circle(self, centre: Vec3, diameter: float, layer: str) -> None:
        """Keep a circle whose size and place are numbers."""
        values = (centre.x, centre.y, diameter)
        if not all(math.isfinite(one) and abs(one) < 1e7 for one in values):
            self.left("CIRCLE", layer, "its values make no shape")
            return
        u, v, across = (round(one * self._factor, 4) + 0.0 for one in values)
        self._circles.append(Circle((u, v), across, layer))

    def _line(self, one: DXFEntity, layer: str) -> None:
        """A line or curve as places close together."""
        drawn = paths.make_path(one)
        distance = CHORD_MM / self._factor
        places = [
            (place.x * self._factor, place.y * self._factor)
            for place in drawn.flattening(distance, segments=4)
        ]
        if len(places) < 2 or not all(map(math.isfinite, sum(places, ()))):
            self.left(one.dxftype(), layer, "its values make no shape")
            return
        self._count += len(places) // 10
        if one.dxftype() == "ELLIPSE" and abs(one.dxf.ratio) < 0.999:
            self.left(
                "ELLIPSE", layer, "kept as an outline: an unevenly scaled circle?"
            )
        if drawn.is_closed and math.dist(places[0], places[-1]) > 0:
            places.append(places[0])
        self._runs[layer].append(places)

    def shapes(self, file: str, unit: str) -> DrawnShapes:
        """Everything taken, lines joined to outlines."""
        loops: list[Loop] = []
        for layer, runs in self._runs.items():
            closed, open_lines = joined_runs(runs)
            if open_lines:
                self.left("line", layer, "it does not close", len(open_lines))
            for corners in closed:
                if drawn_round := round_of(corners):
                    self._circles.append(Circle(*drawn_round, layer))
                elif tidy := tidy_corners(corners):
                    loops.append(Loop(tidy, layer))
                else:
                    self.left("outline", layer, "it crosses itself or is flat")
        left = tuple(
            NotUnderstood(kind, layer, count, why)
            for (kind, layer, why), count in sorted(self._left.items())
        )
        return DrawnShapes(file, unit, tuple(self._circles), tuple(loops), left)

"""Parts of a face as lines: what is seen, what lies behind, where sheets bend."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from rivetwright.drawing.view import Places, View
from rivetwright.model.outline import BEND, CutOut, Face, Layer
from rivetwright.model.pattern import Point

SEGMENTS_OF_QUARTER = 24
NOTHING = shapely.GeometryCollection()


@dataclass(frozen=True)
class DrawnLayer:
    """One layer as seen: its sheet and its lines, sorted by how they are drawn.

    `shown` is the part of the sheet that no nearer sheet covers. `is_later`: it
    comes only with open holes, so it is drawn as a phantom and covers nothing.
    """

    layer: Layer
    sheet: BaseGeometry
    shown: BaseGeometry
    full: BaseGeometry
    hidden: BaseGeometry
    bend: BaseGeometry
    hidden_bend: BaseGeometry
    is_later: bool

    @cached_property
    def lines(self) -> BaseGeometry:
        """Every line of this layer."""
        return shapely.union_all([self.full, self.hidden, self.bend, self.hidden_bend])


def draw_layers(face: Face, view: View) -> list[DrawnLayer]:
    """The layers of a face from the near to the far one, with their lines."""
    drawn: list[DrawnLayer] = []
    cover: BaseGeometry = NOTHING
    taken: BaseGeometry = NOTHING
    for layer in face.layers:
        one = _draw_layer(layer, view, cover, taken)
        drawn.append(one)
        taken = shapely.union_all([taken, one.lines])
        if not one.is_later:
            cover = shapely.union_all([cover, one.sheet])
    return drawn


def clipped(one: DrawnLayer, view: View) -> DrawnLayer:
    """A layer cut off at the window of a view; as it is where there is none."""
    if view.window is None:
        return one
    window = shapely.box(*view.low, *view.high)
    names = ("sheet", "shown", "full", "hidden", "bend", "hidden_bend")
    cut = {name: shapely.intersection(getattr(one, name), window) for name in names}
    return replace(one, **cut)


def _draw_layer(
    layer: Layer, view: View, cover: BaseGeometry, taken: BaseGeometry
) -> DrawnLayer:
    """One layer against the sheets that cover it and the lines already drawn."""
    corners = view.seen(np.asarray(layer.outline.corners_mm, dtype=float))
    sheet: BaseGeometry = shapely.make_valid(shapely.Polygon(corners))
    rims = [_cut_out(cut, view) for cut in layer.cut_outs]
    sheet = shapely.difference(sheet, shapely.union_all(rims))
    bends, free = _sides(layer, corners)
    free = shapely.union_all([free, *(rim.boundary for rim in rims)])
    bends, free = shapely.difference(bends, taken), shapely.difference(free, taken)
    is_later = bool(layer.for_open)
    return DrawnLayer(
        layer=layer,
        sheet=sheet,
        shown=shapely.difference(sheet, cover),
        full=NOTHING if is_later else shapely.difference(free, cover),
        hidden=free if is_later else shapely.intersection(free, cover),
        bend=shapely.difference(bends, cover),
        hidden_bend=shapely.intersection(bends, cover),
        is_later=is_later,
    )


def _sides(layer: Layer, corners: Places) -> tuple[BaseGeometry, BaseGeometry]:
    """Bend sides and free sides of an outline as seen."""
    bends: list[Places] = []
    free: list[Places] = []
    for k, kind in enumerate(layer.outline.sides):
        ends = corners[[k, (k + 1) % len(corners)]]
        (bends if kind == BEND else free).append(ends)
    return shapely.MultiLineString(bends), shapely.MultiLineString(free)


def _cut_out(cut: CutOut, view: View) -> BaseGeometry:
    """A cut-out as seen."""
    if cut.centre_mm is not None and cut.radius_mm is not None:
        centre = shapely.Point(view.seen(np.asarray(cut.centre_mm)))
        return shapely.buffer(centre, cut.radius_mm, quad_segs=SEGMENTS_OF_QUARTER)
    return shapely.Polygon(view.seen(np.asarray(cut.corners_mm, dtype=float)))


def line_runs(lines: BaseGeometry) -> list[list[Point]]:
    """Lines as runs of points, joined where they meet end to end."""
    strings = [
        part
        for part in shapely.get_parts(lines)
        if part.geom_type in ("LineString", "LinearRing") and not part.is_empty
    ]
    if not strings:
        return []
    merged = shapely.line_merge(shapely.MultiLineString(strings))
    runs = [
        [(float(x), float(y)) for x, y in shapely.get_coordinates(part)]
        for part in shapely.get_parts(merged)
    ]
    return sorted(runs)


def ring_runs(sheet: BaseGeometry) -> list[list[Point]]:
    """Every rim of a sheet, outer and inner ones, as runs of points."""
    polygons = [p for p in shapely.get_parts(sheet) if p.geom_type == "Polygon"]
    rings: list[BaseGeometry] = list(shapely.get_rings(polygons)) if polygons else []
    return sorted(
        [(float(x), float(y)) for x, y in shapely.get_coordinates(ring)[:-1]]
        for ring in rings
    )

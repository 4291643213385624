"""Which layers a hole goes through: points against outlines, face by face."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from rivetwright.model.columns import Holes, preceding_steps
from rivetwright.model.outline import Face, Layer
from rivetwright.model.plan import Plan

Index = NDArray[np.int64]
Floats = NDArray[np.float64]


@dataclass(frozen=True)
class PlacedLayer:
    """One layer of one face, with its place in the order from near to far."""

    face: int
    order: int
    layer: Layer


@dataclass(frozen=True)
class Pairs:
    """Hole and layer pairs, sorted by hole, then from the near to the far layer.

    `present` are those that are there when the hole is set; `later` those that
    come on top of or under the hole afterwards.
    """

    hole: Index
    layer: Index


def placed_layers(plan: Plan) -> tuple[PlacedLayer, ...]:
    """All layers of all faces in one list; a layer's index is its place here."""
    return tuple(
        PlacedLayer(k, order, layer)
        for k, face in enumerate(plan.faces)
        for order, layer in enumerate(face.layers)
    )


def layer_polygon(layer: Layer) -> shapely.Geometry:
    """The outline less its many-cornered cut-outs, in mm; round ones apart."""
    sheet: shapely.Geometry = shapely.Polygon(layer.outline.corners_mm)
    for cut in layer.cut_outs:
        if not cut.is_round:
            # A notch may run over the outline, so it is no ring inside it.
            sheet = shapely.difference(sheet, shapely.Polygon(cut.corners_mm))
    return sheet


def holes_by_face(plan: Plan, holes: Holes) -> Iterator[tuple[int, Face, Index]]:
    """Face index, face, and the holes that have a place on it."""
    placed = np.flatnonzero((holes.face >= 0) & ~np.isnan(holes.x_mm))
    order = placed[np.argsort(holes.face[placed], kind="stable")]
    starts = np.searchsorted(holes.face[order], np.arange(len(plan.faces) + 1))
    for k, face in enumerate(plan.faces):
        here = order[starts[k] : starts[k + 1]]
        if len(here):
            yield k, face, here


def near_box(layer: Layer, x_mm: Floats, y_mm: Floats, reach_mm: float) -> Index:
    """Holes in or near the box round an outline, by their index [mm]."""
    corners = np.asarray(layer.outline.corners_mm)
    low, high = corners.min(axis=0) - reach_mm, corners.max(axis=0) + reach_mm
    is_near = (x_mm >= low[0]) & (x_mm <= high[0])
    is_near &= (y_mm >= low[1]) & (y_mm <= high[1])
    return np.flatnonzero(is_near)


def is_inside(layer: Layer, x_mm: Floats, y_mm: Floats) -> NDArray[np.bool_]:
    """Whether holes lie in a layer's sheet, shape (holes,); not on its rim."""
    outline = layer_polygon(layer)
    shapely.prepare(outline)
    inside = np.asarray(shapely.contains_xy(outline, x_mm, y_mm))
    for cut in layer.cut_outs:
        if cut.centre_mm is not None and cut.radius_mm is not None:
            u, v = cut.centre_mm
            inside &= np.hypot(x_mm - u, y_mm - v) >= cut.radius_mm
    return inside


def find_pairs(plan: Plan, holes: Holes) -> Pairs:
    """Every hole with every layer whose outline it lies inside, at any step."""
    first = np.cumsum([0, *(len(face.layers) for face in plan.faces)])
    found_holes, found_layers = [], []
    for k, face, here in holes_by_face(plan, holes):
        x_mm, y_mm = holes.x_mm[here], holes.y_mm[here]
        for order, layer in enumerate(face.layers):
            near = near_box(layer, x_mm, y_mm, 0.0)
            inside = near[is_inside(layer, x_mm[near], y_mm[near])]
            found_holes.append(here[inside])
            found_layers.append(np.full(len(inside), first[k] + order))
    if not found_holes:
        nothing = np.zeros(0, dtype=np.int64)
        return Pairs(nothing, nothing)
    hole = np.concatenate(found_holes)
    layer_of = np.concatenate(found_layers)
    order_of = np.lexsort((layer_of, hole))
    return Pairs(hole[order_of], layer_of[order_of])


def split_by_presence(
    plan: Plan, holes: Holes, layers: tuple[PlacedLayer, ...], pairs: Pairs
) -> tuple[Pairs, Pairs]:
    """Pairs whose layer is there when the hole is set, and pairs where it comes later.

    A layer *from a step* is there when that step is, or must come before, the
    hole's own. A layer *for open holes* is there for those holes alone.
    """
    steps = {step.name: k for k, step in enumerate(plan.steps)}
    opens = {opened.id: k for k, opened in enumerate(plan.open_holes)}
    always = -1
    from_step = np.array(
        [steps[p.layer.from_step] if p.layer.from_step else always for p in layers],
        dtype=np.int64,
    )
    for_open = np.array(
        [opens[p.layer.for_open] if p.layer.for_open else always for p in layers],
        dtype=np.int64,
    )
    before = preceding_steps(plan)
    needed, wanted = from_step[pairs.layer], for_open[pairs.layer]
    at_step = holes.step[pairs.hole]
    is_present = np.ones(len(needed), dtype=bool)
    stepped = np.flatnonzero(needed >= 0)
    if len(stepped):
        known = at_step[stepped] >= 0
        reached = before[at_step[stepped], needed[stepped]]
        is_present[stepped] = known & reached
    opened = wanted >= 0
    is_present[opened] = (holes.open_holes[pairs.hole] == wanted)[opened]
    present = Pairs(pairs.hole[is_present], pairs.layer[is_present])
    later = Pairs(pairs.hole[~is_present], pairs.layer[~is_present])
    return present, later

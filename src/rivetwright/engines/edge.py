"""Edge distance on every sheet of the stack, to every free edge and cut-out."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np
import shapely
from numpy.typing import NDArray

from rivetwright.engines.given import OWN_GEOMETRY
from rivetwright.engines.rules import GEOMETRY, HOLE, Column, Witness, formula, rule
from rivetwright.engines.sides import (
    distance_to_edges_mm,
    distance_to_sides_mm,
    outline_sides,
)
from rivetwright.engines.worked import Worked
from rivetwright.model.outline import BEND, FREE, CutOut, Layer
from rivetwright.model.pattern import Point
from rivetwright.units.tolerance import TOLERANCE_MM

Ints = NDArray[np.int64]
SIDES_OF_RECTANGLE = ("v0", "u1", "v1", "u0")


@dataclass(frozen=True)
class EdgeWitness:
    """The nearest place on a free edge: which edge it is, where, how far."""

    kind: str
    name: str
    place_mm: Point
    distance_mm: float


def pairs_by_layer(
    worked: Worked, wanted: NDArray[np.bool_]
) -> Iterator[tuple[Layer, Ints, Ints]]:
    """Layer by layer: the holes going through it and which sheet of theirs it is.

    `wanted`, shape (layers,), says which layers to visit.
    Source: own geometry.
    """
    layer_of = worked.stacks.layer
    hole, sheet = np.nonzero(layer_of >= 0)
    layer = layer_of[hole, sheet]
    order = np.argsort(layer, kind="stable")
    hole, sheet, layer = hole[order], sheet[order], layer[order]
    starts = np.searchsorted(layer, np.arange(len(worked.stacks.layers) + 1))
    for k in np.flatnonzero(np.diff(starts) * wanted):
        here = slice(starts[k], starts[k + 1])
        yield worked.stacks.layers[k].layer, hole[here], sheet[here]


def _checked_layers(worked: Worked) -> NDArray[np.bool_]:
    """Layers whose edges count: those of parts that are not standard parts."""
    standard = {part.name for part in worked.plan.parts if part.is_standard}
    names = (placed.layer.part for placed in worked.stacks.layers)
    return np.array([name not in standard for name in names], dtype=bool)


def _nearest(point: shapely.Point, line: shapely.LineString) -> Point:
    """The place on a line that is nearest to a point [mm]."""
    u, v = shapely.shortest_line(point, line).coords[1][:2]
    return float(u), float(v)


def edge_witness(worked: Worked, hole: int, layer: Layer) -> EdgeWitness | None:
    """The place on a free edge of one layer that is nearest to a hole.

    Returns: None where the layer has no free edge.
    Source: own geometry.
    """
    x, y = float(worked.holes.x_mm[hole]), float(worked.holes.y_mm[hole])
    point = shapely.Point(x, y)
    called = _edges_called(worked, hole)
    found: list[EdgeWitness] = []
    for k, pair in outline_sides(layer, FREE):
        line = shapely.LineString(pair)
        place = _nearest(point, line)
        name = _side_name(layer, k, called)
        found.append(EdgeWitness("side", name, place, point.distance(line)))
    for k, cut in enumerate(layer.cut_outs, 1):
        name = _cut_out_name(cut, k)
        if cut.centre_mm is not None and cut.radius_mm is not None:
            (u, v), r = cut.centre_mm, cut.radius_mm
            away = float(np.hypot(x - u, y - v))
            place = (u + (x - u) * r / away, v + (y - v) * r / away)
            found.append(EdgeWitness("cut-out", name, place, abs(away - r)))
        else:
            rim = shapely.LinearRing(cut.corners_mm)
            place = _nearest(point, rim)
            found.append(EdgeWitness("cut-out", name, place, point.distance(rim)))
    return min(found, key=lambda edge: round(edge.distance_mm, 6), default=None)


def _edges_called(worked: Worked, hole: int) -> dict[str, str]:
    """What the face of a hole calls the sides of its rectangles."""
    return worked.plan.faces[int(worked.holes.face[hole])].edge_names


def _side_name(layer: Layer, side: int, called: dict[str, str]) -> str:
    """A side as the drawing calls it; by number where the outline is no rectangle."""
    if layer.outline.written != "rectangle":
        return f"side {side + 1}"
    name = SIDES_OF_RECTANGLE[side]
    return f"{called[name]} ({name})"


def _cut_out_name(cut: CutOut, number: int) -> str:
    """A cut-out by its note, else by its number."""
    return cut.note or f"cut-out {number}"


def governing_edges(worked: Worked) -> list[tuple[str, str]]:
    """Part and edge that govern each hole's edge distance, for all holes at once.

    Names as `edge_witness` gives them; two empty words where no edge is known.
    Source: own geometry.
    """
    found = [("", "")] * len(worked.holes)
    sheet = worked["edge_sheet"]
    hole = np.flatnonzero(sheet >= 0)
    layer_of = worked.stacks.layer[hole, sheet[hole]]
    for k in np.unique(layer_of):
        layer, here = worked.stacks.layers[k].layer, hole[layer_of == k]
        x, y = worked.holes.x_mm[here], worked.holes.y_mm[here]
        called = _edges_called(worked, int(here[0]))
        names, distances = [], []
        for side, pair in outline_sides(layer, FREE):
            names.append(_side_name(layer, side, called))
            distances.append(distance_to_sides_mm([pair], x, y))
        for number, cut in enumerate(layer.cut_outs, 1):
            names.append(_cut_out_name(cut, number))
            rim = replace(layer, cut_outs=(cut,))
            distances.append(distance_to_edges_mm(rim, x, y, kind="none"))
        nearest = np.round(distances, 6).argmin(axis=0)
        for one, at in zip(here.tolist(), nearest.tolist(), strict=True):
            found[one] = (layer.part, names[at])
    return found


def _governing_edge(worked: Worked, hole: int) -> Witness | None:
    """Which sheet and which of its edges governs the edge distance of a hole."""
    sheet = int(worked["edge_sheet"][hole])
    if sheet < 0:
        return None
    layer = worked.stacks.layers[worked.stacks.layer[hole, sheet]].layer
    edge = edge_witness(worked, hole, layer)
    if edge is None:
        return None
    return Witness(
        edge.kind,
        {
            "part": layer.part,
            "edge": edge.name,
            "place_u_mm": edge.place_mm[0],
            "place_v_mm": edge.place_mm[1],
            "distance_mm": edge.distance_mm,
        },
    )


@rule(
    "edge_distance_mm",
    inputs=("place_u_mm", "place_v_mm"),
    formula="hole centre to the nearest free edge or cut-out, least over the sheets",
    unit="mm",
    source=OWN_GEOMETRY,
    level=HOLE,
    kind=GEOMETRY,
    witness=_governing_edge,
    also=("edge_sheet",),
)
def edge_distance_mm(
    worked: Worked, u_mm: Column, v_mm: Column
) -> tuple[Column, Column]:
    """Edge distance.

    Source: own geometry on the drawing's outlines. NaN where no outline is known,
    where the place is only sketched, or where every sheet is a standard part.
    """
    holes = worked.holes
    least = np.full(len(holes), np.inf)
    governing = np.full(len(holes), -1, dtype=np.int64)
    for layer, hole, sheet in pairs_by_layer(worked, _checked_layers(worked)):
        distance = distance_to_edges_mm(layer, u_mm[hole], v_mm[hole], FREE)
        closer = distance < least[hole] - TOLERANCE_MM
        least[hole[closer]] = distance[closer]
        governing[hole[closer]] = sheet[closer]
    unknown = np.isinf(least) | holes.is_sketched
    governing[unknown] = -1
    return np.where(unknown, np.nan, least), governing


for _limit, _title in (
    ("edge_stop", "Edge distance below which to stop"),
    ("edge_check", "Least edge distance"),
    ("edge_note", "Least edge distance of flush heads"),
):
    formula(
        f"{_limit}_mm",
        f"{_title}, as a length",
        f"{_limit}_ratio * shank_diameter_mm",
        unit="mm",
        source=OWN_GEOMETRY,
    )
formula(
    "edge_ratio",
    "Edge distance in rivet diameters",
    "edge_distance_mm / shank_diameter_mm",
    unit="D",
    source=OWN_GEOMETRY,
    level=HOLE,
)


def _bend_distances_mm(layer: Layer, x_mm: Column, y_mm: Column) -> Column:
    """Distance to the nearest bend line of one layer, shape (holes,) [mm]."""
    bends = [pair for _, pair in outline_sides(layer, BEND)]
    return distance_to_sides_mm(bends, x_mm, y_mm)


def _governing_bend(worked: Worked, hole: int) -> Witness | None:
    """Which sheet's bend limits the flat round a hole."""
    sheet = int(worked["flat_sheet"][hole])
    if sheet < 0:
        return None
    layer = worked.stacks.layers[worked.stacks.layer[hole, sheet]].layer
    part = next(p for p in worked.plan.parts if p.name == layer.part)
    here = slice(hole, hole + 1)
    at = worked.holes.x_mm[here], worked.holes.y_mm[here]
    distance = float(_bend_distances_mm(layer, *at)[0])
    return Witness(
        "bend",
        {
            "part": part.name,
            "bend_line_mm": distance,
            "thickness_mm": part.thickness_mm,
            "bend_radius_mm": part.bend_radius_mm or 0.0,
            "radius_known": "yes" if part.bend_radius_mm is not None else "no",
        },
    )


@rule(
    "flat_distance_mm",
    inputs=("place_u_mm", "place_v_mm"),
    formula="hole centre to the bend line, less thickness and bend radius",
    unit="mm",
    source=OWN_GEOMETRY,
    level=HOLE,
    kind=GEOMETRY,
    witness=_governing_bend,
    also=("flat_sheet",),
)
def flat_distance_mm(
    worked: Worked, u_mm: Column, v_mm: Column
) -> tuple[Column, Column]:
    """Flat metal from the hole to where a bend begins.

    Source: own geometry. A bend radius that the drawing does not give counts as
    nothing, so the flat may be less. NaN where no bend is near.
    """
    holes = worked.holes
    parts = {part.name: part for part in worked.plan.parts}
    has_bend = np.array(
        [BEND in placed.layer.outline.sides for placed in worked.stacks.layers],
        dtype=bool,
    )
    least = np.full(len(holes), np.inf)
    governing = np.full(len(holes), -1, dtype=np.int64)
    for layer, hole, sheet in pairs_by_layer(worked, has_bend):
        part = parts[layer.part]
        if part.is_standard:
            continue
        line = _bend_distances_mm(layer, u_mm[hole], v_mm[hole])
        flat = line - part.thickness_mm - (part.bend_radius_mm or 0.0)
        closer = flat < least[hole] - TOLERANCE_MM
        least[hole[closer]] = flat[closer]
        governing[hole[closer]] = sheet[closer]
    unknown = np.isinf(least) | holes.is_sketched
    governing[unknown] = -1
    return np.where(unknown, np.nan, least), governing

"""The same assembly drawn otherwise: faces moved, turned, mirrored; lists reordered."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from random import Random

import shapely

from rivetwright.model.outline import CutOut, Face, Layer
from rivetwright.model.pattern import Counted, Point, Points
from rivetwright.model.plan import Plan, Row

Move = Callable[[Point], Point]


def shift(by: Point) -> Move:
    """Everything moved by so much."""
    return lambda at: (at[0] + by[0], at[1] + by[1])


def quarter_turn(at: Point) -> Point:
    """A quarter turn counter-clockwise."""
    return (-at[1], at[0])


def mirror(at: Point) -> Point:
    """Seen from the other side."""
    return (-at[0], at[1])


def moved_cut_out(cut: CutOut, move: Move) -> CutOut:
    """A cut-out moved."""
    centre = None if cut.centre_mm is None else move(cut.centre_mm)
    corners = tuple(move(one) for one in cut.corners_mm)
    return replace(cut, centre_mm=centre, corners_mm=corners)


def moved_layer(layer: Layer, move: Move) -> Layer:
    """A layer moved; its sides keep their numbers."""
    corners = tuple(move(one) for one in layer.outline.corners_mm)
    return replace(
        layer,
        outline=replace(layer.outline, corners_mm=corners, written="polygon"),
        cut_outs=tuple(moved_cut_out(cut, move) for cut in layer.cut_outs),
    )


def moved_row(row: Row, move: Move) -> Row:
    """A row moved, every hole written out."""
    if isinstance(row.pattern, Counted):
        return row
    places = tuple(move((x, y)) for x, y in row.pattern.places_mm().tolist())
    extra = tuple(
        replace(one, place_mm=one.place_mm and move(one.place_mm)) for one in row.extra
    )
    return replace(row, pattern=Points(places), extra=extra)


def moved_plan(plan: Plan, face: str, move: Move) -> Plan:
    """A plan with one face and all that lies on it moved."""
    faces = tuple(
        replace(one, layers=tuple(moved_layer(layer, move) for layer in one.layers))
        if one.name == face
        else one
        for one in plan.faces
    )
    rows = tuple(moved_row(row, move) if row.face == face else row for row in plan.rows)
    return replace(plan, faces=faces, rows=rows)


def reordered_face(face: Face, chance: Random) -> Face:
    """A face with layers swapped that lie side by side and not over each other."""
    layers = list(face.layers)
    for _ in range(3 * len(layers)):
        k = chance.randrange(len(layers))
        if k and _are_apart(layers[k - 1], layers[k]):
            layers[k - 1 : k + 1] = layers[k], layers[k - 1]
    return replace(face, layers=tuple(layers))


def _are_apart(one: Layer, two: Layer) -> bool:
    """Whether two outlines share no place."""
    first, second = (shapely.Polygon(la.outline.corners_mm) for la in (one, two))
    return bool(shapely.distance(first, second) > 1e-6)


def reordered_plan(plan: Plan, chance: Random) -> Plan:
    """The same plan with parts, faces, rows and layers side by side in other order."""
    faces = tuple(reordered_face(face, chance) for face in plan.faces)
    return replace(
        plan,
        parts=tuple(chance.sample(plan.parts, len(plan.parts))),
        faces=tuple(chance.sample(faces, len(faces))),
        rows=tuple(chance.sample(plan.rows, len(plan.rows))),
    )

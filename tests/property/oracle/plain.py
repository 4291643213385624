"""Plane geometry in plain Python: the oracle the engines are held against."""

from __future__ import annotations

import math
from collections.abc import Iterator

from rivetwright.model.outline import CutOut, Layer
from rivetwright.model.pattern import Point

Side = tuple[Point, Point]


def sides_of(corners: tuple[Point, ...]) -> list[Side]:
    """The sides of a closed line, in order."""
    return list(zip(corners, (*corners[1:], corners[0]), strict=True))


def is_in_polygon(place: Point, corners: tuple[Point, ...]) -> bool:
    """Whether a ray from the place to the right crosses the line an odd time."""
    x, y = place
    inside = False
    for (x0, y0), (x1, y1) in sides_of(corners):
        if (y0 > y) != (y1 > y) and x < x0 + (y - y0) * (x1 - x0) / (y1 - y0):
            inside = not inside
    return inside


def distance_to_side(place: Point, side: Side) -> float:
    """Distance from a place to a straight side between its two ends."""
    (x0, y0), (x1, y1) = side
    long = math.dist(*side)
    if long == 0:
        return math.dist(place, side[0])
    along = ((place[0] - x0) * (x1 - x0) + (place[1] - y0) * (y1 - y0)) / long**2
    along = min(1.0, max(0.0, along))
    return math.dist(place, (x0 + along * (x1 - x0), y0 + along * (y1 - y0)))


def is_in_cut_out(place: Point, cut: CutOut) -> bool:
    """Whether a place lies in a hole cut out of a part."""
    if cut.centre_mm is not None and cut.radius_mm is not None:
        return math.dist(place, cut.centre_mm) < cut.radius_mm
    return is_in_polygon(place, cut.corners_mm)


def holds(layer: Layer, place: Point) -> bool:
    """Whether a layer has metal at a place."""
    inside = is_in_polygon(place, layer.outline.corners_mm)
    return inside and not any(is_in_cut_out(place, cut) for cut in layer.cut_outs)


def edge_distances(layer: Layer, place: Point, kind: str) -> Iterator[float]:
    """Distances to all sides of one kind ("" for all) and to all cut-outs."""
    sides = zip(layer.outline.sides, sides_of(layer.outline.corners_mm), strict=True)
    yield from (distance_to_side(place, s) for k, s in sides if kind in ("", k))
    for cut in layer.cut_outs:
        if cut.centre_mm is not None and cut.radius_mm is not None:
            yield abs(math.dist(place, cut.centre_mm) - cut.radius_mm)
        else:
            rim = sides_of(cut.corners_mm)
            yield from (distance_to_side(place, side) for side in rim)

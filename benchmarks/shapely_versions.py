"""The same geometry straightforwardly in shapely: what the engines are held beside.

Both versions answer, for every hole: which sheets it goes through, how far the
nearest edge of any of them is, how far the nearest other hole of the face is.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from rivetwright.engines.layers import holes_by_face, layer_polygon
from rivetwright.model.columns import Holes
from rivetwright.model.plan import Plan

Ints = NDArray[np.int64]
Floats = NDArray[np.float64]


@dataclass(frozen=True)
class FaceTrees:
    """Outlines of one face with their rims, and trees over outlines and holes."""

    rims: list[shapely.Geometry]
    outlines: shapely.STRtree
    holes: shapely.STRtree


def prepare(plan: Plan, holes: Holes) -> dict[int, FaceTrees]:
    """Build the trees of every face."""
    made = {}
    for k, face, here in holes_by_face(plan, holes):
        outlines = [layer_polygon(layer) for layer in face.layers]
        points = np.asarray(shapely.points(holes.x_mm[here], holes.y_mm[here]))
        rims = [shapely.boundary(one) for one in outlines]
        made[k] = FaceTrees(rims, shapely.STRtree(outlines), shapely.STRtree(points))
    return made


def answer_one_by_one(
    faces: dict[int, FaceTrees], holes: Holes, sample: Ints
) -> list[tuple[int, float, float]]:
    """The plain loop: sheets, edge distance and nearest hole of each [mm]."""
    answers = []
    for hole in sample.tolist():
        face = faces[int(holes.face[hole])]
        point = shapely.Point(holes.x_mm[hole], holes.y_mm[hole])
        sheets = face.outlines.query(point, predicate="within")
        edge_mm = min(point.distance(face.rims[sheet]) for sheet in sheets)
        _, pitch_mm = face.holes.query_nearest(
            point, exclusive=True, return_distance=True, all_matches=False
        )
        answers.append((len(sheets), edge_mm, float(pitch_mm[0])))
    return answers


def answer_together(plan: Plan, holes: Holes) -> Floats:
    """The vectorised version over all holes; their edge distances [mm]."""
    edge_mm = np.full(len(holes), np.inf)
    pitch_mm = np.full(len(holes), np.inf)
    sheet_count = np.zeros(len(holes), dtype=np.int64)
    for _, face, here in holes_by_face(plan, holes):
        outlines = np.array([layer_polygon(layer) for layer in face.layers])
        rims = shapely.boundary(outlines)
        points = np.asarray(shapely.points(holes.x_mm[here], holes.y_mm[here]))
        tree = shapely.STRtree(points)
        # The outlines ask: the library prepares the geometry that asks.
        sheet, hole = tree.query(outlines, predicate="contains")
        distance = shapely.distance(points[hole], rims[sheet])
        np.minimum.at(edge_mm, here[hole], distance)
        sheet_count[here] = np.bincount(hole, minlength=len(here))
        (asked, _), nearest = tree.query_nearest(
            points, exclusive=True, return_distance=True, all_matches=False
        )
        pitch_mm[here[asked]] = nearest
    return edge_mm

"""Stacks, distances and neighbours found hole by hole, against every part and hole."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from rivetwright.model.columns import Holes
from rivetwright.model.outline import BEND, FREE, Face, Layer
from rivetwright.model.pattern import Point
from rivetwright.model.plan import FAR, SKETCHED, Plan
from tests.property.oracle.plain import distance_to_side, edge_distances, holds

ON_A_RIM_MM = 1e-6


@dataclass(frozen=True)
class Spot:
    """One hole: its index, row, face and place."""

    hole: int
    row: int
    face: Face
    place: Point
    is_sketched: bool


def spots(holes: Holes) -> Iterator[Spot]:
    """Every hole that has a place on a face."""
    plan = holes.plan
    for hole in range(len(holes)):
        row, face = int(holes.row[hole]), int(holes.face[hole])
        place = float(holes.x_mm[hole]), float(holes.y_mm[hole])
        if face >= 0 and not math.isnan(place[0]):
            sketched = plan.rows[row].places == SKETCHED
            yield Spot(hole, row, plan.faces[face], place, sketched)


def lies_on_a_rim(spot: Spot) -> bool:
    """Whether a hole lies on the very line of an outline: inside or not is chance."""
    every = (d for la in spot.face.layers for d in edge_distances(la, spot.place, ""))
    return min(every, default=math.inf) < ON_A_RIM_MM


def comes_before(plan: Plan, step: str) -> set[str]:
    """A step and all that it needs, and what they need."""
    needs = {
        one.name: [need.name for need in one.needs if need.kind == "step"]
        for one in plan.steps
    }
    found, ahead = set(), [step]
    while ahead:
        one = ahead.pop()
        if one not in found:
            found.add(one)
            ahead += needs.get(one, [])
    return found


def is_present(holes: Holes, spot: Spot, layer: Layer) -> bool:
    """Whether a layer is there when a hole is set."""
    plan = holes.plan
    opened = int(holes.open_holes[spot.hole])
    step = plan.rows[spot.row].step
    if opened >= 0 and plan.open_holes[opened].step:
        step = plan.open_holes[opened].step
    if layer.for_open:
        return opened >= 0 and plan.open_holes[opened].id == layer.for_open
    return not layer.from_step or layer.from_step in comes_before(plan, step)


def drawn_stack(holes: Holes, spot: Spot) -> list[Layer]:
    """Layers with metal at a hole at its step, manufactured head first."""
    found = [
        layer
        for layer in spot.face.layers
        if holds(layer, spot.place) and is_present(holes, spot, layer)
    ]
    is_far = holes.plan.rows[spot.row].head_side == FAR
    return found[::-1] if is_far else found


def used_layers(holes: Holes, spot: Spot) -> list[Layer]:
    """Layers of the sheets that are written, or of those drawn."""
    plan, drawn = holes.plan, drawn_stack(holes, spot)
    opened = int(holes.open_holes[spot.hole])
    written = plan.rows[spot.row].stack
    if opened >= 0 and plan.open_holes[opened].stack:
        written = plan.open_holes[opened].stack
    if not written:
        return drawn
    names = {sheet.part for sheet in written}
    return [layer for layer in drawn if layer.part in names]


def edge_distance(holes: Holes, spot: Spot) -> float:
    """Least distance to a free edge or cut-out over the sheets; nan where none."""
    standard = {part.name for part in holes.plan.parts if part.is_standard}
    distances = [
        distance
        for layer in used_layers(holes, spot)
        if layer.part not in standard
        for distance in edge_distances(layer, spot.place, FREE)
    ]
    return math.nan if spot.is_sketched else min(distances, default=math.nan)


def flat_distance(holes: Holes, spot: Spot) -> float:
    """Least flat metal to a bend over the sheets; nan where no sheet has one."""
    parts = {part.name: part for part in holes.plan.parts}
    flats = []
    for layer in used_layers(holes, spot):
        part, corners = parts[layer.part], layer.outline.corners_mm
        ends = zip(corners, (*corners[1:], corners[0]), strict=True)
        for kind, side in zip(layer.outline.sides, ends, strict=True):
            if kind == BEND and not part.is_standard:
                round_mm = part.thickness_mm + (part.bend_radius_mm or 0.0)
                flats.append(distance_to_side(spot.place, side) - round_mm)
    return math.nan if spot.is_sketched else min(flats, default=math.nan)


def pitch_ratio(holes: Holes, spot: Spot, others: list[Spot]) -> float:
    """Least distance to another hole over the larger of the two diameters."""
    mine = float(holes.callout(spot.hole).diameter_mm)
    ratios = [
        math.dist(spot.place, other.place)
        / max(mine, float(holes.callout(other.hole).diameter_mm))
        for other in others
        if other.hole != spot.hole
        and other.face.name == spot.face.name
        and not other.is_sketched
    ]
    return math.nan if spot.is_sketched else min(ratios, default=math.nan)

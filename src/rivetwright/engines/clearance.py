"""Whether the heads have flat metal to sit on: steps of parts beside a hole."""

from __future__ import annotations

import numpy as np
import shapely
from numpy.typing import NDArray

from rivetwright.engines.given import OWN_GEOMETRY
from rivetwright.engines.layers import (
    Pairs,
    holes_by_face,
    is_inside,
    layer_polygon,
    near_box,
    split_by_presence,
)
from rivetwright.engines.rules import (
    CLASS,
    GEOMETRY,
    HOLE,
    Column,
    Witness,
    formula,
    rule,
)
from rivetwright.engines.sides import distance_to_edges_mm
from rivetwright.engines.stacks import NO
from rivetwright.engines.worked import Worked
from rivetwright.model.outline import Layer
from rivetwright.model.plan import FAR
from rivetwright.standards.source import Source, Status
from rivetwright.units.tolerance import TOLERANCE_MM

Ints = NDArray[np.int64]

DIE_CIRCLE = Source(
    "judgement",
    "circle of the shop head at 1.75 D, the widest not over-driven",
    Status.JUDGEMENT,
)

formula(
    "head_radius_mm",
    "Radius of the manufactured head",
    "head_diameter_mm / 2",
    unit="mm",
    source=OWN_GEOMETRY,
    level=CLASS,
)
formula(
    "shop_circle_radius_mm",
    "Radius the shop head and its die need",
    "1.75 * shank_diameter_mm / 2",
    unit="mm",
    source=DIE_CIRCLE,
    level=CLASS,
)


def _beside(worked: Worked, reach_mm: float) -> tuple[Pairs, Column]:
    """Holes with a layer beside them that does not cover them, and how far off."""
    holes, plan = worked.holes, worked.plan
    first = np.cumsum([0, *(len(face.layers) for face in plan.faces)])
    at_hole, at_layer, far = [np.zeros(0, dtype=np.int64)], [], [np.zeros(0)]
    for k, face, here in holes_by_face(plan, holes):
        x_mm, y_mm = holes.x_mm[here], holes.y_mm[here]
        for order, layer in enumerate(face.layers):
            near, gap = _gaps_mm(layer, x_mm, y_mm, reach_mm)
            at_hole.append(here[near])
            at_layer.append(np.full(len(near), first[k] + order))
            far.append(gap)
    layers = np.concatenate(at_layer) if at_layer else at_hole[0]
    return Pairs(np.concatenate(at_hole), layers), np.concatenate(far)


def _gaps_mm(
    layer: Layer, x_mm: Column, y_mm: Column, reach_mm: float
) -> tuple[Ints, Column]:
    """Holes beside an outline or in a cut-out of it, and how far from its rim [mm]."""
    near = near_box(layer, x_mm, y_mm, reach_mm)
    near = near[~is_inside(layer, x_mm[near], y_mm[near])]
    gap = distance_to_edges_mm(layer, x_mm[near], y_mm[near])
    beside = (gap > 0.0) & (gap <= reach_mm)
    return near[beside], gap[beside]


def _outer_layers(worked: Worked) -> tuple[Ints, Ints]:
    """Each hole's nearest and farthest layer, shape (holes,); -1 where none is."""
    layer = worked.stacks.layer
    far = layer.max(axis=1)
    most = len(worked.stacks.layers)
    near = np.where(layer >= 0, layer, most).min(axis=1)
    return np.where(far >= 0, near, NO), far


def _lie_over_each_other(worked: Worked, one: Ints, two: Ints) -> NDArray[np.bool_]:
    """Whether two layers have metal over each other, pair by pair.

    Side by side on the same sheet neither is above the other, whichever the file
    lists first.
    """
    layers = worked.stacks.layers
    pairs, of_pair = np.unique(np.column_stack((one, two)), axis=0, return_inverse=True)
    outlines = np.empty(len(layers), dtype=object)
    for k in np.unique(pairs).tolist():
        outlines[k] = layer_polygon(layers[k].layer)
    shared = np.asarray(shapely.area(shapely.intersection(*outlines[pairs].T)))
    return np.asarray(shared > TOLERANCE_MM)[of_pair.reshape(-1)]


def _steps(worked: Worked, reach_mm: float) -> tuple[Column, Ints, Column, Ints]:
    """Nearest part step on the head side and on the shop side of each hole."""
    holes, stacks = worked.holes, worked.stacks
    pairs, gap = _beside(worked, reach_mm)
    present, _ = split_by_presence(worked.plan, holes, stacks.layers, pairs)
    keys = len(stacks.layers)
    kept = np.isin(pairs.hole * keys + pairs.layer, present.hole * keys + present.layer)
    near, far = _outer_layers(worked)
    kept &= far[pairs.hole] >= 0
    hole, layer, gap = pairs.hole[kept], pairs.layer[kept], gap[kept]
    # Layers of a face are numbered from near to far.
    is_near = (layer < near[hole]) & _lie_over_each_other(worked, layer, near[hole])
    is_far = (layer > far[hole]) & _lie_over_each_other(worked, layer, far[hole])
    far_rows = np.array([r.head_side == FAR for r in worked.plan.rows], dtype=bool)
    turned = far_rows[holes.row[hole]]
    on_head = np.where(turned, is_far, is_near)
    on_shop = np.where(turned, is_near, is_far)
    head = _nearest_step(worked, hole[on_head], layer[on_head], gap[on_head])
    shop = _nearest_step(worked, hole[on_shop], layer[on_shop], gap[on_shop])
    return *head, *shop


def _nearest_step(
    worked: Worked, hole: Ints, layer: Ints, gap: Column
) -> tuple[Column, Ints]:
    """Of all steps beside each hole the nearest: distance and whose, (holes,) each.

    Of parts equally near the first by name, so that listing order does not matter.
    """
    count = len(worked.holes)
    least = np.full(count, np.inf)
    np.minimum.at(least, hole, gap)
    tied = gap <= least[hole] + TOLERANCE_MM
    hole, layer, gap = hole[tied], layer[tied], gap[tied]
    names = np.array([placed.layer.part for placed in worked.stacks.layers], dtype=str)
    # What is written last stands.
    order = np.argsort(names[layer], kind="stable")[::-1]
    distance = np.full(count, np.nan)
    whose = np.full(count, -1, dtype=np.int64)
    distance[hole[order]], whose[hole[order]] = gap[order], layer[order]
    return distance, whose


def _step_witness(worked: Worked, hole: int, side: str) -> Witness | None:
    """The part whose step lies beside a hole, on one side of the stack."""
    layer = int(worked[f"step_layer_{side}"][hole])
    if layer < 0:
        return None
    part = worked.stacks.layers[layer].layer.part
    distance = float(worked[f"step_distance_{side}_mm"][hole])
    return Witness("part step", {"part": part, "distance_mm": distance})


@rule(
    "step_distance_head_mm",
    inputs=("place_u_mm", "place_v_mm", "head_radius_mm", "shop_circle_radius_mm"),
    formula="hole centre to the nearest part lying beside it on the head side",
    unit="mm",
    source=OWN_GEOMETRY,
    level=HOLE,
    kind=GEOMETRY,
    witness=lambda worked, hole: _step_witness(worked, hole, "head"),
    also=("step_layer_head", "step_beside_shop_mm", "step_layer_shop"),
)
def step_distances(
    worked: Worked, u_mm: Column, v_mm: Column, head_mm: Column, shop_mm: Column
) -> tuple[Column, Ints, Column, Ints]:
    """Distance to the nearest part step on the head side.

    Source: own geometry. Only parts that lie over the outermost sheet count. NaN
    where none lies beside the hole within the largest head circle.
    """
    radii = np.concatenate((head_mm, shop_mm))
    reach_mm = float(np.nanmax(radii, initial=0.0)) + TOLERANCE_MM
    head, head_layer, shop, shop_layer = _steps(worked, reach_mm)
    sketched = worked.holes.is_sketched
    head[sketched] = shop[sketched] = np.nan
    head_layer[sketched] = shop_layer[sketched] = NO
    return head, head_layer, shop, shop_layer


@rule(
    "step_distance_shop_mm",
    inputs=("step_beside_shop_mm",),
    formula="hole centre to the nearest part lying beside it on the shop side",
    unit="mm",
    source=OWN_GEOMETRY,
    level=HOLE,
    kind=GEOMETRY,
    witness=lambda worked, hole: _step_witness(worked, hole, "shop"),
)
def step_distance_shop_mm(_: Worked, beside_mm: Column) -> Column:
    """Distance to the nearest part step on the shop side.

    Source: own geometry; found together with the head side.
    """
    return beside_mm

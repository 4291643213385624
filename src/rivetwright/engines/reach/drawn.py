"""What the outlines alone leave round every hole at its step."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import shapely
from numpy.typing import NDArray

from rivetwright.engines.layers import Pairs, holes_by_face, split_by_presence
from rivetwright.engines.reach.around import NO, Around, Ints
from rivetwright.engines.reach.outlines import (
    Sight,
    Standing,
    covered,
    find_standing,
    together,
    walls,
    ways_in,
)
from rivetwright.engines.reach.throat import YOKE
from rivetwright.engines.rules import Column
from rivetwright.engines.worked import Worked
from rivetwright.model.columns import preceding_steps
from rivetwright.model.plan import FAR
from rivetwright.standards.reach import reach_margin_mm


def sight_of(worked: Worked) -> Sight:
    """How far is looked round each hole: as far as the shop's tools ask.

    Source: reach_margins.csv; JUDGEMENT.
    """
    tools = worked.shop.tools if worked.shop else ()
    yokes = [tool.reach_mm for tool in tools if tool.kind == YOKE]
    bars = [tool.reach_mm for tool in tools if tool.kind != YOKE]
    bar = max([float(reach_margin_mm("way for a bar").value), *filter(None, bars)])
    half = max([tool.half_width_mm or 0.0 for tool in tools], default=0.0)
    tight = float(reach_margin_mm("tight").value)
    return Sight(
        max([one if one is not None else bar for one in yokes], default=bar),
        bar,
        max(half + tight, float(reach_margin_mm("walls looked at").value)),
        float(reach_margin_mm("cut-out for a yoke").value),
    )


def _groups(worked: Worked) -> Iterator[tuple[Ints, list[int]]]:
    """Holes of one face and step, and the layers that are there then.

    Each layer by its place in the plan's list.
    """
    holes, plan, layers = worked.holes, worked.plan, worked.stacks.layers
    first = np.cumsum([0, *(len(face.layers) for face in plan.faces)])
    for k, _, here in holes_by_face(plan, holes):
        of_face = np.arange(first[k], first[k + 1])
        states = np.column_stack((holes.step[here], holes.open_holes[here]))
        _, example, group = np.unique(
            states, axis=0, return_index=True, return_inverse=True
        )
        count = len(of_face), len(example)
        pairs = Pairs(
            np.repeat(here[example], count[0]),
            np.tile(of_face, count[1]).astype(np.int64),
        )
        present, _ = split_by_presence(plan, holes, layers, pairs)
        for number, hole in enumerate(here[example].tolist()):
            there = present.layer[present.hole == hole].tolist()
            if there:
                yield here[group.reshape(-1) == number], there


class _Found:
    """Columns filled group by group: who is known, and walls of both sides."""

    def __init__(self, count: int) -> None:
        self.is_known = np.zeros(count, dtype=bool)
        self.away_mm, self.toward_mm = np.full((2, count), np.inf)
        self.away_layer, self.toward_layer = np.full((2, count), NO)

    def note(
        self,
        here: Ints,
        order: Ints,
        standing: Standing,
        place: tuple[Column, Column],
        within_mm: float,
    ) -> None:
        """Note the walls round some holes of one group."""
        layer_of = np.append(order[standing.layer], NO)
        self.is_known[here] = True
        for is_away, distance, whose in (
            (True, self.away_mm, self.away_layer),
            (False, self.toward_mm, self.toward_layer),
        ):
            found = walls(standing, *place, within_mm, is_away)
            distance[here] = found.distance_mm
            whose[here] = layer_of[found.leg]


def from_outlines(worked: Worked) -> Around:
    """What the outlines alone leave round every hole; not known where none is drawn.

    Source: own geometry.
    """
    holes = worked.holes
    found = _Found(len(holes))
    thickness = {part.name: part.thickness_mm for part in worked.plan.parts}
    sight = sight_of(worked)
    every_way = []
    for group, order in _groups(worked):
        layers = [worked.stacks.layers[k].layer for k in order]
        place = holes.x_mm[group], holes.y_mm[group]
        sheet = covered(layers)
        shapely.prepare(sheet)
        inside = np.asarray(shapely.contains_xy(sheet, *place))
        here = group[inside & ~holes.is_sketched[group]]
        place = holes.x_mm[here], holes.y_mm[here]
        standing = find_standing(layers, thickness)
        ways = ways_in(layers, sheet, standing, *place, sight)
        every_way.append(ways.of_holes(here))
        found.note(here, np.array(order), standing, place, sight.wall_mm)
    gap, both = _behind(worked)
    turned = np.array([row.head_side == FAR for row in worked.plan.rows], dtype=bool)
    is_far = turned[holes.row] if len(turned) else np.zeros(0, dtype=bool)
    return Around(
        found.is_known,
        np.where(found.is_known, gap, np.nan),
        np.where(is_far, found.toward_mm, found.away_mm),
        np.where(is_far, found.away_mm, found.toward_mm),
        both,
        together(every_way),
        np.where(is_far, found.toward_layer, found.away_layer),
        np.where(is_far, found.away_layer, found.toward_layer),
    )


def _behind(worked: Worked) -> tuple[Column, NDArray[np.bool_]]:
    """Free depth behind each hole and whether both sides are reached at its step.

    A face's taper counts from the step that closes it; after that step nobody gets
    behind it any more.
    """
    plan, holes = worked.plan, worked.holes
    steps = {step.name: k for k, step in enumerate(plan.steps)}
    before = preceding_steps(plan)
    gap, both = np.full(len(holes), np.inf), np.ones(len(holes), dtype=bool)
    for k, face in enumerate(plan.faces):
        here = np.flatnonzero(holes.face == k)
        closing = [steps[one.name] for one in plan.steps if face.name in one.closes]
        at = holes.step[here]
        known = at >= 0
        closes = np.isin(at, closing)
        past = known & before[at][:, closing].any(axis=1) & ~closes
        both[here] = ~past
        if face.taper_mm:
            narrow = closes | past if closing else np.ones(len(here), dtype=bool)
            gap[here[narrow]] = depth_at(face.taper_mm, holes.y_mm[here[narrow]])
    return gap, both


def depth_at(taper_mm: tuple[tuple[float, float], ...], v_mm: Column) -> Column:
    """Free depth behind a flange between two places where it is given [mm].

    NaN beyond the first and the last of them: nothing is read beyond a table.

    Source: the drawing; own geometry between its places.
    """
    v, gap = np.array(taper_mm).T
    return np.asarray(np.interp(v_mm, v, gap, left=np.nan, right=np.nan))

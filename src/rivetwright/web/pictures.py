"""The pictures of the drawing floor, made ready to stand in a page.

Their common style is taken out of each and served once: the page's content policy
allows no style but that of our own files.
"""

from __future__ import annotations

import math
import re
import xml.etree.ElementTree as ET
from functools import lru_cache

import numpy as np
from markupsafe import Markup

from rivetwright.drawing.defects import defect_svg
from rivetwright.drawing.frame import make_frame
from rivetwright.drawing.hole_map import SCREEN_PX_A_MM, draw_hole_map, face_view
from rivetwright.drawing.legend import legend_svg
from rivetwright.drawing.row_strip import row_strip_svg
from rivetwright.drawing.stack_section import section_hole, stack_section_svg
from rivetwright.drawing.svg import add, number
from rivetwright.drawing.view import NARROWEST_SCALE, Look, Window, find_face
from rivetwright.engines.plan import WorkedPlan
from rivetwright.engines.rules import Witness
from rivetwright.model.pattern import Point

_STYLE = re.compile(r"<style>.*?</style>", re.DOTALL)
_BOX = re.compile(r'viewBox="([^"]*)"')
_WORLD_END = re.compile(r"</g></svg>$")
# Room that the drawn frame takes beside and above the face, in mm as drawn.
BESIDE_MM, ABOVE_MM = 26.0, 40.0
LEAST_ROOM_MM = 60.0
LEAST_BARE_MM = 14.0
USUAL_PX = (950, 620)
WITNESS_ROOM = 1.4
WITNESS_LEAST_MM = 12.0
WITNESS_DRAWN_MM = 70.0


def for_page(svg: str) -> Markup:
    """A picture without its own style."""
    return Markup(_STYLE.sub("", svg, count=1))


def sized(svg: str) -> Markup:
    """A picture as wide as it was drawn, so that its letters have their size."""
    wide, high = (float(size) for size in _BOX.search(svg)[1].split()[2:])  # type: ignore[index]
    room = f'width="{wide * SCREEN_PX_A_MM:.0f}" height="{high * SCREEN_PX_A_MM:.0f}"'
    return for_page(svg.replace("<svg ", f"<svg {room} ", 1))


@lru_cache
def defect_picture(look: str) -> Markup:
    """The small picture of what may be seen on a rivet; its words stand beside it."""
    # Words and picture are one button: the picture is not read out besides.
    svg = defect_svg(look, "").replace("<title /><desc />", "", 1)
    return for_page(svg.replace('role="img" aria-label=""', 'aria-hidden="true"', 1))


def map_picture(
    worked_plan: WorkedPlan,
    face: str,
    *,
    mirror: bool,
    turns: int,
    room_px: tuple[int, int] = USUAL_PX,
) -> Markup:
    """The hole map of a face, its letters sized for the room it gets on the page.

    Raises:
        NotFound: the plan has no such face.
    """
    bare = Look(mirror=mirror, quarter_turns=turns)
    view, _ = face_view(worked_plan, face, bare)
    wide_mm, high_mm = (
        max(LEAST_ROOM_MM, px / SCREEN_PX_A_MM - taken)
        for px, taken in zip(room_px, (BESIDE_MM, ABOVE_MM), strict=True)
    )
    across, down = view.size_mm
    scale = max(NARROWEST_SCALE, across / wide_mm, down / high_mm)
    look = Look(mirror=mirror, quarter_turns=turns, scale=scale)
    return for_page(draw_hole_map(worked_plan, face, look).svg)


def bare_map_picture(
    worked_plan: WorkedPlan,
    face_name: str,
    room_px: tuple[int, int],
    held: frozenset[int] = frozenset(),
) -> Markup:
    """The hole map without the words above and below it, for little room.

    `held` are holes that get a sheet holder.

    Raises:
        NotFound: the plan has no such face.
    """
    _, face = find_face(worked_plan.worked.plan, face_name)
    view, _ = face_view(worked_plan, face_name, Look())
    wide_mm, high_mm = (
        max(LEAST_BARE_MM, px / SCREEN_PX_A_MM - BESIDE_MM) for px in room_px
    )
    across, down = view.size_mm
    scale = max(NARROWEST_SCALE, across / wide_mm, down / high_mm)
    left, top, right, bottom = make_frame(face, view, scale).inner
    box = " ".join(number(one) for one in (left, top, right - left, bottom - top))
    drawn = draw_hole_map(worked_plan, face_name, Look(scale=scale, held=held)).svg
    return for_page(_BOX.sub(lambda _: f'viewBox="{box}"', drawn, count=1))


def strip_picture(
    worked_plan: WorkedPlan, row: str, held: frozenset[int] = frozenset()
) -> Markup:
    """The holes of a row whose places no drawing gives; `held` get a holder."""
    return sized(row_strip_svg(worked_plan, row, held=held))


def section_picture(worked_plan: WorkedPlan, hole: int) -> Markup | None:
    """The stack of a hole cut through; None where no stack is known."""
    if section_hole(worked_plan, [hole]) is None:
        return None
    return for_page(stack_section_svg(worked_plan, hole))


def legend_picture() -> Markup:
    """What the signs of the map mean."""
    return for_page(legend_svg(columns=1))


def witness_place(worked_plan: WorkedPlan, hole: int, witness: Witness) -> Point | None:
    """Where on the face a witness lies, for those that lie on it."""
    fields = witness.fields
    if "place_u_mm" in fields:
        return float(fields["place_u_mm"]), float(fields["place_v_mm"])
    if witness.what == "neighbour":
        holes = worked_plan.worked.holes
        other = holes.index(str(fields["hole"]))
        return float(holes.x_mm[other]), float(holes.y_mm[other])
    return None


def witness_picture(
    worked_plan: WorkedPlan, hole: int, witness: Witness
) -> Markup | None:
    """The hole and what a figure of it was measured to; None where it has no place."""
    holes = worked_plan.worked.holes
    row = holes.row_of(hole)
    place = witness_place(worked_plan, hole, witness)
    if place is None or not row.face or math.isnan(float(holes.x_mm[hole])):
        return None
    here = (float(holes.x_mm[hole]), float(holes.y_mm[hole]))
    reach = max(WITNESS_LEAST_MM, WITNESS_ROOM * math.dist(here, place))
    middle = [(a + b) / 2 for a, b in zip(here, place, strict=True)]
    box = (
        middle[0] - reach,
        middle[1] - reach,
        middle[0] + reach,
        middle[1] + reach,
    )
    scale = 2 * reach / WITNESS_DRAWN_MM
    look = Look(scale=scale, window=Window(holes.name(hole), box))
    view, _ = face_view(worked_plan, row.face, look)
    ends = view.seen(np.array([here, place])).tolist()
    drawn = draw_hole_map(worked_plan, row.face, look).svg
    line = _measure(ends, scale)
    return for_page(_WORLD_END.sub(lambda _: f"{line}</g></svg>", drawn, count=1))


def _measure(ends: list[list[float]], scale: float) -> str:
    """A line from the hole to its witness, with a dot at each end."""
    group = ET.Element("g", {"class": "measured"})
    (x0, y0), (x1, y1) = ends
    path = f"M{number(x0)} {number(y0)}L{number(x1)} {number(y1)}"
    add(group, "path", d=path, stroke_width=0.8 * scale)
    for x, y in ends:
        add(group, "circle", cx=x, cy=y, r=1.1 * scale)
    return ET.tostring(group, encoding="unicode")

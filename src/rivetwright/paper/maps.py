"""Hole maps on paper: the largest usual scale that fits, close-ups, row strips."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any, Literal

import numpy as np

from rivetwright.drawing.close_ups import close_ups, part_with_holes, parts_of_face
from rivetwright.drawing.hole_map import Drawn, draw_hole_map, map_size_mm
from rivetwright.drawing.row_strip import row_strip_svg, strip_size_mm
from rivetwright.drawing.stack_section import stack_section_svg
from rivetwright.drawing.view import Look, Window, fitting_scale
from rivetwright.engines.plan import WorkedPlan
from rivetwright.paper.words import hole_ranges, say
from rivetwright.units.wording import show_number

Paper = Literal["letter", "a4"]

# Turning a map must make it this much larger to be worth a turned head.
WORTH_TURNING = 1.25
# A long face may be broken into so many parts, each step for this much more.
PARTS = (2, 3)
WORTH_BREAKING = 1.4
LARGER = 1.001
MAP_WORDS_MM = 16.0
CLOSE_UP_WORDS_MM = 22.0
SECTION_DRAWN_MM = 34.0


@dataclass(frozen=True)
class Sheet:
    """A sheet of paper lying on its long side; lengths in mm."""

    name: str
    width_mm: float
    height_mm: float
    side_mm: float = 12.0
    top_mm: float = 17.0
    bottom_mm: float = 22.0

    @property
    def room_mm(self) -> tuple[float, float]:
        """Width and height inside the margins."""
        return (
            self.width_mm - 2 * self.side_mm,
            self.height_mm - self.top_mm - self.bottom_mm,
        )


SHEETS: dict[Paper, Sheet] = {
    "letter": Sheet("us-letter", 279.4, 215.9),
    "a4": Sheet("a4", 297.0, 210.0),
}


def face_maps(worked_plan: WorkedPlan, sheet: Sheet) -> list[dict[str, Any]]:
    """Every face with holes or parts: its map, and its crowded parts drawn larger."""
    columns = worked_plan.worked.holes
    faces = worked_plan.worked.plan.faces
    shown = [
        face.name
        for k, face in enumerate(faces)
        if face.layers or (columns.face == k).any()
    ]
    return [_face_map(worked_plan, name, sheet) for name in shown]


def _face_map(worked_plan: WorkedPlan, name: str, sheet: Sheet) -> dict[str, Any]:
    """One face as large as the sheet allows, whole or in parts one above the other."""
    wide, high = sheet.room_mm
    windows, scale, turns = _laid_out(worked_plan, name, (wide, high - MAP_WORDS_MM))
    half = ((wide - 8) / 2 - CLOSE_UP_WORDS_MM, high - 2 * CLOSE_UP_WORDS_MM)
    found = close_ups(worked_plan, name, scale, half)
    looks = [
        Look(
            True,
            quarter_turns=turns,
            scale=scale,
            window=window,
            marked=tuple(one for one, _ in found if _meet(one, window)),
        )
        for window in windows
    ]
    larger = [
        Look(True, quarter_turns=turns, scale=wanted, window=window)
        for window, wanted in found
    ]
    return {
        "maps": [
            _picture(worked_plan, draw_hole_map(worked_plan, name, one))
            for one in looks
        ],
        "close_ups": [
            _picture(worked_plan, draw_hole_map(worked_plan, name, one))
            for one in larger
        ],
        "about": name,
    }


def _meet(window: Window, shown: Window | None) -> bool:
    """Whether the middle of a close-up lies in what is shown of the face."""
    if shown is None or shown.parts == 1:
        return True
    u0, v0, u1, v1 = window.box_mm
    low_u, low_v, high_u, high_v = shown.box_mm
    return low_u <= (u0 + u1) / 2 < high_u and low_v <= (v0 + v1) / 2 < high_v


def _laid_out(
    worked_plan: WorkedPlan, name: str, room_mm: tuple[float, float]
) -> tuple[list[Window | None], float, int]:
    """The parts in which a face is drawn, their scale, and their quarter turns."""
    whole = part_with_holes(worked_plan, name)
    scale, turns = _scale_and_turns(worked_plan, name, room_mm, whole)
    best: tuple[list[Window | None], float, int] = ([whole], scale, turns)
    if turns:
        return best
    for count in PARTS:
        parts = parts_of_face(worked_plan, name, whole, count)
        looks = [Look(window=part) for part in parts]
        worth = best[1] / WORTH_BREAKING
        scale = _scale(worked_plan, name, looks, room_mm, least_mm=worth)
        if scale <= worth:
            best = ([*parts], scale, 0)
    return best


def _scale_and_turns(
    worked_plan: WorkedPlan,
    name: str,
    room_mm: tuple[float, float],
    part: Window | None,
) -> tuple[float, int]:
    """Scale, and whether the map is turned a quarter to be larger."""
    level, turned = (
        _scale(worked_plan, name, [Look(quarter_turns=turns, window=part)], room_mm)
        for turns in (0, 1)
    )
    return (turned, 1) if turned * WORTH_TURNING <= level else (level, 0)


def _scale(
    worked_plan: WorkedPlan,
    name: str,
    looks: list[Look],
    room_mm: tuple[float, float],
    *,
    least_mm: float = math.inf,
) -> float:
    """The largest usual scale, full size at most, at which maps fit, stacked.

    Where they do not fit at 1 : `least_mm` or larger, the scale given is smaller.
    """
    scale = 1.0
    while scale <= least_mm:
        sizes = [map_size_mm(worked_plan, name, look, scale) for look in looks]
        high = sum(size[1] for size in sizes)
        if max(size[0] for size in sizes) <= room_mm[0] and high <= room_mm[1]:
            return scale
        scale = fitting_scale(scale * LARGER)
    return scale


def _picture(worked_plan: WorkedPlan, drawn: Drawn) -> dict[str, Any]:
    """A drawn map with its size and the words about its scale."""
    scale = show_number(drawn.scale, digits=2, trim=True)
    unit = "mm" if worked_plan.worked.plan.unit == "mm" else "in"
    key = "map.scale_full" if drawn.scale == 1.0 else "map.scale"
    words = [say(key, scale=scale)]
    if drawn.scale != 1.0:
        words.append(say(f"map.ruler_{unit}", scale=scale))
    words.append(say("map.grown" if drawn.grow > 1.0 else "map.true"))
    return {
        "svg": drawn.svg,
        "width": drawn.width_mm,
        "height": drawn.height_mm,
        "words": "; ".join(words),
        "alt": drawn.title,
    }


def row_strips(worked_plan: WorkedPlan) -> list[dict[str, Any]]:
    """Strips of the rows of which no hole has a place on a face."""
    columns = worked_plan.worked.holes
    unplaced = (columns.face < 0) | np.isnan(columns.x_mm)
    strips = []
    for k, row in enumerate(columns.plan.rows):
        start, stop = int(columns.row_start[k]), int(columns.row_start[k + 1])
        if stop > start and unplaced[start:stop].all():
            svg = row_strip_svg(worked_plan, row.name, for_paper=True)
            words = hole_ranges(columns, range(start, stop))
            width, _ = strip_size_mm(stop - start)
            strips.append({"svg": svg, "alt": words, "width": width})
    return strips


def sections(worked_plan: WorkedPlan) -> list[dict[str, Any]]:
    """One section for each stack that differs in what is seen of it."""
    worked = worked_plan.worked
    thick = {part.name: part.thickness_mm for part in worked.plan.parts}
    alike: dict[object, list[int]] = {}
    for hole, kind in enumerate(worked.stacks.class_of.tolist()):
        one = worked.stacks.classes[kind]
        seen = tuple((thick[s.part], s.preparation) for s in one.sheets)
        if seen:
            alike.setdefault((seen, str(one.callout)), []).append(hole)
    return [
        {
            "svg": stack_section_svg(
                worked_plan, holes[0], for_paper=True, side_drawn_mm=SECTION_DRAWN_MM
            ),
            "holes": hole_ranges(worked.holes, holes),
        }
        for holes in alike.values()
    ]

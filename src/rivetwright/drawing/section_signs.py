"""What every section through a rivet shares: hatched sheets, arrows, places for words.

Half sections go outward from the rivet's axis, as in `profiles`.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import shapely

from rivetwright.drawing.outlines import line_runs
from rivetwright.drawing.profiles import SheetProfile
from rivetwright.drawing.svg import Element, add, path_through
from rivetwright.model.pattern import Point

# Millimetres as drawn.
HATCH_MM = 1.7
LINE_MM = 0.3
THIN_MM = 0.18
BARB_MM = 1.2
BARB_TURN = 0.35


def both_halves(outline: Sequence[Point]) -> list[list[Point]]:
    """A half section and its mirror image."""
    return [list(outline), [(-x, z) for x, z in outline]]


def around(outline: Sequence[Point]) -> list[Point]:
    """A half section from the axis and back along its mirror image, as one outline."""
    return [*outline, *((-x, z) for x, z in reversed(outline))]


def add_sheets(world: Element, profiles: Sequence[SheetProfile], unit: float) -> None:
    """The sheets, each hatched the other way than the one before it."""
    group = add(world, "g", class_="sheets", stroke_width=LINE_MM * unit)
    for k, profile in enumerate(profiles):
        for half in both_halves(profile.outline_mm):
            add(group, "path", d=path_through(half, closed=True), class_="sheet")
            hatch = "".join(path_through(run) for run in _hatch(half, k, unit))
            add(
                group,
                "path",
                d=hatch,
                class_="sign hidden",
                stroke_width=THIN_MM * unit,
            )
            add(group, "path", d=path_through(half), class_="sign")


def _hatch(outline: Sequence[Point], k: int, unit: float) -> list[list[Point]]:
    """Section lines at 45 degrees inside an outline."""
    left, top, right, bottom = shapely.Polygon(outline).bounds
    lean = 1 if k % 2 else -1
    step = HATCH_MM * unit * math.sqrt(2)
    high = bottom - top
    # Lines pass whole multiples of the step, so that both halves hatch alike.
    first, last = math.floor((left - high) / step), math.ceil((right + high) / step)
    lines = [
        ((n * step - lean * high / 2, top), (n * step + lean * high / 2, bottom))
        for n in range(first, last + 1)
    ]
    inside = shapely.intersection(
        shapely.MultiLineString(lines), shapely.make_valid(shapely.Polygon(outline))
    )
    return line_runs(inside)


def spread_out(middles: Sequence[float], step: float) -> list[float]:
    """Heights as near to the middles as they go, at least a step apart."""
    if not middles:
        return []
    spread = list(middles)
    for k in range(1, len(spread)):
        spread[k] = max(spread[k], spread[k - 1] + step)
    shift = sum(spread) / len(spread) - sum(middles) / len(middles)
    return [y - shift for y in spread]


def add_arrow(group: Element, ends: Sequence[Point], unit: float) -> None:
    """A line with a barb at each end."""
    add(group, "path", d=path_through(ends), class_="sign")
    for tip, other in (ends, ends[::-1]):
        angle = math.atan2(other[1] - tip[1], other[0] - tip[0])
        barbs = [
            (
                tip[0] + BARB_MM * unit * math.cos(angle + turn),
                tip[1] + BARB_MM * unit * math.sin(angle + turn),
            )
            for turn in (BARB_TURN, -BARB_TURN)
        ]
        add(group, "path", d=path_through([barbs[0], tip, barbs[1]]), class_="sign")

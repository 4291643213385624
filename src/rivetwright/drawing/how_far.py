"""How far an assembly is, as one bar: set, can be set now, waits.

Told by shape first: filled, barred, empty; so a black-and-white print says the same.
"""

from __future__ import annotations

from rivetwright.drawing.ink import stylesheet
from rivetwright.drawing.svg import Element, add, new_picture, written
from rivetwright.drawing.words import say

# Millimetres as drawn.
WIDE_MM, HIGH_MM, EDGE_MM = 160.0, 6.0, 0.5
BAR_MM, THIN_MM = 1.6, 0.35


def how_far_svg(
    name: str, set_count: int, free_count: int, count: int, *, for_paper: bool = False
) -> str:
    """A bar of one assembly.

    Args:
        name: the assembly, for the picture's title.
        set_count: rivets set.
        free_count: rivets that can be set as things are.
        count: all of them.
        for_paper: fixed colours for paper.
    """
    words = say("far.says", set=set_count, free=free_count, count=count)
    box = (-EDGE_MM, -EDGE_MM, WIDE_MM + 2 * EDGE_MM, HIGH_MM + 2 * EDGE_MM)
    style = stylesheet(for_paper=for_paper)
    picture = new_picture("how-far", f"{name}: {words}", words, box, style)
    share = WIDE_MM / max(count, 1)
    done, free = set_count * share, free_count * share
    _box(picture, "line", 0.0, WIDE_MM)
    _bars(picture, done, done + free)
    if set_count:
        _box(picture, "dot", 0.0, done)
    return written(picture)


def _box(picture: Element, kind: str, left_mm: float, wide_mm: float) -> None:
    add(
        picture,
        "rect",
        class_=kind,
        x=left_mm,
        y=0.0,
        width=wide_mm,
        height=HIGH_MM,
        stroke_width=THIN_MM,
    )


def _bars(picture: Element, left_mm: float, right_mm: float) -> None:
    """Upright bars over what can be set now."""
    if right_mm - left_mm <= 0.0:
        return
    count = max(1, round((right_mm - left_mm) / BAR_MM))
    step = (right_mm - left_mm) / count
    for k in range(1, count + 1):
        x = left_mm + k * step
        add(
            picture,
            "path",
            class_="line",
            d=f"M{x:.3f} 0V{HIGH_MM:g}",
            stroke_width=THIN_MM,
        )

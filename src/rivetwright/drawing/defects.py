"""Small pictures of what may be seen on a rivet: cut through, the shop head up.

Not to scale: each shows its one thing larger than it is, in the stop colour and with
a thicker line. The good head stands beside them, for comparison.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

from rivetwright.drawing.ink import stylesheet
from rivetwright.drawing.profiles import ARC_STEPS
from rivetwright.drawing.svg import Element, add, new_picture, path_through, written
from rivetwright.model.pattern import Point

# Millimetres as drawn; the top face of the sheets is y = 0, up is less.
SHANK, SHEET, REACH = 4.0, 3.2, 17.0
WIDE, HIGH = 6.6, 5.0
DOME_WIDE, DOME_HIGH = 8.4, 5.0
BOTTOM = 2 * SHEET
BOX = (-18.0, -10.0, 36.0, 25.0)
LINE_MM, MARK_MM = 0.4, 1.0
STEM = 1.8

GOOD = "good"
Draw = Callable[[Element], None]


def defect_svg(look: str, title: str, *, for_paper: bool = False) -> str:
    """The picture of a look, or of a good head.

    Args:
        look: a look at a solid or a blind rivet, or good.
        title: its words.
        for_paper: whether it is printed.
    """
    style = stylesheet(for_paper=for_paper)
    picture = new_picture("defect", title, "", BOX, style)
    DRAWN[look](add(picture, "g"))
    return written(picture)


def _fill(group: Element, points: Sequence[Point], class_: str) -> None:
    """A closed outline."""
    path = path_through(points, closed=True)
    add(group, "path", d=path, class_=class_, stroke_width=LINE_MM)


def _mark(group: Element, points: Sequence[Point]) -> None:
    """The thing to see: a thick line in the stop colour."""
    path = path_through(points)
    add(group, "path", d=path, class_="sign stop", stroke_width=MARK_MM)


def _arrow(group: Element, tip: Point, tail: Point) -> None:
    """An arrow at what is seen."""
    angle = math.atan2(tail[1] - tip[1], tail[0] - tip[0])
    wings = [
        (tip[0] + 1.8 * math.cos(angle + off), tip[1] + 1.8 * math.sin(angle + off))
        for off in (0.5, -0.5)
    ]
    _mark(group, [tail, tip])
    _mark(group, [wings[0], tip, wings[1]])


def _sheets(
    group: Element, hole: float = SHANK, apart: float = 0.0, wide: float = REACH
) -> None:
    """Two sheets cut through, `apart` between them."""
    for top in (0.0, SHEET + apart):
        for side in (-1, 1):
            ends = (side * hole, side * wide)
            outline = [(x, y) for x, y in zip(ends, (top, top), strict=True)]
            outline += [(ends[1], top + SHEET), (ends[0], top + SHEET)]
            _fill(group, outline, "metal")


def _barrel(
    wide: float = WIDE, high: float = HIGH, at: float = 0.0, foot: float = 0.0
) -> list[Point]:
    """A shop head's outline, its middle at a place, standing on y = foot."""
    waist = wide * 0.84
    sides = [
        (
            waist + (wide - waist) * math.sin(math.pi * k / ARC_STEPS),
            foot - high * k / ARC_STEPS,
        )
        for k in range(ARC_STEPS + 1)
    ]
    left = [(at - x, y) for x, y in reversed(sides)]
    return [*((at + x, y) for x, y in sides), *left]


def _dome(foot: float = BOTTOM, at: float = 0.0) -> list[Point]:
    """A universal manufactured head under the sheets."""
    angles = (math.pi * k / (2 * ARC_STEPS) for k in range(2 * ARC_STEPS + 1))
    return [
        (
            at + math.copysign(abs(math.cos(a)) ** 0.7, math.cos(a)) * DOME_WIDE,
            foot + DOME_HIGH * math.sin(a) ** 0.7,
        )
        for a in angles
    ]


def _shank(group: Element, top: float = 0.0, foot: float = BOTTOM) -> None:
    """The shank between the heads."""
    _fill(group, [(-SHANK, top), (SHANK, top), (SHANK, foot), (-SHANK, foot)], "rivet")


def _turned(points: Sequence[Point], degrees: float, about: Point) -> list[Point]:
    """Points turned about one."""
    a = math.radians(degrees)
    cos, sin = math.cos(a), math.sin(a)
    return [
        (
            about[0] + (x - about[0]) * cos - (y - about[1]) * sin,
            about[1] + (x - about[0]) * sin + (y - about[1]) * cos,
        )
        for x, y in points
    ]


def _rivet(group: Element, shop: Sequence[Point] = (), dome: bool = True) -> None:
    """Sheets, shank and heads; a shop head of its own where one is given."""
    _sheets(group)
    _shank(group)
    _fill(group, shop or _barrel(), "rivet")
    if dome:
        _fill(group, _dome(), "rivet")


def _cracked(group: Element) -> None:
    _rivet(group)
    for x in (-4.6, 0.6, 5.0):
        _mark(group, [(x, -HIGH), (x + 0.9, -3.4), (x - 0.2, -2.2), (x + 0.7, -0.8)])


def _gap_head(group: Element) -> None:
    _sheets(group)
    _shank(group, foot=BOTTOM + 2)
    _fill(group, _barrel(), "rivet")
    _fill(group, _turned(_dome(BOTTOM + 1.6), 6, (0, BOTTOM + 1.6)), "rivet")
    _arrow(group, (-6.0, BOTTOM + 0.7), (-15, BOTTOM + 5))


def _gap_shop(group: Element) -> None:
    lifted = _turned(_barrel(foot=-1.4), -7, (0, -1.4))
    _sheets(group)
    _shank(group, top=-2)
    _fill(group, lifted, "rivet")
    _fill(group, _dome(), "rivet")
    _arrow(group, (-5.6, -0.6), (-14, -5))


def _dent(deep: float) -> Draw:
    """A crescent in the manufactured head, so deep."""

    def draw(group: Element) -> None:
        _rivet(group)
        low = BOTTOM + DOME_HIGH
        bite = [(2.0, low - 0.2), (3.4, low - deep), (5.6, low - 1.2)]
        _fill(group, [*bite, (6.4, low - 0.4), (4.0, low + 0.4)], "void")
        _mark(group, bite)

    return draw


def _open_sheets(group: Element) -> None:
    _sheets(group, apart=2.2)
    _shank(group, foot=BOTTOM + 2.2)
    bulge = 1.6
    _fill(
        group,
        [
            *((-SHANK, SHEET), (-SHANK - bulge, SHEET + 1.1), (-SHANK, SHEET + 2.2)),
            *((SHANK, SHEET + 2.2), (SHANK + bulge, SHEET + 1.1), (SHANK, SHEET)),
        ],
        "rivet",
    )
    _fill(group, _barrel(), "rivet")
    _fill(group, _dome(BOTTOM + 2.2), "rivet")
    for side in (-1, 1):
        _mark(group, [(side * 7.5, SHEET + 1.1), (side * REACH, SHEET + 1.1)])


def _leans(group: Element) -> None:
    slanted = [(x, y if y > -0.1 else y + 0.24 * x) for x, y in _barrel()]
    _rivet(group, slanted)
    _mark(group, [(-9.5, -HIGH - 2.3), (9.5, -HIGH + 2.3)])


def _bent(group: Element) -> None:
    _rivet(group, [(x - 0.9 * y, 0.72 * y) for x, y in _barrel(5.4, 7.2)])
    _arrow(group, (13.0, -6.6), (-1.0, -8.6))


def _stepped(group: Element) -> None:
    _rivet(
        group,
        [
            *((-6, 0), (-6.6, -2.6), (-6.2, -6), (0.4, -6)),
            *((0.4, -3.2), (6.4, -3.2), (6.8, -1.6), (6, 0)),
        ],
    )
    _mark(group, [(-6.4, -6), (0.4, -6), (0.4, -3.2), (6.4, -3.2)])


def _off_centre(group: Element) -> None:
    _rivet(group, _barrel(at=3.4))
    add(
        group,
        "path",
        d=path_through([(0, -9), (0, 13)]),
        class_="line quiet",
        stroke_width=LINE_MM,
        stroke_dasharray="2 1",
    )
    _arrow(group, (3.4, -HIGH - 1.6), (-3.4, -HIGH - 1.6))


def _proud(group: Element) -> None:
    """A flush head that stands out of its seat."""
    wide = 8.0
    depth = (wide - SHANK) / math.tan(math.radians(50))
    for side in (-1, 1):
        ends = (side * SHANK, side * REACH, side * wide)
        _fill(
            group, [(ends[0], 0), (ends[1], 0), (ends[1], 3.2), (ends[0], 3.2)], "metal"
        )
        seat = [
            (ends[0], SHEET),
            (ends[1], SHEET),
            (ends[1], BOTTOM),
            (ends[2], BOTTOM),
        ]
        _fill(group, [*seat, (ends[0], BOTTOM - depth)], "metal")
    stands = 1.8
    _shank(group, foot=BOTTOM - depth + stands)
    _fill(group, _barrel(), "rivet")
    low = BOTTOM + stands
    cone = [(-SHANK, low - depth), (SHANK, low - depth), (wide, low), (-wide, low)]
    _fill(group, cone, "rivet")
    _mark(group, [(-wide, low), (wide, low)])
    _arrow(group, (11.0, low), (11.0, low + 5.5))


def _loose(group: Element) -> None:
    _sheets(group, hole=SHANK + 1.3)
    _shank(group)
    _fill(group, _barrel(foot=-0.8), "rivet")
    _fill(group, _dome(BOTTOM + 0.8), "rivet")
    _arrow(group, (-14.0, -4.0), (-8.5, -4.0))
    _arrow(group, (14.0, -4.0), (8.5, -4.0))


def _cut(group: Element) -> None:
    bitten = [
        (-6, 0),
        (-6.6, -2.6),
        (-6, -5),
        (2, -5),
        (3.2, -2.2),
        (5.6, -1.8),
        (6, 0),
    ]
    _rivet(group, bitten)
    _mark(group, bitten[3:6])


def _low(group: Element) -> None:
    _rivet(group, _barrel(10.4, 1.9))
    _arrow(group, (0, -2.6), (0, -8.6))


def _high(group: Element) -> None:
    _rivet(group, _barrel(4.9, 8.6))
    _mark(group, [(-8, -8.8), (8, -8.8)])


def _good(group: Element) -> None:
    _rivet(group)


def _blind(
    group: Element,
    stem: float = 0.0,
    lift: float = 0.0,
    hole: float = SHANK,
    bulb: float = 6.4,
) -> None:
    """A blind rivet: head up, its stem broken off, the bulb below."""
    _sheets(group, hole=hole)
    _fill(group, _barrel(7.6, 2.6, foot=-lift), "rivet")
    _shank(group, top=-lift, foot=BOTTOM + 3)
    swell = [
        (-SHANK, BOTTOM),
        (SHANK, BOTTOM),
        (bulb, BOTTOM + 2.5),
        (SHANK, BOTTOM + 5),
    ]
    _fill(group, [*swell, (-SHANK, BOTTOM + 5), (-bulb, BOTTOM + 2.5)], "rivet")
    top = -2.6 - lift - stem
    _fill(
        group,
        [(-STEM, top), (STEM, top), (STEM, BOTTOM + 6), (-STEM, BOTTOM + 6)],
        "eye",
    )
    add(
        group,
        "path",
        d=path_through(
            [(-STEM, top), (STEM, top), (STEM, BOTTOM + 6), (-STEM, BOTTOM + 6)],
            closed=True,
        ),
        class_="line",
        stroke_width=LINE_MM,
    )


def _blind_gap(group: Element) -> None:
    _blind(group, lift=1.6)
    _arrow(group, (-6.4, -0.8), (-14, -6))


def _collar(group: Element) -> None:
    _blind(group)
    _fill(group, [(-3, -2.6), (3, -2.6), (3, -4.6), (-3, -4.6)], "rivet")
    _mark(group, [(-3.4, -4.8), (3.4, -4.8)])


def _stem_loose(group: Element) -> None:
    _blind(group)
    _arrow(group, (0, -4.2), (0, -9.2))
    _arrow(group, (0, BOTTOM + 3), (0, BOTTOM + 7.6))


def _stem_long(group: Element) -> None:
    _blind(group, stem=4.2)
    _mark(group, [(-4.6, -6.8), (4.6, -6.8)])


def _mandrel_in(group: Element) -> None:
    _blind(group, bulb=SHANK + 0.2)
    foot = BOTTOM + 5.4
    _mark(
        group,
        [
            (-3.4, foot),
            (3.4, foot),
            (3.4, foot + 2.4),
            (-3.4, foot + 2.4),
            (-3.4, foot),
        ],
    )


def _stretched(group: Element) -> None:
    _blind(group)
    for x in (-6.0, -4.2, 4.2, 6.0):
        _mark(group, [(x, -2.4), (x * 0.94, -0.6)])


def _blind_hole(group: Element) -> None:
    _blind(group, hole=SHANK + 2.4)
    for side in (-1, 1):
        _mark(group, [(side * (SHANK + 2.4), 0), (side * (SHANK + 2.4), BOTTOM)])


DRAWN: dict[str, Draw] = {
    GOOD: _good,
    "cracked": _cracked,
    "gap under the manufactured head": _gap_head,
    "gap under the shop head": _gap_shop,
    "tool mark": _dent(3.4),
    "tool mark, shallow to the eye": _dent(1.9),
    "sheets open": _open_sheets,
    "leans": _leans,
    "tail bent over": _bent,
    "stepped": _stepped,
    "off centre": _off_centre,
    "manufactured head proud": _proud,
    "loose": _loose,
    "head cut": _cut,
    "low": _low,
    "high": _high,
    "gap under the head": _blind_gap,
    "collar off the head's top": _collar,
    "stem moves": _stem_loose,
    "stem not broken flush": _stem_long,
    "mandrel not pulled through": _mandrel_in,
    "stretch marks or slight flash": _stretched,
    "hole out of size": _blind_hole,
}

"""The sign of one hole: state, head and diameter by shape first, colour second.

planned  a ring            flush   a second ring round it
drilled  a ring, dotted    blind   a stem on top of it
set      filled            stop    an eight-cornered mark round it
open     barred            check   a diamond round it
hold     crossed           held    a square round it: a sheet holder goes in
"""

from __future__ import annotations

import math
import xml.etree.ElementTree as ET
from dataclasses import dataclass, field
from functools import cache

from rivetwright.drawing.ink import size_class
from rivetwright.drawing.svg import clean, number, path_through
from rivetwright.model.pattern import Point
from rivetwright.model.plan import Callout
from rivetwright.model.severity import Severity
from rivetwright.standards.blind import KitBlindCode
from rivetwright.units.drills import MM_PER_INCH

PLANNED, DRILLED, SET, OPEN, HOLD = "planned", "drilled", "set", "open", "hold"
STATES = (PLANNED, DRILLED, SET, OPEN, HOLD)
UNIVERSAL, FLUSH, BLIND, BLIND_FLUSH = "universal", "flush", "blind", "blind-flush"
HEADS = (UNIVERSAL, FLUSH, BLIND, BLIND_FLUSH)

MARKED = (Severity.STOP, Severity.CHECK)

EYE = 0.58
DOT = 0.26
FLUSH_RING = 1.42
STEM = 1.8
HOLDER, HOLDER_LINE = 1.75, 0.4
# A mark clears the outermost ring by this much all round.
MARK_GAP = 0.05
BAR = 0.34
LINE = 0.16
MARK_LINE = 0.26


@dataclass(frozen=True)
class Sign:
    """How one hole is drawn; lengths in mm of the picture."""

    state: str
    head: str
    diameter_32nds: int | None
    radius: float
    severity: Severity | None = None
    has_holder: bool = False


@dataclass(frozen=True)
class NamedSign:
    """A sign at its place, with what a page needs to find the hole."""

    sign: Sign
    place: Point
    name: str
    words: str
    named: dict[str, str] = field(default_factory=dict)


def head_kind(callout: Callout) -> str:
    """The kind of head that a callout has, as far as the sign tells them apart."""
    if isinstance(callout, KitBlindCode):
        return BLIND_FLUSH if callout.is_flush else BLIND
    return FLUSH if callout.is_flush else UNIVERSAL


def diameter_32nds(callout: Callout) -> int | None:
    """Diameter in 1/32 in where it is one, None otherwise."""
    if not isinstance(callout, KitBlindCode):
        return callout.diameter_32nds
    parts = callout.diameter_mm * 32 / MM_PER_INCH
    return int(parts) if parts.denominator == 1 else None


def add_sign(parent: ET.Element, one: NamedSign) -> None:
    """Draw one hole, named so that a page finds it again."""
    sign = one.sign
    x, y = one.place
    group = ET.SubElement(parent, "g", {"class": _classes(sign)})
    group.set("transform", f"translate({number(x)} {number(y)})")
    for name, value in one.named.items():
        group.set(f"data-{name}", clean(value))
    title = ET.SubElement(group, "title")
    title.text = clean(one.words)
    for tag, attributes in _shapes(sign):
        ET.SubElement(group, tag, dict(attributes))


def reach_ratio(sign: Sign) -> float:
    """How far a sign with its marks goes from its middle, in radii."""
    if sign.severity in MARKED:
        return _mark_ratio(sign) + MARK_LINE / 2
    if sign.has_holder:
        return HOLDER + HOLDER_LINE / 2
    return FLUSH_RING if sign.head == FLUSH else STEM if BLIND in sign.head else 1.1


@cache
def _classes(sign: Sign) -> str:
    """Classes of a sign: hole, state, head, diameter and severity."""
    size = size_class(sign.diameter_32nds)
    found = f" finding-{sign.severity}" if sign.severity else ""
    return f"hole state-{sign.state} head-{sign.head} {size}{found}"


@cache
def _shapes(sign: Sign) -> tuple[tuple[str, tuple[tuple[str, str], ...]], ...]:
    """The shapes of a sign as tags and attributes, drawn about nought."""
    r = sign.radius
    shapes = [_circle("sign ring", r, LINE * r)]
    if sign.state != SET:
        shapes.append(_circle("sign eye", EYE * r, LINE * r))
    if sign.state == DRILLED:
        shapes.append(_circle("dot", DOT * r, None))
    elif sign.state == OPEN:
        shapes.append(
            _line("sign", f"M{number(-1.3 * r)} 0H{number(1.3 * r)}", BAR * r)
        )
    elif sign.state == HOLD:
        shapes.append(_line("sign", _cross(r), 0.8 * BAR * r))
    if sign.head in (FLUSH, BLIND_FLUSH):
        shapes.append(_circle("sign", FLUSH_RING * r, LINE * r))
    if sign.head in (BLIND, BLIND_FLUSH):
        stem = f"M0 {number(-r)}V{number(-STEM * r)}"
        shapes.append(_line("sign", stem, BAR * r))
    if sign.has_holder:
        a = number(HOLDER * r)
        square = f"M-{a} -{a}H{a}V{a}H-{a}Z"
        shapes.append(_line("sign holder", square, HOLDER_LINE * r))
    if sign.severity in MARKED:
        mark = _mark(sign)
        shapes.append(_line(f"sign {sign.severity}", mark, MARK_LINE * r))
    return tuple(shapes)


def _circle(
    class_: str, radius: float, line: float | None
) -> tuple[str, tuple[tuple[str, str], ...]]:
    """A circle about nought."""
    stroke = () if line is None else (("stroke-width", number(line)),)
    return "circle", (("class", class_), ("r", number(radius)), *stroke)


def _line(
    class_: str, path: str, line: float
) -> tuple[str, tuple[tuple[str, str], ...]]:
    """A line along a path."""
    return "path", (("class", class_), ("d", path), ("stroke-width", number(line)))


def _cross(radius: float) -> str:
    """Two strokes through the ring, corner to corner."""
    a = number(radius * 0.92)
    return f"M-{a} -{a}L{a} {a}M-{a} {a}L{a} -{a}"


def _mark_ratio(sign: Sign) -> float:
    """How far a mark's corners lie from the middle, in radii: just clear of the sign.

    The middles of its sides are nearer than its corners, by cos(180 deg / corners).
    """
    ring = FLUSH_RING if sign.head in (FLUSH, BLIND_FLUSH) else 1.0
    side = ring + LINE / 2 + MARK_GAP + MARK_LINE / 2
    return side / math.cos(math.pi / _corners(sign))


def _corners(sign: Sign) -> int:
    """Eight corners for a stop, four for a check."""
    return 8 if sign.severity is Severity.STOP else 4


def _mark(sign: Sign) -> str:
    """The path of a mark round a sign."""
    corners, reach = _corners(sign), _mark_ratio(sign) * sign.radius
    first = math.pi / corners if sign.severity is Severity.STOP else 0.0
    angles = (first + 2 * math.pi * k / corners for k in range(corners))
    points = [(reach * math.cos(a), reach * math.sin(a)) for a in angles]
    return path_through(points, closed=True)

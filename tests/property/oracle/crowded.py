"""Faces crowded with slanted outlines, cut-outs and rows, all within a hand's breadth.

Places lie on a half-millimetre grid, so that equal distances are common, and edges of
different sheets lie within a millimetre of each other.
"""

from __future__ import annotations

import math
from fractions import Fraction

from hypothesis import strategies as st

from rivetwright.model.outline import BEND, FREE, CutOut, Face, Layer, Outline
from rivetwright.model.pattern import Point, Points
from rivetwright.model.plan import FAR, NEAR, SKETCHED, Part, Plan, Project, Row
from rivetwright.model.step import Need, Step
from rivetwright.standards.codes import rivet_code

half_mm = st.integers(0, 120).map(lambda k: k / 2)
grid_points = st.tuples(half_mm, half_mm)
STEPS = (Step("1", "first"), Step("2", "second", needs=(Need("step", "1"),)))


@st.composite
def star_outlines(draw: st.DrawFn) -> Outline:
    """An outline with corners all round a middle, so that no sides cross."""
    count = draw(st.integers(3, 9))
    u, v = draw(grid_points)
    sizes = draw(st.lists(st.integers(10, 60), min_size=count, max_size=count))
    angles = [k * math.tau / count for k in range(count)]
    corners = tuple(
        (u + r * math.cos(a), v + r * math.sin(a))
        for r, a in zip(sizes, angles, strict=True)
    )
    sides = draw(
        st.lists(st.sampled_from([FREE, FREE, BEND]), min_size=count, max_size=count)
    )
    return Outline(corners, tuple(sides))


@st.composite
def boxes(draw: st.DrawFn) -> Outline:
    """A rectangle on the grid."""
    u, v = draw(grid_points)
    wide, high = draw(st.tuples(st.integers(4, 100), st.integers(4, 100)))
    names = draw(st.sets(st.sampled_from(["u0", "u1", "v0", "v1"]), max_size=2))
    low, high_mm = (u - wide / 2, u + wide / 2), (v - high / 2, v + high / 2)
    return Outline.rectangle(low, high_mm, tuple(names))


@st.composite
def holes_cut(draw: st.DrawFn) -> CutOut:
    """A round cut-out or a notch."""
    centre, size = draw(grid_points), draw(st.integers(1, 12))
    if draw(st.booleans()):
        return CutOut(centre, float(size))
    u, v = centre
    return CutOut(corners_mm=((u, v), (u + size, v), (u, v + size)), note="notch")


@st.composite
def crowded_rows(draw: st.DrawFn, name: str) -> Row:
    """A row anywhere on the face, straight or not."""
    places: list[Point] = draw(st.lists(grid_points, min_size=1, max_size=6))
    standard = draw(st.sampled_from(["MS20470", "MS20426"]))
    diameter, length = draw(st.tuples(st.integers(3, 6), st.integers(6, 14)))
    callout = rivet_code(standard, "AD", diameter, Fraction(length, 2))
    return Row(
        id=f"id {name}",
        name=name,
        callout=callout,
        pattern=Points(tuple(places)),
        step=draw(st.sampled_from(["1", "2"])),
        face="F",
        preparation=(("*", "dimple"),) if callout.is_flush else (),
        head_side=draw(st.sampled_from([NEAR, FAR])),
        places=draw(st.sampled_from(["dimensioned", "dimensioned", SKETCHED])),
    )


@st.composite
def crowded_plans(draw: st.DrawFn) -> Plan:
    """One face with two to five layers and one to four rows."""
    count = draw(st.integers(2, 5))
    gauges = draw(st.lists(st.integers(4, 20), min_size=count, max_size=count))
    parts = tuple(
        Part(f"{k}", "sheet", gauge / 10, bend_radius_mm=draw(st.none() | st.just(1.5)))
        for k, gauge in enumerate(gauges)
    )
    layers = tuple(
        Layer(
            part.name,
            draw(st.one_of(boxes(), star_outlines())),
            tuple(draw(st.lists(holes_cut(), max_size=2))),
            from_step=draw(st.sampled_from(["", "", "1", "2"])),
        )
        for part in parts
    )
    rows = tuple(
        draw(crowded_rows(f"R{k}")) for k in range(1, draw(st.integers(1, 4)) + 1)
    )
    return Plan(
        id="crowded",
        name="crowded",
        project=Project("id", "INVENTED"),
        unit="mm",
        parts=parts,
        faces=(Face("F", "crowded", layers),),
        rows=rows,
        steps=STEPS,
    )

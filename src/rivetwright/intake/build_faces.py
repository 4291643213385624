"""Faces with the parts that lie in them, out of the fields of a file."""

from __future__ import annotations

import math

from shapely import LinearRing

from rivetwright.intake.faults import Faults, Path
from rivetwright.intake.forms import CutOutForm, FaceForm, LayerForm, LegForm
from rivetwright.intake.known import Known
from rivetwright.model.outline import BEND, FREE, CutOut, Face, Layer, Leg, Outline
from rivetwright.model.pattern import Point
from rivetwright.units.tolerance import TOLERANCE_MM, is_less

_SIDES = ("u0", "u1", "v0", "v1")
_SIDES_IN_ORDER = ("v0", "u1", "v1", "u0")


def build_face(name: str, form: FaceForm, known: Known) -> Face:
    """Build a face and its layers."""
    path: Path = ("faces", name)
    layers = [
        build_layer(layer, (*path, "layers", k), known)
        for k, layer in enumerate(form.layers)
        if layer is not None
    ]
    _check_taper(form.taper, (*path, "taper"), known.faults)
    if form.opposite:
        known.check("face", form.opposite, (*path, "opposite"))
    return Face(
        name=name,
        title=form.title,
        layers=tuple(layer for layer in layers if layer is not None),
        axis_u=form.axis_u,
        axis_v=form.axis_v,
        side_seen=form.side_seen,
        edges=tuple(form.edges.items()),
        taper_mm=form.taper,
        opposite=form.opposite,
    )


def _check_taper(
    taper_mm: tuple[tuple[float, float], ...], path: Path, faults: Faults
) -> None:
    """Hold the taper's places to rise."""
    for k in range(1, len(taper_mm)):
        if not is_less(taper_mm[k - 1][0], taper_mm[k][0]):
            found = "a place that is not past the one before"
            faults.add((*path, k), found, "places that rise", "Sort the pairs")


def build_layer(form: LayerForm, path: Path, known: Known) -> Layer | None:
    """Build one layer; None where its outline was refused."""
    known.check("part", form.part, (*path, "part"))
    if form.from_step:
        known.check("step", form.from_step, (*path, "from"))
    if form.for_open:
        known.check("open hole", form.for_open, (*path, "for"))
    outline = _outline(form, path, known.faults)
    cut_outs = [
        _cut_out(cut_out, (*path, "cut_outs", k), known.faults)
        for k, cut_out in enumerate(form.cut_outs)
    ]
    if outline is None:
        return None
    legs = [
        _leg(leg, outline, (*path, "legs", k), known.faults)
        for k, leg in enumerate(form.legs)
    ]
    return Layer(
        part=form.part,
        outline=outline,
        cut_outs=tuple(cut_out for cut_out in cut_outs if cut_out is not None),
        from_step=form.from_step,
        for_open=form.for_open,
        legs=tuple(leg for leg in legs if leg is not None),
    )


def _leg(form: LegForm, outline: Outline, path: Path, faults: Faults) -> Leg | None:
    """Build a leg; it stands on a side that is a bend."""
    names = side_names(outline)
    bends = [
        name for name, kind in zip(names, outline.sides, strict=True) if kind == BEND
    ]
    if form.side not in bends:
        allowed = f"a side named in bends: {', '.join(bends) or 'none is'}"
        faults.add((*path, "side"), form.side, allowed, "Name the side under bends too")
        return None
    return Leg(names.index(form.side), form.height, form.stands)


def side_names(outline: Outline) -> tuple[str, ...]:
    """What a file calls the sides of an outline, in their order."""
    if outline.written == "rectangle":
        return _SIDES_IN_ORDER
    return tuple(str(k + 1) for k in range(len(outline.sides)))


def _outline(form: LayerForm, path: Path, faults: Faults) -> Outline | None:
    """Build an outline from a rectangle or from corners."""
    if form.corners is not None and form.u is None and form.v is None:
        return _polygon(form.corners, form.bends, path, faults)
    if form.corners is not None or form.u is None or form.v is None:
        faults.add(
            path,
            "no whole outline",
            "u and v of a rectangle, or corners",
            "Write u: [from, to] and v: [from, to]",
        )
        return None
    before = len(faults)
    for axis, span in (("u", form.u), ("v", form.v)):
        if not is_less(span[0], span[1]):
            found = "a span whose end is not past its start"
            do = "Write the smaller number first"
            faults.add((*path, axis), found, f"{axis}0 less than {axis}1", do)
    for k, side in enumerate(form.bends):
        if side not in _SIDES:
            at = (*path, "bends", k)
            faults.add(at, side, "u0, u1, v0 or v1", "Name the side of the rectangle")
    if len(faults) > before:
        return None
    return Outline.rectangle(form.u, form.v, form.bends)


def _polygon(
    corners: tuple[Point, ...], bends: tuple[str, ...], path: Path, faults: Faults
) -> Outline | None:
    """Build an outline with corners; bend sides count from 1."""
    before = len(faults)
    check_polygon(corners, (*path, "corners"), faults)
    sides = [FREE] * len(corners)
    for k, side in enumerate(bends):
        number = int(side) if side.isdecimal() else 0
        if 1 <= number <= len(sides):
            sides[number - 1] = BEND
        else:
            allowed = f"the number of a side, 1 to {len(sides)}"
            do = "Side 1 runs from the first corner to the second"
            faults.add((*path, "bends", k), side, allowed, do)
    return None if len(faults) > before else Outline(corners, tuple(sides))


def check_polygon(corners: tuple[Point, ...], path: Path, faults: Faults) -> None:
    """Note corners that make no outline: too few, twice the same, crossing sides."""
    if len(corners) < 3:
        found = f"{len(corners)} corner(s)"
        faults.add(path, found, "3 corners or more", "Write every corner once")
        return
    for k, corner in enumerate(corners):
        if math.dist(corner, corners[k - 1]) <= TOLERANCE_MM:
            found = "a corner that stands there twice in a row"
            do = "The outline closes itself: leave out the repeated corner"
            faults.add((*path, k), found, "every corner once", do)
            return
    ring = LinearRing(corners)
    if not ring.is_simple:
        do = "Write the corners in order round the part"
        faults.add(path, "an outline that crosses itself", "sides that do not meet", do)


def _cut_out(form: CutOutForm, path: Path, faults: Faults) -> CutOut | None:
    """Build a cut-out, round or with corners."""
    is_round = form.centre is not None and form.radius is not None
    has_corners = form.corners is not None
    half = (form.centre is None) != (form.radius is None)
    if is_round == has_corners or half:
        allowed = "centre and radius, or corners"
        faults.add(path, "no whole cut-out", allowed, "Write one of the two forms")
        return None
    if form.corners is not None:
        check_polygon(form.corners, (*path, "corners"), faults)
    return CutOut(form.centre, form.radius, form.corners or (), form.note)

"""The hole map: a face with its parts' outlines and every hole, to scale.

Near sheets are drawn in full lines, what they cover dashed, bends as chain
lines. Holes keep their true diameter unless that would be too small to see;
then all signs of the map grow by one factor, which the picture states as
`data-grow`. A page that zooms may set `--map-grow` down to `1 / data-grow`.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rivetwright.drawing.face_labels import add_labels
from rivetwright.drawing.face_signs import face_signs
from rivetwright.drawing.frame import (
    Frame,
    add_axes,
    add_captions,
    add_edge_names,
    add_windows,
    make_frame,
)
from rivetwright.drawing.ink import stylesheet
from rivetwright.drawing.outlines import (
    DrawnLayer,
    clipped,
    draw_layers,
    line_runs,
    ring_runs,
)
from rivetwright.drawing.signs import add_sign
from rivetwright.drawing.svg import Element, add, new_picture, path_through, written
from rivetwright.drawing.view import Look, View, find_face, holes_on_face, look_at
from rivetwright.drawing.words import say
from rivetwright.engines.plan import WorkedPlan
from rivetwright.model.outline import Face

Ints = NDArray[np.int64]

# Widths and dashes in mm as drawn; on screen the same figures are pixels / SCREEN.
FULL_MM, THIN_MM = 0.35, 0.2
HIDDEN_DASH_MM = (2.2, 1.1)
CHAIN_MM = (6.0, 1.2, 1.0, 1.2)
PHANTOM_MM = (6.0, 1.2, 1.0, 1.2, 1.0, 1.2)
SCREEN_PX_A_MM = 3.8


@dataclass(frozen=True)
class Drawn:
    """A picture and its size on paper [mm] at its scale (part : paper).

    `grow` is the factor by which signs are larger than the holes.
    """

    title: str
    svg: str
    width_mm: float
    height_mm: float
    scale: float
    grow: float


def hole_map_svg(
    worked_plan: WorkedPlan,
    face_name: str,
    *,
    for_paper: bool = False,
    mirror: bool = False,
    quarter_turns: int = 0,
    labels: bool = True,
    scale: float | None = None,
) -> str:
    """The hole map of one face as one picture.

    Args:
        worked_plan: the plan, worked out.
        face_name: the face's name.
        for_paper: fixed colours and letters that the typesetter has.
        mirror: show the face from its other side.
        quarter_turns: turn it clockwise as seen.
        labels: whether rows and parts are named.
        scale: millimetres on the part for one as drawn; None: the long side
            is drawn 250 mm long, but no smaller part is shown over twice its size.

    Raises:
        NotFound: the plan has no such face.
    """
    look = Look(for_paper, mirror, quarter_turns, labels, scale)
    return draw_hole_map(worked_plan, face_name, look).svg


def draw_hole_map(worked_plan: WorkedPlan, face_name: str, look: Look) -> Drawn:
    """The hole map with the size it has on paper.

    Raises:
        NotFound: the plan has no such face.
    """
    _, face = find_face(worked_plan.worked.plan, face_name)
    view, holes = face_view(worked_plan, face_name, look)
    frame = make_frame(face, view, look.scale or view.usual_scale)
    signs = face_signs(worked_plan, holes, view, frame.scale, look.held)
    left, top, right, bottom = frame.box
    title = say("map.title", face=face.name, title=face.title).strip()
    picture = new_picture(
        "hole-map",
        title,
        _description(face, frame, len(holes)),
        (left, top, right - left, bottom - top),
        stylesheet(for_paper=look.for_paper),
    )
    _say_how_it_lies(picture, frame, signs.grow)
    world = add(picture, "g", class_="world")
    layers = [clipped(one, view) for one in draw_layers(face, view)]
    _add_outlines(world, layers, frame.scale, look.for_paper)
    add_captions(world, frame)
    names = add(world, "g", class_="edge-names")
    taken = add_edge_names(names, frame)
    if not view.is_close_up:
        taken.append(add_axes(world, frame))
    taken += add_windows(world, frame, look.marked)
    if look.labels:
        add_labels(
            world,
            worked_plan,
            holes,
            signs,
            layers,
            frame,
            taken,
            with_numbers=look.for_paper,
        )
    ring = add(world, "g", class_="holes")
    for one in signs.named:
        add_sign(ring, one)
    width, height = frame.drawn_size_mm
    return Drawn(title, written(picture), width, height, frame.scale, signs.grow)


def map_size_mm(
    worked_plan: WorkedPlan, face_name: str, look: Look, scale: float
) -> tuple[float, float]:
    """Width and height that a map takes on paper at a scale [mm].

    Raises:
        NotFound: the plan has no such face.
    """
    _, face = find_face(worked_plan.worked.plan, face_name)
    view, _ = face_view(worked_plan, face_name, look)
    return make_frame(face, view, scale).drawn_size_mm


def face_view(worked_plan: WorkedPlan, face_name: str, look: Look) -> tuple[View, Ints]:
    """The view of a face, and the holes that are seen on it.

    Raises:
        NotFound: the plan has no such face.
    """
    holes = worked_plan.worked.holes
    k, face = find_face(worked_plan.worked.plan, face_name)
    here = holes_on_face(holes, k)
    places = np.column_stack((holes.x_mm[here], holes.y_mm[here]))
    view = look_at(face, places, look)
    if look.window is not None:
        u0, v0, u1, v1 = look.window.box_mm
        inside = (places >= (u0, v0)) & (places <= (u1, v1))
        here = here[inside.all(axis=1)]
    return view, here


def _description(face: Face, frame: Frame, count: int) -> str:
    """What a person who cannot see the picture is told."""
    parts = ", ".join(dict.fromkeys(layer.part for layer in face.layers))
    seen = "; ".join((*frame.top_lines[1:], *frame.bottom_lines))
    parts = parts or say("map.no_parts")
    return say("map.about", count=count, parts=parts, seen=seen)


def _say_how_it_lies(picture: Element, frame: Frame, grow: float) -> None:
    """State scale, growth of the signs and the view for a page that moves the map."""
    picture.set("data-face", frame.face.name)
    picture.set("data-scale", f"{frame.scale:.6g}")
    picture.set("data-grow", f"{grow:.6g}")
    picture.set("data-mirror", "yes" if frame.view.mirror else "no")
    picture.set("data-quarter-turns", str(frame.view.quarter_turns))


def _add_outlines(
    world: Element, layers: list[DrawnLayer], scale: float, for_paper: bool
) -> None:
    """Sheets from the far one to the near one, then their lines over all of them."""
    sheets = add(world, "g", class_="sheets")
    for one in reversed(layers):
        rims = "".join(path_through(r, closed=True) for r in ring_runs(one.sheet))
        if not one.is_later and not for_paper:
            add(
                sheets,
                "path",
                d=rims,
                class_="sheet",
                fill_rule="evenodd",
                data_part=one.layer.part,
            )
    unit = scale if for_paper else SCREEN_PX_A_MM
    lines = add(world, "g", class_="outlines")
    for one in reversed(layers):
        _add_lines(lines, one, unit)


def _add_lines(parent: Element, one: DrawnLayer, unit: float) -> None:
    """The lines of one part: behind, bends, in front."""
    group = add(parent, "g", class_="part", data_part=one.layer.part)
    behind = PHANTOM_MM if one.is_later else HIDDEN_DASH_MM
    kinds = (
        (one.hidden, "line hidden", THIN_MM, behind),
        (one.hidden_bend, "line hidden bend", THIN_MM, CHAIN_MM),
        (one.bend, "line bend", THIN_MM, CHAIN_MM),
        (one.full, "line", FULL_MM, ()),
    )
    for lines, class_, width, dashes in kinds:
        path = "".join(path_through(run) for run in line_runs(lines))
        if path:
            pattern = " ".join(f"{dash * unit:.3g}" for dash in dashes) or None
            add(
                group,
                "path",
                d=path,
                class_=class_,
                stroke_width=width * unit,
                stroke_dasharray=pattern,
            )

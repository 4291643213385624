"""A drawing brought in: views to faces, outlines to layers, circles to rows."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from pathlib import PurePath
from uuid import UUID, uuid5

import numpy as np
import shapely
from numpy.typing import NDArray

from rivetwright.bench.drawing_choice import DrawingChoice, check_choice
from rivetwright.engines.row_finder.rows import FoundRow, find_rows
from rivetwright.intake.dxf.shapes import Circle, DrawnShapes, Loop
from rivetwright.model.outline import FREE, CutOut, Face, Layer, Outline
from rivetwright.model.pattern import Pattern, Point, Points
from rivetwright.model.plan import Part, Plan, Project, Row
from rivetwright.model.step import Step
from rivetwright.standards.codes import parse_rivet_code

STEP = "step-1"
# Views further apart than this on the sheet are two views.
VIEW_GAP_MM = 1.0
SAME_SIZE_MM = 0.02


@dataclass(frozen=True)
class Draft:
    """A plan made of a drawing, and what a person should look at.

    `rows` are as they were found, with their doubts, by name of row. `stayed_out` are
    circles that became nothing: rings round holes, and those of other sizes.
    """

    plan: Plan
    rows: tuple[tuple[str, FoundRow], ...]
    stayed_out: tuple[Circle, ...]
    unused_loops: tuple[Loop, ...]


@dataclass
class _View:
    """Outlines that lie over each other on the sheet, and the circles in them."""

    box: tuple[float, float, float, float]
    loops: list[Loop]
    circles: list[Circle]
    cut: list[Circle] = field(default_factory=list)


def draft_of(
    shapes: DrawnShapes, choice: DrawingChoice, project: Project, assembly: str
) -> Draft:
    """Make a draft of a plan.

    Args:
        shapes: what the drawing holds.
        choice: which layer is which part, which circles are holes.
        project: the aircraft.
        assembly: permanent id of the assembly.

    Raises:
        Refusal: the choice names a layer that is not there, or no part.
        CodeRefused: the callout is none.
    """
    check_choice(shapes, choice)
    callout = parse_rivet_code(choice.callout)
    layers = [one.layer for one in choice.parts]
    holes, others = _holes(shapes.circles, choice)
    cut_outs = [one for one in others if one.layer in layers]
    views = _views([one for one in shapes.loops if one.layer in layers], holes)
    faces, rows, found_rows = [], [], []
    for k, view in enumerate(views, 1):
        face = f"F{k}"
        faces.append(_face(face, view, choice, cut_outs))
        for name, pattern, found, size_mm in _rows(
            view, choice, "R" if len(views) == 1 else f"{face}-R"
        ):
            row_id = str(uuid5(UUID(project.id), f"{assembly}/{name}"))
            row = Row(row_id, name, callout, pattern, STEP, face)
            rows.append(replace(row, drill_mm=size_mm or None))
            if found is not None:
                rows[-1] = _as_found(rows[-1], found)
                found_rows.append((name, found))
    plan = Plan(
        id=assembly,
        name=assembly,
        project=project,
        unit=shapes.unit,
        parts=_parts(choice),
        faces=tuple(faces),
        rows=tuple(rows),
        steps=(Step(STEP, "as drawn; write the kit's steps here"),),
        drawing=PurePath(shapes.file).name,
        note="Made of a drawing: confirm rows, callouts and steps.",
    )
    became = {id(one) for view in views for one in view.circles}
    became |= {id(one) for view in views for one in view.cut}
    return Draft(
        plan,
        tuple(found_rows),
        tuple(one for one in shapes.circles if id(one) not in became),
        tuple(loop for loop in shapes.loops if loop.layer not in layers),
    )


def _parts(choice: DrawingChoice) -> tuple[Part, ...]:
    """Each part once, however many layers it is drawn on."""
    first: dict[str, Part] = {}
    for one in choice.parts:
        part = Part(one.part, one.layer, one.thickness_mm, one.material)
        first.setdefault(one.part, part)
    return tuple(first.values())


def _as_found(row: Row, found: FoundRow) -> Row:
    """A row with its gaps, and a note of what is doubtful about it."""
    note = f"look at: {', '.join(found.doubts)}" if found.doubts else ""
    return replace(row, skip=found.missing, note=note)


def _holes(
    circles: Iterable[Circle], choice: DrawingChoice
) -> tuple[list[Circle], list[Circle]]:
    """Circles that are holes, the smallest at each place; and the larger ones."""
    fitting: list[Circle] = []
    others: list[Circle] = []
    for one in sorted(circles, key=lambda one: (one.diameter_mm, one.centre_mm)):
        is_on_layer = not choice.hole_layers or one.layer in choice.hole_layers
        fits = choice.hole_mm_least <= one.diameter_mm <= choice.hole_mm_most
        (fitting if fits and is_on_layer else others).append(one)
    if not fitting:
        return [], others
    # A ring round a hole is its countersink or its head, not another hole.
    places = np.array([one.centre_mm for one in fitting])
    points = [shapely.Point(place) for place in places.tolist()]
    tree = shapely.STRtree(points)
    inner, outer = tree.query(points, predicate="dwithin", distance=SAME_SIZE_MM)
    is_ring = np.zeros(len(fitting), dtype=np.bool_)
    is_ring[outer[inner < outer]] = True
    return [one for k, one in enumerate(fitting) if not is_ring[k]], others


def _views(loops: Sequence[Loop], circles: Sequence[Circle]) -> list[_View]:
    """Views: outlines that lie over each other on the sheet, with the circles there."""
    boxes = [shapely.Polygon(one.corners_mm).envelope for one in loops]
    merged = shapely.union_all([box.buffer(VIEW_GAP_MM / 2) for box in boxes])
    areas = [one.envelope for one in getattr(merged, "geoms", [merged])]
    areas.sort(key=lambda one: (round(one.bounds[0]), round(one.bounds[1])))
    views = [_View(one.bounds, [], []) for one in areas]
    tree = shapely.STRtree(areas)
    for loop, box in zip(loops, boxes, strict=True):
        views[int(tree.nearest(box))].loops.append(loop)
    if circles:
        points = shapely.points(np.array([one.centre_mm for one in circles]))
        hole, area = tree.query(points, predicate="intersects")
        view_of = dict(zip(hole[::-1].tolist(), area[::-1].tolist(), strict=True))
        for k, at in sorted(view_of.items()):
            views[at].circles.append(circles[k])
    for view in views:
        corners = np.concatenate([np.array(one.corners_mm) for one in view.loops])
        low, high = corners.min(axis=0), corners.max(axis=0)
        view.box = (float(low[0]), float(low[1]), float(high[0]), float(high[1]))
    return views


def _moved(places: Iterable[Point], view: _View) -> tuple[Point, ...]:
    """Places counted from the lower left corner of a view."""
    u0, v0 = view.box[:2]
    return tuple((round(u - u0, 4) + 0.0, round(v - v0, 4) + 0.0) for u, v in places)


def _face(
    name: str, view: _View, choice: DrawingChoice, circles: Iterable[Circle]
) -> Face:
    """A face: outlines that lie in no other of their layer, the others cut out."""
    layers = []
    for part in choice.parts:
        loops = [one for one in view.loops if one.layer == part.layer]
        rings = [one for one in circles if one.layer == part.layer]
        shapes = [shapely.Polygon(one.corners_mm) for one in loops]
        inside: dict[int, list[int]] = defaultdict(list)
        for k, shape in enumerate(shapes):
            around = [m for m in range(len(shapes)) if m != k and _holds(shapes, m, k)]
            inside[max(around, key=lambda m: shapes[m].area, default=-1)].append(k)
        for k in inside.pop(-1, []):
            cut = [
                CutOut(corners_mm=_moved(loops[m].corners_mm, view)) for m in inside[k]
            ]
            for one in rings:
                if shapes[k].contains(shapely.Point(one.centre_mm)):
                    view.cut.append(one)
                    centre = _moved([one.centre_mm], view)[0]
                    cut.append(CutOut(centre, one.diameter_mm / 2))
            corners = _moved(loops[k].corners_mm, view)
            outline = Outline(corners, len(corners) * (FREE,))
            layers.append(Layer(part.part, outline, tuple(cut)))
    return Face(name, f"view {name[1:]} of the drawing", tuple(layers))


def _holds(shapes: Sequence[shapely.Polygon], outer: int, inner: int) -> bool:
    """Whether one outline lies in another; of two alike the first holds the second."""
    is_larger = (shapes[outer].area, inner) > (shapes[inner].area, outer)
    return is_larger and bool(shapes[outer].contains(shapes[inner]))


def _rows(
    view: _View, choice: DrawingChoice, prefix: str
) -> list[tuple[str, Pattern, FoundRow | None, float]]:
    """Rows of a view, then what is left over, by size."""
    if not view.circles:
        return []
    places = np.array(_moved([one.centre_mm for one in view.circles], view))
    across = np.array([one.diameter_mm for one in view.circles])
    sizes = _sizes(across)
    found = find_rows(
        places,
        sizes,
        outlines_mm=[np.array(_moved(one.corners_mm, view)) for one in view.loops],
        tolerance_mm=choice.tolerance_mm,
        prefix=prefix,
    )
    made: list[tuple[str, Pattern, FoundRow | None, float]] = [
        (row.name, row.pattern, row, float(across[row.holes[0]])) for row in found.rows
    ]
    left: dict[int, list[int]] = defaultdict(list)
    for hole in found.left_over:
        left[int(sizes[hole])].append(hole)
    for k, holes in enumerate(left.values(), len(made) + 1):
        spots = [
            (float(places[hole][0]), float(places[hole][1])) for hole in sorted(holes)
        ]
        made.append(
            (f"{prefix}{k}", Points(tuple(spots)), None, float(across[holes[0]]))
        )
    return made


def _sizes(across: NDArray[np.float64]) -> NDArray[np.int64]:
    """Classes of size: diameters that differ by no more than a hair are one."""
    order = np.argsort(across, kind="stable")
    steps = np.diff(across[order]) > SAME_SIZE_MM
    classes = np.zeros(len(across), dtype=np.int64)
    classes[order[1:]] = np.cumsum(steps)
    return classes

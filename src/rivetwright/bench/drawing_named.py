"""A drawing brought in by the words of a command: layers, sizes, callout."""

from __future__ import annotations

import re
from dataclasses import dataclass
from pathlib import Path
from uuid import uuid4

from rivetwright.bench.drawing_choice import DrawingChoice, LayerPart
from rivetwright.bench.drawing_import import Draft, draft_of
from rivetwright.errors import Refusal
from rivetwright.intake.dxf.read import read_drawing
from rivetwright.intake.dxf.shapes import DrawnShapes
from rivetwright.intake.plan_file import read_plan
from rivetwright.model.plan import Project
from rivetwright.units.length import LengthUnit, parse_length_mm

_PART = re.compile(r"(?P<layer>.+)=(?P<part>[^\W_][\w.+/-]{0,39}):(?P<thickness>.+)")
_NOT_IN_NAMES = re.compile(r"[^\w.+-]+")


@dataclass(frozen=True)
class DrawingNamed:
    """What was typed: parts as `LAYER=NAME:THICKNESS`, and the rest."""

    parts: tuple[str, ...]
    callout: str
    hole_layers: tuple[str, ...] = ()
    unit: str = ""


@dataclass(frozen=True)
class DrawnIn:
    """A drawing and the draft that was made of it."""

    shapes: DrawnShapes
    draft: Draft


def draw_in(file: Path, named: DrawingNamed, like: Path | None = None) -> DrawnIn:
    """Read a drawing and make a draft of it.

    Args:
        file: the DXF file.
        named: what was typed.
        like: a plan of the same aircraft; without it the aircraft is a new one.

    Raises:
        PlanRefused: the drawing cannot be read.
        Refusal: a part, layer, unit or callout was not understood.
    """
    if named.unit not in ("", "in", "mm"):
        raise Refusal(
            asked="read the unit of the drawing",
            found=named.unit,
            allowed="in or mm",
            do="measure a known size in the drawing and say which",
        )
    shapes = read_drawing(file, named.unit)
    parts = tuple(_part(one, shapes.unit) for one in named.parts)
    choice = DrawingChoice(parts, named.callout, named.hole_layers)
    project = Project(str(uuid4()), file.stem) if like is None else _project(like)
    assembly = _NOT_IN_NAMES.sub("-", file.stem).strip("-_.+")[:40] or "drawing"
    return DrawnIn(shapes, draft_of(shapes, choice, project, assembly))


def _project(like: Path) -> Project:
    """The aircraft of another plan."""
    return read_plan(like).project


def _part(typed: str, unit: str) -> LayerPart:
    """One part as it was typed; a bare thickness in the drawing's unit."""
    match = _PART.fullmatch(typed)
    if match is None:
        raise Refusal(
            asked="read which layer is which part",
            found=typed,
            allowed="LAYER=NAME:THICKNESS, such as SKIN=11:.032",
            do="write it in this form",
        )
    bare: LengthUnit = "in" if unit == "in" else "mm"
    thickness = parse_length_mm(match["thickness"], bare_unit=bare)
    return LayerPart(match["layer"], match["part"], float(thickness))

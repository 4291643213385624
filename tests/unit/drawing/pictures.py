"""Plans to draw, and ways to read a drawn picture back."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from functools import cache
from pathlib import Path

from rivetwright.drawing.hole_map import hole_map_svg
from rivetwright.engines.plan import WorkedPlan, work_out
from rivetwright.intake.plan_file import read_plan, read_plan_text

ROOT = Path(__file__).resolve().parents[3]
DEMO = ("aileron", "root-rib", "flap")
SVG = "{http://www.w3.org/2000/svg}"
Place = tuple[float, float]

# A sheet of 100 by 40 mm, and under its right half another one that stands out
# 20 mm beyond it; one row of five on both, one universal hole alone.
SMALL = """
format: rivetwright plan 1
project: {{id: 3d1f7a52-6c0e-4b8e-9a41-7be0c2d5f018, name: Test}}
assembly: {{id: small, name: Small}}
unit: mm
parts:
  near: {{title: near sheet, thickness: 1.0}}
  far: {{title: far sheet, thickness: 0.8}}
faces:
  F:
    title: {title}
    axis_u: to the right
    axis_v: up
    side_seen: from the front
    edges: {{u0: left edge, u1: right edge, v0: lower edge, v1: upper edge}}
    layers:
      - {{part: near, u: [0, 100], v: [0, 40], bends: [v0]}}
      - {{part: far, u: [50, 120], v: [10, 30]}}
rows:
  R1: {{face: F, at: [60, 20], by: [8, 0], count: 5, stack: [near, far],
       callout: MS20470AD4-4, step: s}}
  R2: {{face: F, at: [10, 30], by: [1, 0], count: 1, stack: [near, far],
       callout: MS20426AD3-3.5, step: s}}
  R3: {{count: 30, stack: [near, far], callout: MS20470AD4-4, step: s}}
steps:
  s: {{title: set}}
"""


@cache
def demo(name: str) -> WorkedPlan:
    """A demo assembly, worked out once."""
    return work_out(read_plan(ROOT / "examples" / "ostrel" / f"{name}.yaml"))


@cache
def small(title: str = "two sheets") -> WorkedPlan:
    """The small plan, worked out; `title` is its face's title."""
    quoted = "'" + title.replace("'", "''") + "'"
    return work_out(read_plan_text(SMALL.format(title=quoted)))


def demo_faces() -> list[tuple[str, str]]:
    """Every face of the demo with its assembly."""
    return [(name, face.name) for name in DEMO for face in demo(name).worked.plan.faces]


@cache
def demo_map(
    assembly: str, face: str, *, for_paper: bool = False, turns: int = 0
) -> str:
    """The hole map of a face of the demo, drawn once."""
    return hole_map_svg(demo(assembly), face, for_paper=for_paper, quarter_turns=turns)


def read(svg: str) -> ET.Element:
    """A picture as a tree."""
    return ET.fromstring(svg)


def of_class(picture: ET.Element, *classes: str) -> list[ET.Element]:
    """Elements that have all these classes."""
    wanted = set(classes)
    return [e for e in picture.iter() if wanted <= set(e.get("class", "").split())]


def hole_places(picture: ET.Element) -> dict[str, Place]:
    """Where each hole is drawn, by its name."""
    places = {}
    for sign in of_class(picture, "hole"):
        x, y = re.findall(r"-?[\d.]+", sign.get("transform", ""))
        places[sign.get("data-hole", "")] = (float(x), float(y))
    return places


def view_box(picture: ET.Element) -> tuple[float, float, float, float]:
    """Left, top, right and bottom of what is seen."""
    left, top, width, height = map(float, picture.get("viewBox", "").split())
    return left, top, left + width, top + height

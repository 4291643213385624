"""Plans made up for measuring: wavy outlines over each other, rows of rivets."""

from __future__ import annotations

from dataclasses import replace
from uuid import UUID, uuid5

import numpy as np

from rivetwright.model.outline import FREE, Face, Layer, Outline
from rivetwright.model.pattern import Straight
from rivetwright.model.plan import Part, Plan, Project, Row, RuleSets
from rivetwright.model.step import Step
from rivetwright.standards.codes import parse_rivet_code

NAMES = UUID("5f0d7c1e-9f3a-4c55-8a5b-1f7c4e6d2b10")
GAUGES_MM = (0.508, 0.635, 0.8128, 1.016, 1.27, 1.6002)
CODES = (
    "MS20470AD4-4",
    "MS20470AD4-4.5",
    "MS20470AD4-5",
    "MS20426AD3-3",
    "MS20470AD3-3.5",
    "MS20470AD5-6",
)
LAYERS_A_FACE = 5
HOLES_A_ROW = 50
PITCH_MM = 20.0
ROW_APART_MM = 20.0


def wavy_outline(
    u_mm: float, v_mm: float, corners: int, generator: np.random.Generator
) -> Outline:
    """A closed outline of `corners` points about a rectangle of u by v, grown."""
    angle = np.linspace(0.0, 2 * np.pi, corners, endpoint=False)
    # A squared circle keeps the rectangle well inside, with waves on its rim.
    stretch = 1.0 / np.fmax(np.abs(np.cos(angle)), np.abs(np.sin(angle)))
    wave = 1.15 + 0.05 * generator.random(corners)
    x = (0.5 + 0.5 * stretch * wave * np.cos(angle)) * u_mm
    y = (0.5 + 0.5 * stretch * wave * np.sin(angle)) * v_mm
    points = tuple(zip(x.tolist(), y.tolist(), strict=True))
    return Outline(points, (FREE,) * corners)


def _face(
    k: int, rows: int, corners: int, generator: np.random.Generator
) -> tuple[Face, list[Part]]:
    """One face: a skin over all rows and four doublers over some of them."""
    u_mm = (HOLES_A_ROW - 1) * PITCH_MM
    v_mm = max(1, rows - 1) * ROW_APART_MM
    layers, parts = [], []
    for layer in range(LAYERS_A_FACE):
        part = f"P{k}-{layer}"
        gauge = GAUGES_MM[int(generator.integers(len(GAUGES_MM)))]
        parts.append(Part(part, f"sheet {layer}", gauge, "2024-T3"))
        outline = wavy_outline(u_mm, v_mm, corners, generator)
        if layer > 1:
            # Doublers cover a band of the face, between two rows' middles.
            low = (layer - 2) * rows // 4
            band = max(1, rows // 2)
            shift = (low - 0.5) * ROW_APART_MM
            outline = wavy_outline(u_mm, band * ROW_APART_MM, corners, generator)
            moved = tuple((u, v + shift) for u, v in outline.corners_mm)
            outline = replace(outline, corners_mm=moved)
        layers.append(Layer(part, outline))
    return Face(f"F{k}", f"face {k}", tuple(layers)), parts


def made_up_plan(
    hole_count: int, *, outlines: int = 2000, corners: int = 40, seed: int = 7
) -> Plan:
    """A plan of about this many holes over up to `outlines` parts.

    Stacks come from the outlines; callouts are spread over six codes.
    """
    generator = np.random.default_rng(seed)
    row_count = max(1, hole_count // HOLES_A_ROW)
    face_count = max(1, min(outlines // LAYERS_A_FACE, row_count // 4))
    faces, parts, rows = [], [], []
    codes = [parse_rivet_code(code) for code in CODES]
    for k in range(face_count):
        share = row_count // face_count + (k < row_count % face_count)
        face, made = _face(k, share, corners, generator)
        faces.append(face)
        parts += made
        for r in range(share):
            pattern = Straight((0.0, r * ROW_APART_MM), (PITCH_MM, 0.0), HOLES_A_ROW)
            name = f"R{k}-{r}"
            code = codes[(r // 8 + k) % len(codes)]
            row_id = str(uuid5(NAMES, name))
            prepared = (("*", "dimple"),) if code.is_flush else ()
            rows.append(
                Row(row_id, name, code, pattern, "1", face.name, preparation=prepared)
            )
    return Plan(
        id="made-up",
        name="made up for measuring",
        project=Project("00000000-0000-0000-0000-000000000000", "made up"),
        unit="mm",
        parts=tuple(parts),
        faces=tuple(faces),
        rows=tuple(rows),
        steps=(Step("1", "set everything"),),
        rule_sets=RuleSets(),
    )

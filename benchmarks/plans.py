"""Plans made up for measuring: wavy outlines over each other, rows of rivets.

Mostly clean, as a kit's drawings are: doubler edges run midway between rows and
between holes, callouts follow the handbook rule. One row in a hundred is a size
too short, so that findings are made too.
"""

from __future__ import annotations

from uuid import UUID, uuid5

import numpy as np

from rivetwright.model.outline import FREE, Face, Layer, Outline
from rivetwright.model.pattern import Point, Straight
from rivetwright.model.plan import Part, Plan, Project, Row, RuleSets
from rivetwright.model.step import Step
from rivetwright.standards.codes import RivetCode, rivet_code
from rivetwright.standards.lengths import round_length_16ths

NAMES = UUID("5f0d7c1e-9f3a-4c55-8a5b-1f7c4e6d2b10")
# Thinnest first, so that the shop head forms on the thicker sheet.
GAUGES_MM = (0.508, 0.635, 0.8128, 1.016)
FAMILIES = (("MS20470", 4), ("MS20426", 3), ("MS20470", 6), ("MS20470", 5))
FULL_LAYERS = 2
DOUBLERS = 3
LAYERS_A_FACE = FULL_LAYERS + DOUBLERS
ROWS_A_FACE_MIN = 4
HOLES_A_ROW = 50
PITCH_MM = 20.0
ROW_APART_MM = 30.0
OVERHANG_MM = 15.0
WAVE_MM = 3.0
ROWS_A_SLIP = 100


def wavy_outline(
    low: Point, high: Point, corners: int, generator: np.random.Generator
) -> Outline:
    """A closed outline of `corners` points: two straight ends and two wavy sides.

    The wavy sides keep within `WAVE_MM` of the box from `low` to `high` [mm].
    """
    count = corners // 2
    u = np.linspace(low[0], high[0], count)
    near = low[1] + WAVE_MM * generator.uniform(-1, 1, count)
    far = high[1] + WAVE_MM * generator.uniform(-1, 1, count)
    places = [*zip(u, near, strict=True), *zip(u[::-1], far, strict=True)]
    points = tuple((float(x), float(y)) for x, y in places)
    return Outline(points, (FREE,) * len(points))


def _bands(rows: int, generator: np.random.Generator) -> list[range]:
    """Which rows each layer covers: two layers all, three doublers a band each."""
    bands = [range(rows)] * FULL_LAYERS
    for _ in range(DOUBLERS):
        first = int(generator.integers(0, rows))
        bands.append(range(first, min(rows, first + max(1, rows // 2))))
    return bands


def _face(
    k: int, bands: list[range], corners: int, generator: np.random.Generator
) -> tuple[Face, list[Part]]:
    """One face of two full sheets and doublers, thinnest sheet nearest."""
    gauges = np.sort(generator.choice(GAUGES_MM, LAYERS_A_FACE))
    layers, parts = [], []
    for layer, (band, gauge) in enumerate(zip(bands, gauges, strict=True)):
        part = f"P{k}-{layer}"
        parts.append(Part(part, f"sheet {layer}", float(gauge), "2024-T3"))
        low = (-OVERHANG_MM, band[0] * ROW_APART_MM - OVERHANG_MM)
        end_mm = (HOLES_A_ROW - 1) * PITCH_MM + OVERHANG_MM
        high = (end_mm, band[-1] * ROW_APART_MM + OVERHANG_MM)
        layers.append(Layer(part, wavy_outline(low, high, corners, generator)))
    return Face(f"F{k}", f"face {k}", tuple(layers)), parts


def _callout(family: tuple[str, int], grip_mm: float, shorter: int) -> RivetCode:
    """The length of the handbook rule for a grip, less some sixteenths."""
    standard, diameter = family
    wanted_mm = grip_mm + 1.5 * diameter * 25.4 / 32
    length = round_length_16ths(wanted_mm).value - shorter
    return rivet_code(standard, "AD", diameter, length)


def _row(k: int, r: int, grip_mm: float) -> Row:
    """One straight row, its rivet chosen for its grip."""
    name = f"R{k}-{r}"
    family = FAMILIES[(r // 8 + k) % len(FAMILIES)]
    callout = _callout(family, grip_mm, (k * 7 + r) % ROWS_A_SLIP == 0)
    return Row(
        str(uuid5(NAMES, name)),
        name,
        callout,
        Straight((0.0, r * ROW_APART_MM), (PITCH_MM, 0.0), HOLES_A_ROW),
        "1",
        f"F{k}",
        preparation=(("*", "dimple"),) if callout.is_flush else (),
    )


def made_up_plan(
    hole_count: int, *, outlines: int = 2000, corners: int = 40, seed: int = 7
) -> Plan:
    """A plan of about this many holes over up to `outlines` parts.

    Stacks of two to five sheets come from the outlines.
    """
    generator = np.random.default_rng(seed)
    row_count = max(ROWS_A_FACE_MIN, hole_count // HOLES_A_ROW)
    face_count = max(1, min(outlines // LAYERS_A_FACE, row_count // ROWS_A_FACE_MIN))
    faces, parts, rows = [], [], []
    for k in range(face_count):
        share = row_count // face_count + (k < row_count % face_count)
        bands = _bands(share, generator)
        face, made = _face(k, bands, corners, generator)
        faces.append(face)
        parts += made
        for r in range(share):
            sheets = zip(made, bands, strict=True)
            grip_mm = sum(part.thickness_mm for part, band in sheets if r in band)
            rows.append(_row(k, r, grip_mm))
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

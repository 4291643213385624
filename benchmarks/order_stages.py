"""Fresh stages of setting, made up: ladders, ribs, spars, skins, whole airframes.

The layouts follow the general shape of light riveted structure and no existing
design. The same kind, size and seed give the same stage.
"""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np

from benchmarks.order_made import Bench, Line, Place, level
from rivetwright.model.stage import BARE, Stage, StageSet

SHEETS_MM = (0.4, 0.5, 0.6, 0.8, 1.0, 1.2, 1.6)


def ladder(bench: Bench) -> None:
    """A control surface: two long rows and cross ribs on an upper and a lower face."""
    pitch_mm, width_mm = bench.choose(22, 25, 28), float(bench.rng.uniform(260, 420))
    brackets = 1 if bench.wanted < 120 else 2
    per_face = (bench.wanted - 4 * brackets) / 2
    ribs = max(2, round(per_face / 32))
    across = ribs * (width_mm / pitch_mm - 1)
    span_mm = max(200.0, (per_face - across) / 2 * pitch_mm)
    inner, skin = bench.group("skeleton"), bench.group("skin, flush")
    bench.before(f"g{inner}", f"g{skin}")
    base_mm = bench.choose(*SHEETS_MM[2:5]) + bench.choose(*SHEETS_MM[1:3])
    for k in range(brackets):
        first = skin if bench.rng.random() < 0.5 else inner
        place = (span_mm * (k + 0.5) / brackets, width_mm + 30.0)
        bench.bracket(0, place, base_mm + 1.6, f"g{first}")
    for k in range(min(ribs, 3)):
        x_mm = span_mm * (k + 0.5) / ribs + 8.0
        start, end = (x_mm, 8.0), (x_mm, 83.0)
        grip, depth = level(base_mm + 0.4), level(50.0)
        bench.line(
            Line(0, start, end, 25.0, inner, 4, False, grip, depth, is_narrow=True)
        )
    grips = bench.zones(base_mm), bench.zones(base_mm)
    opened = [(0.0, 0.06)] if bench.rng.random() < 0.6 else []
    for face in (0, 1):
        for k, y_mm in enumerate((0.0, width_mm)):
            start, end = (0.0, y_mm), (span_mm, y_mm)
            depth = level(18.0 if k == 0 else 30.0)
            row = Line(face, start, end, pitch_mm, skin, 3, True, grips[k], depth)
            row.left_open = opened if k == 0 else ()
            row.every = int(bench.choose(2, 3, 4))
            bench.line(row)
        for k in range(ribs):
            end = (span_mm * (k + 0.5) / ribs, width_mm)
            _cross(bench, face, skin, end, (pitch_mm, base_mm))


def _cross(bench: Bench, face: int, group: int, end: Place, made: Place) -> None:
    """A row across, deepest in its middle; its pitch and its grip are given."""
    x_mm, width_mm = end
    pitch_mm, grip_mm = made
    inset_mm = 25.0
    half_mm = width_mm - 2 * inset_mm
    bench.line(
        Line(
            face,
            (x_mm, inset_mm),
            (x_mm, width_mm - inset_mm),
            pitch_mm,
            group,
            3,
            True,
            level(grip_mm),
            lambda share: inset_mm + min(share, 1 - share) * half_mm,
            by_gun=bool(bench.rng.random() < 0.4),
            every=int(bench.choose(2, 3, 4)),
        )
    )


def rib(bench: Bench) -> None:
    """A rib: stiffeners first, then flange rows, an edge member, a doubler."""
    pitch_mm = bench.choose(20, 25)
    chord_mm = max(250.0, bench.wanted * pitch_mm / 3.4)
    height_mm = float(bench.rng.uniform(0.14, 0.22)) * chord_mm
    base_mm = bench.choose(*SHEETS_MM[2:5]) + bench.choose(*SHEETS_MM[2:5])
    stiff, flange = bench.group("stiffeners"), bench.group("flanges")
    bench.before(f"g{stiff}", f"g{flange}")
    edge = bench.group("edge member")
    count = max(2, int(chord_mm / 260))
    for k in range(count):
        x_mm = chord_mm * (k + 0.7) / count
        start, end = (x_mm, 15.0), (x_mm, height_mm - 15.0)
        row = Line(0, start, end, pitch_mm, stiff, 3, False, level(base_mm), level(0))
        row.diameter_32nds = int(bench.choose(3, 4))
        row.is_flush = bool(bench.rng.random() < 0.3)
        row.depth_mm = lambda share: 15.0 + min(share, 1 - share) * height_mm
        row.is_narrow = bool(bench.rng.random() < 0.5)
        bench.line(row)
    for again in range(3):  # doubled rows where holes are still wanted
        shift_mm = 12.0 * again
        for y_mm, opened in ((shift_mm, [(0.9, 1.0)]), (height_mm - shift_mm, [])):
            grip, start = bench.zones(base_mm), (0.0, y_mm)
            end = (chord_mm, y_mm)
            row = Line(0, start, end, pitch_mm, flange, 4, False, grip, level(12.0))
            row.left_open, row.every = opened, int(bench.choose(2, 3, 4))
            bench.line(row)
        start, end = (
            (0.0, height_mm / 2 + shift_mm),
            (chord_mm, height_mm / 2 + shift_mm),
        )
        grip = bench.zones(base_mm - 0.2, 2)
        row = Line(0, start, end, pitch_mm * 1.2, edge, 3, False, grip, level(0))
        row.depth_mm, row.by_gun = (lambda share: 40.0 + 60.0 * share), True
        bench.line(row)


def spar(bench: Bench) -> None:
    """A spar: caps in double rows, a root doubler, stiffeners, fittings, two faces."""
    wanted, pitch_mm = bench.wanted, bench.choose(22, 25, 30)
    brackets = 1 + (wanted >= 200) + (wanted >= 500)
    stiffeners = max(2, wanted // 40)
    holes = wanted - 4 * brackets - stiffeners * 6
    length_mm = max(300.0, holes / 4 * pitch_mm)
    height_mm = float(bench.rng.uniform(160, 230))
    base_mm = bench.choose(*SHEETS_MM[3:6]) + bench.choose(*SHEETS_MM[4:])
    stiff, caps, root = (bench.group(n) for n in ("stiffeners", "caps", "root doubler"))
    bench.before(f"g{root}", f"g{caps}")
    for k in range(brackets):
        place = (length_mm * (k + 0.4) / brackets, height_mm / 2 + 20.0)
        bench.bracket(k % 2, place, base_mm + 2.0, f"g{stiff}")
    for k in range(max(1, min(4, wanted // 60))):
        y_mm = 40.0 + 25.0 * k
        start, end = (20.0, y_mm), (0.16 * length_mm + 20.0, y_mm)
        grip, depth = level(base_mm + 1.6), level(40.0 + 12.0 * k)
        bench.line(
            Line(0, start, end, pitch_mm, root, 4, True, grip, depth, by_gun=True)
        )
    for k in range(stiffeners):
        x_mm = length_mm * (k + 0.5) / stiffeners
        start, end = (x_mm, 28.0), (x_mm, height_mm - 28.0)
        row = Line(k % 2, start, end, 30.0, stiff, 4, False, level(base_mm), level(0))
        row.depth_mm = lambda share: 28.0 + min(share, 1 - share) * height_mm
        row.diameter_32nds = int(bench.choose(3, 4, 4))
        row.is_narrow, row.by_gun, row.every = k % 3 == 0, True, 2
        bench.line(row)
    grip = bench.zones(base_mm)
    for k, (face, y_mm) in enumerate(_cap_rows(height_mm)):
        start, end = (0.0, y_mm), (length_mm, y_mm)
        row = Line(face, start, end, pitch_mm, caps, 4, False, grip, level(0))
        row.is_flush = face == 0 and k < 4
        row.depth_mm = level(14.0 if k < 4 else 30.0)
        row.left_open = [(0.0, 0.04), (0.48, 0.53)] if y_mm == height_mm else ()
        row.every = int(bench.choose(2, 3, 4))
        bench.line(row)


def _cap_rows(height_mm: float) -> list[tuple[int, float]]:
    """Faces and heights of the cap rows, the outer ones first."""
    outer = [(0, 0.0), (0, height_mm), (1, 12.0), (1, height_mm - 12.0)]
    inner = [(0, 24.0), (1, 36.0), (0, height_mm - 24.0), (1, height_mm - 36.0)]
    return outer + inner


def skin(bench: Bench) -> None:
    """A panel of flush rows; a second one closes it; laps are left for later."""
    wanted, pitch_mm = bench.wanted, bench.choose(25, 28, 32)
    panels = 1 if wanted < 250 else 2
    laps, first = bench.group("inner laps"), bench.group("first panel, flush")
    bench.before(f"g{first}", f"g{laps}")
    closing, milestone = first, BARE
    if panels == 2:
        milestone = bench.milestone("inspect inside, lay on the closing panel", 900.0)
        closing = bench.group("closing panel, flush")
        for before in (first, laps):
            bench.before(f"g{before}", f"m{milestone}")
        bench.before(f"m{milestone}", f"g{closing}")
    per_panel = wanted / panels
    length_mm = math.sqrt(per_panel * pitch_mm * 260)
    width_mm = max(260.0, length_mm / 2.4)
    base_mm = bench.choose(*SHEETS_MM[1:4]) + bench.choose(*SHEETS_MM[1:4])
    y_mm = width_mm + 40.0
    row = Line(
        0, (10.0, y_mm), (185.0, y_mm), 25.0, laps, 4, False, level(0), level(30)
    )
    row.grip_mm, row.every = level(base_mm + 0.6), 2
    bench.line(row)
    for panel in range(panels):
        group, after = (first, BARE) if panel == 0 else (closing, milestone)
        bench.wanted = round(per_panel * (panel + 1))
        _panel(bench, panel, group, after, (length_mm, width_mm), pitch_mm, base_mm)


def _panel(
    bench: Bench,
    face: int,
    group: int,
    after: int,
    size_mm: Place,
    pitch_mm: float,
    base_mm: float,
) -> None:
    length_mm, width_mm = size_mm
    grip = bench.zones(base_mm)
    opened = [(0.93, 1.0)] if bench.rng.random() < 0.7 else []
    for y_mm in (0.0, 0.62 * width_mm, width_mm):
        edge_mm = min(y_mm, width_mm - y_mm)
        start, end = (0.0, y_mm), (length_mm, y_mm)
        depth = level(20.0 + edge_mm * (0.5 if face == 0 else 1.0))
        row = Line(face, start, end, pitch_mm, group, 4, True, grip, depth, after=after)
        row.by_gun = edge_mm > 10.0
        row.left_open = opened if y_mm == width_mm else ()
        row.every = int(bench.choose(2, 3, 4))
        bench.line(row)
    ribs = max(2, round(bench.wanted / (width_mm / pitch_mm) / 2))
    for k in range(ribs + 6):
        x_mm = length_mm * ((k % ribs) + 0.5) / ribs + (
            0 if k < ribs else 1.5 * pitch_mm
        )
        start, end = (x_mm, 30.0), (x_mm, width_mm - 30.0)
        row = Line(face, start, end, pitch_mm, group, 3, True, level(base_mm), level(0))
        row.depth_mm = lambda share: 30.0 + min(share, 1 - share) * (width_mm - 60.0)
        row.by_gun, row.after = True, after
        row.every = int(bench.choose(2, 3, 4))
        bench.line(row)


KINDS: dict[str, Callable[[Bench], None]] = {
    "ladder": ladder,
    "rib": rib,
    "spar": spar,
    "skin": skin,
}


def fresh_stage(kind: str, holes: int, seed: int) -> Stage:
    """A stage of about so many holes; the same for the same kind, size and seed."""
    rng = np.random.default_rng([list(KINDS).index(kind), holes, seed])
    bench = Bench(rng, holes)
    KINDS[kind](bench)
    return bench.stage(f"{kind}-{bench.count}-s{seed}")


def fresh_airframe(holes: int, seed: int) -> StageSet:
    """Stages of 12 to 400 holes that come to so many, each after an earlier one."""
    rng = np.random.default_rng([holes, seed])
    stages: list[Stage] = []
    left = holes
    while left > 0:
        size = int(min(left, max(12, min(400, rng.lognormal(math.log(56.0), 0.75)))))
        if left - size < 12:
            size = left
        kind = str(rng.choice(["ladder", "rib", "spar", "skin", "rib", "ladder"]))
        stage = fresh_stage(
            "rib" if size < 30 else kind, size, seed * 1000 + len(stages)
        )
        left -= len(stage)
        stages.append(stage)
    pairs = [(max(0, k - int(rng.integers(1, 7))), k) for k in range(1, len(stages))]
    return StageSet(f"airframe-{holes}-s{seed}", tuple(stages), tuple(pairs))

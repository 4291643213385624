"""Clean assemblies as a kit's drawings give them; nothing in them is at fault.

Each holds every kind of joint the checks speak of, every joint on a face of its own:
skin on ribs (universal and flush), a doubler with a bracket and two rows, a
countersunk cap, dimples nested in a countersink, blind rows, a bracket that comes
later over open holes, a ring of holes round a cut-out, a row without places.
Sizes, gauges, counts, pitches, turns and ways of writing are drawn by a seed.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction
from random import Random
from uuid import UUID, uuid5

from rivetwright.model.opening import Opening
from rivetwright.model.outline import BEND, FREE, CutOut, Face, Layer, Outline
from rivetwright.model.pattern import (
    Arc,
    Between,
    Counted,
    Pattern,
    Pitched,
    Point,
    Points,
    Polyline,
    Straight,
)
from rivetwright.model.plan import (
    FAR,
    NEAR,
    Callout,
    HoleRange,
    OpenHoles,
    Part,
    Plan,
    Project,
    Row,
    RuleSets,
    Sheet,
)
from rivetwright.model.step import Need, Step
from rivetwright.standards.blind import KitBlindCode
from rivetwright.standards.codes import rivet_code
from tests.property.faults.figures import (
    COUNTERSINK,
    COUNTERSINK_SHEET_IN,
    DIMPLE,
    PLAIN,
    Joint,
    fitting_length,
    nested_land_in,
)

IN = 25.4
NAMES = UUID("a3a0b9f0-4f0e-4a53-9d52-6a4f6f1c7d21")
WHOLE_ONLY = (5,)
EDGE_D = 2.75  # clear of every edge rule
HEAD_ROOM_D = 1.15  # clear of bends and steps
THIN_IN = (0.020, 0.025, 0.032, 0.040)
CAPS_IN = (0.050, 0.063, 0.071, 0.080, 0.090, 0.100, 0.125)
STEP, LATER = "1", "2"
MATERIAL = "2024-T3"
BLIND_CODES = (
    ("BD4-1", "dome", ".020", ".062"),
    ("BD4-2", "dome", ".063", ".125"),
    ("BD4-3", "dome", ".126", ".187"),
    ("BF4-1", "flush", ".060", ".125"),
    ("BF4-2", "flush", ".126", ".187"),
)


@dataclass(frozen=True)
class Placing:
    """How a face lies: offset [in], quarter turns, mirrored."""

    offset: Point
    turns: int
    mirrored: bool

    def __call__(self, u: float, v: float) -> Point:
        """A place of the joint [in] as a place on the face [mm]."""
        x, y = (-u, v) if self.mirrored else (u, v)
        for _ in range(self.turns):
            x, y = -y, x
        return ((x + self.offset[0]) * IN, (y + self.offset[1]) * IN)


@dataclass
class Assembly:
    """A plan being drawn up, and what is true of its rows."""

    seed: int
    parts: dict[str, Part] = field(default_factory=dict)
    faces: list[Face] = field(default_factory=list)
    rows: list[Row] = field(default_factory=list)
    open_holes: list[OpenHoles] = field(default_factory=list)
    text_sets: list[str] = field(default_factory=list)
    set_holes: list[str] = field(default_factory=list)
    sheets: dict[str, tuple[Sheet, ...]] = field(default_factory=dict)
    joints: dict[str, str] = field(default_factory=dict)

    def __post_init__(self) -> None:
        """Chance comes from the seed alone."""
        self.chance = Random(self.seed)

    def pick(self, low: float, high: float) -> float:
        """A length between two, to a thousandth [in]."""
        return round(self.chance.uniform(low, high), 3)

    def part(self, title: str, thick_in: float, radius_in: float | None = None) -> str:
        """A new part; its name."""
        name = f"{100 + len(self.parts)}"
        radius_mm = None if radius_in is None else radius_in * IN
        self.parts[name] = Part(name, title, thick_in * IN, MATERIAL, radius_mm)
        return name

    def placing(self) -> Placing:
        """How the next face lies."""
        chance = self.chance
        offset = (float(chance.randint(-5, 60)), float(chance.randint(-5, 60)))
        return Placing(offset, chance.randrange(4), chance.random() < 0.5)

    def line(self, place: Placing, v: float, pitch: float, count: int) -> Pattern:
        """A straight row along u, written one of the ways a drawing has."""
        first, last = place(0, v), place((count - 1) * pitch, v)
        second = place(pitch, v)
        step = (second[0] - first[0], second[1] - first[1])
        middle = place((count - 1) * pitch / 2, v)
        return self.chance.choice(
            (
                Straight(first, step, count),
                Between(first, last, count),
                Pitched(first, last, pitch * IN),
                Polyline((first, middle, last), count),
                Points(tuple(place(k * pitch, v) for k in range(count))),
            )
        )

    def add_row(
        self,
        joint: str,
        sheets: Sequence[tuple[str, str]],
        callout: Callout,
        pattern: Pattern,
        *,
        face: str,
        head_side: str = NEAR,
        written: bool | None = None,
    ) -> str:
        """A row with its stack written, or prepared part by part; its name."""
        name = f"R{len(self.rows) + 1}"
        is_written = self.chance.random() < 0.5 if written is None else written
        stack = tuple(Sheet(part, how) for part, how in sheets)
        prepared = tuple((part, how) for part, how in sheets if how != PLAIN)
        self.rows.append(
            Row(
                id=str(uuid5(NAMES, f"{self.seed} {name}")),
                name=name,
                callout=callout,
                pattern=pattern,
                step=STEP,
                face=face,
                stack=stack if is_written else (),
                preparation=() if is_written else prepared,
                head_side=head_side,
            )
        )
        self.sheets[name], self.joints[name] = stack, joint
        return name

    def joint_of(self, sheets: Iterable[Sheet], diameter: int, flush: bool) -> Joint:
        """A stack as the rivet feels it, thicknesses from the parts."""
        stack = tuple(sheets)
        thick = tuple(self.parts[sheet.part].thickness_mm / IN for sheet in stack)
        return Joint(thick, tuple(s.preparation for s in stack), diameter, flush)

    def rivet(
        self, sheets: Sequence[tuple[str, str]], diameter: int, *, flush: bool = False
    ) -> Callout:
        """The solid rivet that fits a stack."""
        joint = self.joint_of((Sheet(*sheet) for sheet in sheets), diameter, flush)
        length = fitting_length(joint, WHOLE_ONLY)
        return rivet_code("MS20426" if flush else "MS20470", "AD", diameter, length)

    def add_face(self, joint: str, layers: Sequence[Layer]) -> str:
        """A face with layers from near to far; its name."""
        name = f"F{len(self.faces) + 1}"
        self.faces.append(Face(name, joint, tuple(layers)))
        return name

    def plan(self) -> Plan:
        """The plan as drawn up."""
        steps = (
            Step(STEP, "rivet", text_sets=tuple(self.text_sets)),
            Step(LATER, "fit the brackets", needs=(Need("step", STEP),)),
        )
        codes = tuple(
            KitBlindCode(name, head, Fraction(IN).limit_denominator(10) / 8, *grips)
            for name, head, *ends in BLIND_CODES
            for grips in [[Fraction(end) * Fraction(127, 5) for end in ends]]
        )
        return Plan(
            id=f"clean-{self.seed}",
            name="INVENTED",
            project=Project("0d5f3b1e-8c1f-4c60-8a80-9b1f6f3a7c55", "Random"),
            unit="in",
            parts=tuple(self.parts.values()),
            faces=tuple(self.faces),
            rows=tuple(self.rows),
            steps=steps,
            open_holes=tuple(self.open_holes),
            blind_codes=codes,
            rule_sets=RuleSets(whole_lengths_32nds=WHOLE_ONLY),
            opening=Opening(set_holes=tuple(self.set_holes)),
        )


def box(
    place: Placing, low: Point, high: Point, *, bend: bool = False, chamfer: float = 0
) -> Outline:
    """A sheet from low to high [in]; its low-v side may be a bend.

    A chamfer takes the two far corners off.
    """
    (u0, v0), (u1, v1) = low, high
    corners = [(u0, v0), (u1, v0), (u1, v1 - chamfer)]
    if chamfer:
        corners += [(u1 - chamfer, v1), (u0 + chamfer, v1), (u0, v1 - chamfer)]
    else:
        corners.append((u0, v1))
    sides = (BEND if bend else FREE, *(FREE,) * (len(corners) - 1))
    return Outline(tuple(place(u, v) for u, v in corners), sides)


def ribs(made: Assembly, diameter: int, *, flush: bool) -> None:
    """A skin on two or three flanges, two or three of them alike, a row on each."""
    d, how = diameter / 32, DIMPLE if flush else PLAIN
    place, count = made.placing(), made.chance.randint(5, 9)
    pitch = made.pick(6.5 * d, 11 * d)
    skin = made.part("skin", made.chance.choice(THIN_IN[:3]))
    thick, radius = made.chance.choice(THIN_IN[1:]), made.pick(0.03, 0.09)
    alike = made.part("rib flange", thick, radius)
    other = made.part("end rib flange", made.chance.choice(THIN_IN[1:]), radius)
    flanges = [alike, alike, *made.chance.choice(((), (alike,), (other,)))]
    long, end = (count - 1) * pitch, made.pick(EDGE_D * d, 4 * d)
    layers, spots, v = [], [], 0.0
    for rib in flanges:
        row_v = v + made.parts[rib].thickness_mm / IN + radius + HEAD_ROOM_D * d
        top = row_v + made.pick(EDGE_D * d, 3.5 * d)
        layers.append(Layer(rib, box(place, (-end, v), (long + end, top), bend=True)))
        spots.append((rib, row_v))
        v = top + made.pick(1.0, 3.0)
    sheet = box(place, (-end - 0.3, -0.5), (long + end + 0.3, v), chamfer=0.2)
    is_near = made.chance.random() < 0.7
    stack = [Layer(skin, sheet), *layers] if is_near else [*layers, Layer(skin, sheet)]
    kind = f"{'flush' if flush else 'universal'} ribs"
    face = made.add_face(kind, stack)
    written = made.chance.random() < 0.5
    for rib, row_v in spots:
        sheets = [(skin, how), (rib, how)]
        made.add_row(
            kind,
            sheets,
            made.rivet(sheets, diameter, flush=flush),
            made.line(place, row_v, pitch, count),
            face=face,
            head_side=NEAR if is_near else FAR,
            written=written,
        )


def patch(made: Assembly, diameter: int) -> None:
    """A doubler on a web with a bracket behind: two rows through all, one beside."""
    d, place = diameter / 32, made.placing()
    count, pitch = made.chance.randint(4, 7), made.pick(6.5 * d, 9 * d)
    doubler = made.part("doubler", made.chance.choice(THIN_IN[1:]))
    web = made.part("web", made.chance.choice(THIN_IN[:3]))
    bracket = made.part("bracket", made.chance.choice((0.063, 0.080, 0.090)))
    across = made.pick(5 * d, 6.5 * d)
    edge = made.pick(EDGE_D * d, 3.5 * d)
    beside = across + edge + HEAD_ROOM_D * d + made.pick(0.1, 0.4)
    long, low = (count - 1) * pitch, -edge
    face = made.add_face(
        "patch",
        [
            Layer(doubler, box(place, (low, low), (long + edge, beside + edge))),
            Layer(web, box(place, (low - 1, low - 1), (long + 2, beside + 2))),
            Layer(bracket, box(place, (low, low), (long + edge, across + edge))),
        ],
    )
    through = [(doubler, PLAIN), (web, PLAIN), (bracket, PLAIN)]
    for v, sheets in ((0.0, through), (across, through), (beside, through[:2])):
        made.add_row(
            "patch" if len(sheets) == 3 else "beside patch",
            sheets,
            made.rivet(sheets, diameter),
            made.line(place, v, pitch, count),
            face=face,
        )


def sunk(made: Assembly, diameter: int, *, nested: bool) -> None:
    """Flush rivets in a countersunk cap, under dimpled skin or bare, on a plate."""
    d, place = diameter / 32, made.placing()
    count, pitch = made.chance.randint(4, 7), made.pick(6.5 * d, 10 * d)
    skin = made.part("skin", made.chance.choice(THIN_IN[:2]))
    dimpled = [skin] * nested
    fit = [t for t in CAPS_IN if t >= COUNTERSINK_SHEET_IN[diameter]]
    if nested:
        hows, skin_in = (DIMPLE, COUNTERSINK), made.parts[skin].thickness_mm / IN
        joints = {t: Joint((skin_in, t), hows, diameter, True) for t in fit}
        fit = [t for t in fit if nested_land_in(joints[t]) > 0.01]
    cap = made.part("cap strip", made.chance.choice(fit[:3]))
    plate = made.part("plate", made.chance.choice((0.063, 0.071, 0.080)))
    long, edge = (count - 1) * pitch, made.pick(EDGE_D * d, 4 * d)
    outline = box(place, (-edge, -edge), (long + edge, edge))
    kind = "nested" if nested else "countersunk"
    face = made.add_face(kind, [Layer(p, outline) for p in (*dimpled, cap, plate)])
    sheets = [*((p, DIMPLE) for p in dimpled), (cap, COUNTERSINK), (plate, PLAIN)]
    made.add_row(
        kind,
        sheets,
        made.rivet(sheets, diameter, flush=True),
        made.line(place, 0.0, pitch, count),
        face=face,
    )


def blind(made: Assembly, *, flush: bool) -> None:
    """Blind rivets through a skin into a closed box."""
    d, place = 1 / 8, made.placing()
    count, pitch = made.chance.randint(4, 8), made.pick(6.5 * d, 10 * d)
    how = DIMPLE if flush else PLAIN
    skin = made.part("skin", made.chance.choice(THIN_IN[:3]))
    flange = made.part("box flange", made.chance.choice(THIN_IN[1:]))
    long, edge = (count - 1) * pitch, made.pick(EDGE_D * d, 4 * d)
    outline = box(place, (-edge, -edge), (long + edge, edge))
    kind = "blind flush" if flush else "blind"
    face = made.add_face(kind, [Layer(skin, outline), Layer(flange, outline)])
    felt = sum(made.parts[p].thickness_mm for p in (skin, flange)) / IN
    felt += 0.042 if flush else 0.0
    head = "flush" if flush else "dome"
    codes = [code for code in made.plan().blind_codes if code.head == head]
    (callout,) = [code for code in codes if code.takes(felt * IN)]
    pattern = made.line(place, 0.0, pitch, count)
    made.add_row(kind, [(skin, how), (flange, how)], callout, pattern, face=face)


def later(made: Assembly, diameter: int) -> None:
    """A row whose last holes stay open for a bracket of a later step."""
    d, place = diameter / 32, made.placing()
    count, pitch = made.chance.randint(7, 10), made.pick(6.5 * d, 9 * d)
    kept = made.chance.randint(2, 3)
    skin = made.part("skin", made.chance.choice(THIN_IN[:3]))
    spar = made.part("spar flange", made.chance.choice(THIN_IN[1:]))
    bracket = made.part("bracket", made.chance.choice((0.040, 0.050, 0.063)))
    long, edge = (count - 1) * pitch, made.pick(EDGE_D * d, 3.5 * d)
    outline = box(place, (-edge, -edge), (long + edge, edge))
    start = (count - kept) * pitch - EDGE_D * d
    over = Layer(
        bracket, box(place, (start, -edge), (long + edge, edge)), from_step=LATER
    )
    face = made.add_face("later", [Layer(skin, outline), Layer(spar, outline), over])
    first = [(skin, PLAIN), (spar, PLAIN)]
    row = made.add_row(
        "later",
        first,
        made.rivet(first, diameter),
        made.line(place, 0.0, pitch, count),
        face=face,
    )
    whole = [*first, (bracket, PLAIN)]
    is_written = bool(made.rows[-1].stack)
    made.open_holes.append(
        OpenHoles(
            id=f"open {row}",
            holes=(HoleRange(row, count - kept + 1, count),),
            reason="bracket comes later",
            step=LATER,
            part=bracket,
            stack=tuple(Sheet(p, how) for p, how in whole) if is_written else (),
            callout=made.rivet(whole, diameter),
        )
    )
    made.text_sets.append(f"{row}:1-{count - kept}")


def ring(made: Assembly, diameter: int) -> None:
    """Holes on a circle round a cut-out, in a plate with many corners."""
    d, place = diameter / 32, made.placing()
    count, inner = made.chance.randint(8, 12), made.pick(1.0, 1.6)
    radius = max(inner + made.pick(EDGE_D * d, 3.5 * d), count * 6.5 * d / math.tau)
    corners = made.chance.randint(24, 40)
    outer = (radius + EDGE_D * d) / math.cos(math.pi / corners)
    rim = [(outer, k * math.tau / corners) for k in range(corners)]
    points = tuple(place(r * math.cos(a), r * math.sin(a)) for r, a in rim)
    outline = Outline(points, (FREE,) * corners)
    cut = CutOut(place(0, 0), inner * IN, note="lightening hole")
    plate = made.part("plate", made.chance.choice(THIN_IN[:3]))
    stiffener = made.part("ring", made.chance.choice(THIN_IN[1:]))
    both = [Layer(part, outline, (cut,)) for part in (plate, stiffener)]
    face = made.add_face("ring", both)
    pattern = Arc(place(0, 0), radius * IN, 0.0, 360.0, count)
    sheets = [(plate, PLAIN), (stiffener, PLAIN)]
    made.add_row("ring", sheets, made.rivet(sheets, diameter), pattern, face=face)


def counted(made: Assembly, diameter: int) -> None:
    """A row of which the drawing gives count, stack and callout alone."""
    outer = made.part("clip", made.chance.choice(THIN_IN[:3]))
    inner = made.part("former", made.chance.choice(THIN_IN[1:]))
    sheets, count = [(outer, PLAIN), (inner, PLAIN)], made.chance.randint(3, 6)
    callout = made.rivet(sheets, diameter)
    made.add_row("counted", sheets, callout, Counted(count), face="", written=True)


def clean_assembly(seed: int) -> Assembly:
    """A whole assembly without a fault."""
    made = Assembly(seed)
    chance = made.chance
    scenes: list[Callable[[], None]] = [
        lambda: ribs(made, chance.choice((3, 4)), flush=False),
        lambda: ribs(made, chance.choice((3, 4)), flush=True),
        lambda: patch(made, 5),
        lambda: sunk(made, chance.choice((3, 4, 5)), nested=False),
        lambda: sunk(made, chance.choice((3, 4)), nested=True),
        lambda: blind(made, flush=False),
        lambda: blind(made, flush=True),
        lambda: later(made, chance.choice((3, 4))),
        lambda: ring(made, chance.choice((3, 4))),
        lambda: counted(made, chance.choice((3, 4))),
    ]
    chance.shuffle(scenes)
    for scene in scenes:
        scene()
    note_on_rows(made)
    return made


def note_on_rows(made: Assembly) -> None:
    """What else a plan says: a drill here, rivets already set, a row of a bulletin."""
    chance = made.chance
    for k, row in enumerate(made.rows):
        if made.joints[row.name] == "universal ribs" and chance.random() < 0.5:
            hole = {3: 0.098, 4: 0.1285}[row.callout.diameter_32nds]  # type: ignore[union-attr]
            made.rows[k] = replace(row, drill_mm=hole * IN)
    ready, changed = chance.sample(range(len(made.rows)), 2)
    made.set_holes.append(f"{made.rows[ready].name}:1-2")
    made.rows[changed] = replace(made.rows[changed], changed_by="SB-1")

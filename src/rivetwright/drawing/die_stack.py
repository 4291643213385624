"""What stands between the jaws of the squeezer at the end of its stroke, to scale.

The ram comes from above with its pin, shims and die; below is the fixed jaw. Places
are (x, z) as in a section: z from the surface under the manufactured head, down.
"""

from __future__ import annotations

from dataclasses import dataclass

from rivetwright.drawing.die_profiles import cup_die, flat_die, jaw, ram_end
from rivetwright.drawing.ink import size_class, stylesheet
from rivetwright.drawing.labels import width_of
from rivetwright.drawing.profiles import (
    SheetProfile,
    flush_head,
    sheet_profiles,
    shop_head,
    universal_head,
)
from rivetwright.drawing.section_signs import (
    LINE_MM,
    THIN_MM,
    add_arrow,
    add_sheets,
    around,
    both_halves,
    spread_out,
)
from rivetwright.drawing.stack_section import Cut, cut_of
from rivetwright.drawing.svg import Element, add, new_picture, path_through, written
from rivetwright.drawing.words import say
from rivetwright.engines.plan import WorkedPlan
from rivetwright.engines.squeeze.set_up import SetUp
from rivetwright.engines.squeeze.stacking import FLAT, Pieces
from rivetwright.model.pattern import Point
from rivetwright.model.shop import Die, Tool
from rivetwright.texts.catalogue import catalogue
from rivetwright.units.wording import UnitSystem, show_length

# Millimetres as drawn.
HIGH_DRAWN_MM, WIDE_DRAWN_MM = 88.0, 34.0
WORDS_MM, TITLE_MM = 3.6, 4.0
LABEL_STEP_MM = 4.8
LEFT_MM, RIGHT_MM, TOP_MM, BOTTOM_MM = 34.0, 39.0, 10.0, 3.0
# The gap stands so far left of the stretches that make it up.
OUTER_MM = 24.0
# How much of ram and jaw is shown before they are broken off.
SHOWN_MM = 5.0
# Where the shop file gives no face, in diameters of the rivet.
UNKNOWN_FACE_D = 3.0
SHEET_REACH = 1.35
HALO_MM = 0.8


@dataclass(frozen=True)
class Closed:
    """Everything the picture shows; lengths in mm, heights from the rivet's datum.

    `top` is where the ram's die touches, `foot` where the fixed die does. `marks` are
    stretches to be dimensioned: words, from, to; `whole` is the gap.
    """

    title: str
    about: str
    size: str
    system: UnitSystem
    yoke: Tool
    pieces: Pieces
    top: float
    foot: float
    face: float
    sheets: tuple[SheetProfile, ...]
    sheet_words: tuple[str, ...]
    marks: tuple[tuple[str, float, float], ...]
    whole: str
    bodies: tuple[tuple[str, tuple[Point, ...]], ...]
    head_words: tuple[str, ...] = ()

    @property
    def reach(self) -> float:
        """Half the width that the sheets are drawn [mm]."""
        return half_of(self.yoke, self.face)

    @property
    def ram_shoulder(self) -> float:
        """Where the ram's die sits on its shims or on the pin [mm]."""
        return self.top - self.pieces.ram.length_mm - self.ram_turned

    @property
    def ram_turned(self) -> float:
        """How far the ram's die is turned out [mm]."""
        return 0.0 if self._fixed_turns else self.pieces.turned_mm

    @property
    def _fixed_turns(self) -> bool:
        fixed = self.pieces.fixed
        return fixed is not None and fixed.length_max_mm is not None

    @property
    def pin_end(self) -> float:
        """Where the shims end and the ram pin begins [mm]."""
        return self.ram_shoulder - sum(self.pieces.shims_mm)

    @property
    def ram(self) -> float:
        """Where the shortest pin would end: the ram itself [mm]."""
        return self.pin_end - self.pieces.pin_mm

    @property
    def jaw(self) -> float:
        """Where the fixed die sits on the jaw [mm]."""
        fixed = self.pieces.fixed
        if fixed is None:
            return self.foot
        turned = self.pieces.turned_mm if self._fixed_turns else 0.0
        return self.foot + fixed.length_mm + turned

    @property
    def scale(self) -> float:
        """Millimetres at the tool for one as drawn."""
        high = (self.jaw - self.ram) / (HIGH_DRAWN_MM - 2 * SHOWN_MM)
        return max(high, 2 * self.reach / WIDE_DRAWN_MM)


def die_stack_svg(
    worked_plan: WorkedPlan, hole: int, set_up: SetUp, *, for_paper: bool = False
) -> str | None:
    """The stack between the dies with the shop head formed, and its dimensions.

    None where nothing is put in or no head comes of it.
    """
    closed = _closed(worked_plan, hole, set_up)
    return None if closed is None else draw_closed(closed, for_paper=for_paper)


def draw_closed(closed: Closed, *, for_paper: bool) -> str:
    """The picture of whatever stands between the jaws."""
    unit = closed.scale
    heights = _label_heights(closed)
    top = closed.ram - (SHOWN_MM + TOP_MM) * unit
    # Many labels spread beyond the tool itself.
    over = min(0.0, heights[0] - LABEL_STEP_MM * unit - top - TOP_MM * unit)
    foot = closed.jaw + SHOWN_MM * unit
    bottom = max(foot + BOTTOM_MM * unit, heights[-1] + LABEL_STEP_MM * unit / 2)
    box = (
        -closed.reach - LEFT_MM * unit,
        top + over,
        2 * closed.reach + (LEFT_MM + RIGHT_MM) * unit,
        bottom - top - over,
    )
    style = stylesheet(for_paper=for_paper)
    picture = new_picture("die-stack", closed.title, closed.about, box, style)
    picture.set("data-scale", f"{unit:.6g}")
    world = add(picture, "g", class_=f"world {closed.size}")
    _add_tool(world, closed)
    add_sheets(world, closed.sheets, unit)
    _add_bodies(world, closed)
    _add_labels(world, closed, heights, top + over)
    _add_marks(world, closed)
    return written(picture)


def _closed(worked_plan: WorkedPlan, hole: int, set_up: SetUp) -> Closed | None:
    """A rivet's stack at the end of the stroke."""
    pieces, head, gap = set_up.pieces, set_up.head_mm, set_up.gap_mm
    if pieces is None or gap is None or head is None or head.central <= 0:
        return None
    cut = cut_of(worked_plan, hole)
    far = set_up.grip_mm + set_up.stand_off_mm.central
    foot, top = far + head.central, -set_up.seat_mm
    face = face_of(pieces, cut.shank)
    width = set_up.width_mm.central if set_up.width_mm else 2 * cut.shank
    return Closed(
        title=say("dies.title", hole=cut.name, yoke=set_up.yoke.id),
        about=_about(cut, set_up, pieces),
        size=size_class(set_up.diameter_32nds),
        system=cut.system,
        yoke=set_up.yoke,
        pieces=pieces,
        top=top,
        foot=foot,
        face=face,
        sheets=_sheets(cut, half_of(set_up.yoke, face)),
        sheet_words=tuple(_sheet_words(cut, k) for k in range(len(cut.thickness))),
        marks=_marks(cut, set_up, head.central),
        whole=say("dies.gap", gap=_shown(gap, cut.system)),
        bodies=(("rivet", _rivet(cut, set_up, far, width, head.central)),),
        head_words=_head_words(set_up, cut.system),
    )


def face_of(pieces: Pieces, shank_mm: float) -> float:
    """The widest face of the dies."""
    dies = [pieces.ram, *([pieces.fixed] if pieces.fixed else [])]
    faces = [die.face_mm for die in dies if die.face_mm is not None]
    return max(faces, default=UNKNOWN_FACE_D * shank_mm)


def half_of(yoke: Tool, face_mm: float) -> float:
    """Half the width that sheets are drawn: wider than dies and jaw [mm]."""
    return SHEET_REACH * max(face_mm / 2, yoke.half_width_mm or 0.0)


def _sheets(cut: Cut, half_mm: float) -> tuple[SheetProfile, ...]:
    """The sheets, as wide as the dies and a little more."""
    return tuple(
        sheet_profiles(
            cut.thickness,
            [sheet.preparation for sheet in cut.kind.sheets],
            hole_radius_mm=cut.hole / 2,
            head_radius_mm=cut.head_radius,
            width_mm=half_mm,
        )
    )


def _rivet(
    cut: Cut, set_up: SetUp, far: float, width: float, head: float
) -> tuple[Point, ...]:
    """The rivet with its shop head formed."""
    radius = cut.shank / 2
    if set_up.is_flush:
        top = flush_head(cut.head_radius, radius)
    else:
        top = universal_head(cut.head_radius, set_up.seat_mm, radius)
    return (*top, (radius, far), *shop_head(far, width, head))


def _shown(length_mm: float, system: UnitSystem) -> str:
    """A length in the plan's own unit."""
    return show_length(length_mm, system=system, style="decimal")


def _sheet_words(cut: Cut, k: int) -> str:
    """One sheet: part, thickness, preparation."""
    sheet = cut.kind.sheets[k]
    prepared = catalogue().word("preparation", sheet.preparation)
    return f"{sheet.part}  {_shown(cut.thickness[k], cut.system)}  {prepared}"


def _marks(
    cut: Cut, set_up: SetUp, head: float
) -> tuple[tuple[str, float, float], ...]:
    """What the gap is made of, from above: seat, grip, stand-off, head."""
    grip, stand_off = set_up.grip_mm, set_up.stand_off_mm.central
    far = grip + stand_off
    every = (
        ("seat", -set_up.seat_mm, 0.0),
        ("grip", 0.0, grip),
        ("stand_off", grip, far),
        ("head", far, far + head),
    )
    return tuple(
        (say(f"dies.{name}", length=_shown(low - high, cut.system)), high, low)
        for name, high, low in every
        if low > high
    )


def _head_words(set_up: SetUp, system: UnitSystem) -> tuple[str, ...]:
    """The shop head with its range and its limits, beside it."""
    head, band = set_up.head_mm, set_up.band
    assert head is not None
    low, high = _shown(head.low, system), _shown(head.high, system)
    least, most = _shown(band.min_mm, system), _shown(band.most_mm, system)
    return (
        say("dies.head_makes", low=low, high=high),
        say("dies.head_limits", low=least, high=most),
    )


def _about(cut: Cut, set_up: SetUp, pieces: Pieces) -> str:
    """What a person who cannot see the picture is told."""
    inside = "; ".join(words for words, _ in piece_words(pieces, cut.system))
    sheets = "; ".join(_sheet_words(cut, k) for k in range(len(cut.thickness)))
    return say("dies.about", callout=cut.callout, pieces=inside, sheets=sheets)


def die_words(die: Die, system: UnitSystem) -> str:
    """A die: its kind, the rivet it fits, its length."""
    name = say(f"dies.{die.kind}")
    if die.diameter_32nds and die.kind != FLAT:
        size = show_length(die.diameter_32nds * 25.4 / 32, style="fraction")
        name = f"{name} {size}"
    return f"{name}  {_shown(die.length_mm, system)}"


def piece_words(pieces: Pieces, system: UnitSystem) -> list[tuple[str, float]]:
    """The pieces from the ram down, each with its length [mm]."""
    made: list[tuple[str, float]] = []
    if pieces.pin_mm:
        longer = _shown(pieces.pin_mm, system)
        made.append((say("dies.pin", length=longer), pieces.pin_mm))
    made += [
        (say("dies.shim", length=_shown(shim, system)), shim)
        for shim in pieces.shims_mm
    ]
    made.append((die_words(pieces.ram, system), pieces.ram.length_mm))
    if pieces.fixed is not None:
        made.append((die_words(pieces.fixed, system), pieces.fixed.length_mm))
    return made


# --- drawing -----------------------------------------------------------------------


def _add_tool(world: Element, closed: Closed) -> None:
    """Ram, pin, shims, dies and the jaw."""
    unit = closed.scale
    group = add(world, "g", class_="tool", stroke_width=LINE_MM * unit)
    half_jaw = closed.yoke.half_width_mm or closed.face / 2
    shown = SHOWN_MM * unit
    outlines = [ram_end(closed.ram, closed.face / 2, shown)]
    if closed.pieces.pin_mm:
        outlines.append(flat_die(closed.ram, closed.pin_end, closed.face / 2))
    z = closed.pin_end
    for shim in closed.pieces.shims_mm:
        outlines.append(flat_die(z, z + shim, closed.face / 2))
        z += shim
    outlines.append(_ram_die(closed))
    if closed.pieces.fixed is not None:
        outlines.append(_fixed_die(closed))
    outlines.append(jaw(closed.jaw, half_jaw, shown))
    for outline in outlines:
        is_bored = outline[0][0] > 0
        for half in both_halves(outline) if is_bored else [around(outline)]:
            path = path_through(half, closed=True)
            add(group, "path", d=path, class_="metal", fill_opacity=0.35)


def _ram_die(closed: Closed) -> tuple[Point, ...]:
    """Half section of the die on the ram."""
    die, half = closed.pieces.ram, (closed.pieces.ram.face_mm or closed.face) / 2
    shapes = dict(closed.bodies)
    if die.kind == "cup":
        head = tuple(p for p in shapes["rivet"] if p[1] <= 0)
        return cup_die(closed.ram_shoulder, head, half)
    return shapes.get(die.kind) or flat_die(closed.ram_shoulder, closed.top, half)


def _fixed_die(closed: Closed) -> tuple[Point, ...]:
    """Half section of the die in the fixed jaw."""
    die = closed.pieces.fixed
    assert die is not None
    half = (die.face_mm or closed.face) / 2
    shapes = dict(closed.bodies)
    return shapes.get(die.kind) or flat_die(closed.foot, closed.jaw, half)


def _add_bodies(world: Element, closed: Closed) -> None:
    """The rivet, where there is one."""
    group = add(world, "g", class_="rivets", stroke_width=LINE_MM * closed.scale)
    for name, outline in closed.bodies:
        if name == "rivet":
            path = path_through(around(outline), closed=True)
            add(group, "path", d=path, class_="rivet", fill_opacity=0.5)


def _label_heights(closed: Closed) -> list[float]:
    """Where the words at the right stand, from above."""
    middles = [z for _, _, z in _named(closed)]
    return spread_out(middles, LABEL_STEP_MM * closed.scale)


def _add_labels(
    world: Element, closed: Closed, heights: list[float], top: float
) -> None:
    """What each piece is, right of it, and what the picture is, over it."""
    unit = closed.scale
    group = add(world, "g", class_="labels")
    named = _named(closed)
    bend = closed.reach + 4 * unit
    for (words, x, z), y in zip(named, heights, strict=True):
        path = path_through([(x, z), (bend, y), (bend + unit, y)])
        add(group, "path", d=path, class_="leader", stroke_width=THIN_MM * unit)
        _write(group, words, bend + 1.6 * unit, y, closed, "start")
    left = -closed.reach - (LEFT_MM - 1) * unit
    y = top + 4.6 * unit
    _write(group, closed.title, left, y, closed, "start", "strong")


def _named(closed: Closed) -> list[tuple[str, float, float]]:
    """Words, where their leader begins, from the ram down."""
    half = closed.face / 2
    named: list[tuple[str, float, float]] = []
    z, pieces = closed.ram, closed.pieces
    fixed = 1 if pieces.fixed is not None else 0
    worded = piece_words(pieces, closed.system)
    on_ram = worded[: len(worded) - fixed]
    for words, length in on_ram:
        named.append((words, half, z + length / 2))
        z += length
    for words, one in zip(closed.sheet_words, closed.sheets, strict=True):
        named.append((words, closed.reach, (one.top_mm + one.bottom_mm) / 2))
    if closed.head_words:
        tall = closed.marks[-1]
        middle = (tall[1] + tall[2]) / 2
        widest = max(x for x, z in dict(closed.bodies)["rivet"] if z >= tall[1])
        named += [(words, widest, middle) for words in closed.head_words]
    if fixed:
        named.append((worded[-1][0], half, (closed.foot + closed.jaw) / 2))
    words = say("dies.jaw", yoke=closed.yoke.id)
    half_jaw = closed.yoke.half_width_mm or half
    named.append((words, half_jaw, closed.jaw + 2.5 * closed.scale))
    return named


def _add_marks(world: Element, closed: Closed) -> None:
    """The dimensions at the left: the stretches of the gap, and the gap itself."""
    unit = closed.scale
    group = add(world, "g", class_="sizes", stroke_width=THIN_MM * unit)
    inner, outer = -closed.reach - 2.5 * unit, -closed.reach - OUTER_MM * unit
    for z in (closed.top, closed.foot):
        end = outer if closed.whole else inner
        path = path_through([(-closed.face / 2, z), (end - unit, z)])
        add(group, "path", d=path, class_="sign hidden")
    middles = []
    for _, high, low in closed.marks:
        add_arrow(group, [(inner, high), (inner, low)], unit)
        middles.append((high + low) / 2)
    heights = spread_out(middles, LABEL_STEP_MM * unit)
    for (words, _, _), y in zip(closed.marks, heights, strict=True):
        _write(group, words, inner - 1.5 * unit, y, closed, "end")
    if closed.whole:
        add_arrow(group, [(outer, closed.top), (outer, closed.foot)], unit)
        y = min(closed.top - 2.6 * unit, heights[0] - LABEL_STEP_MM * unit)
        _write(group, closed.whole, outer, y, closed, "middle", "strong small")


def _write(
    group: Element,
    words: str,
    x: float,
    y: float,
    closed: Closed,
    anchor: str,
    class_: str = "",
) -> None:
    """Write words at a height, smaller where they are long."""
    is_title = class_ == "strong"
    height = (TITLE_MM if is_title else WORDS_MM) * closed.scale
    whole = LEFT_MM + RIGHT_MM + 2 * closed.reach / closed.scale - 2
    rooms: dict[str, float] = {
        "start": RIGHT_MM - 6,
        "end": OUTER_MM - 5.0,
        "middle": 24.0,
    }
    room = (whole if is_title else rooms[anchor]) * closed.scale
    height = min(height, height * room / max(width_of(words, height), 1e-9))
    add(
        group,
        "text",
        words,
        x=x,
        y=y,
        dy=0.35 * height,
        font_size=height,
        text_anchor=anchor,
        stroke_width=HALO_MM * closed.scale,
        class_="halo strong" if class_ else "halo",
    )

"""A stack cut through at one hole, to scale: sheets, rivet and expected shop head."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property

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
    spread_out,
)
from rivetwright.drawing.signs import diameter_32nds
from rivetwright.drawing.svg import Element, add, new_picture, path_through, written
from rivetwright.drawing.words import say
from rivetwright.engines.plan import WorkedPlan
from rivetwright.engines.stacks import StackClass
from rivetwright.model.pattern import Point
from rivetwright.standards.codes import RivetCode
from rivetwright.texts.catalogue import catalogue
from rivetwright.units.wording import UnitSystem, show_length

# Millimetres as drawn.
SIDE_DRAWN_MM = 62.0
WORDS_MM = 3.0
TITLE_MM = 3.8
LABEL_STEP_MM = 4.2
LEFT_MM, RIGHT_MM, TOP_MM, BOTTOM_MM = 27.0, 44.0, 9.0, 12.0
# Where the tables give no head, one of this size is drawn dashed, in diameters.
UNKNOWN_HEAD_D, UNKNOWN_HEIGHT_D = 2.0, 0.4
BULB_WIDTH_D, BULB_HEIGHT_D = 1.5, 0.7
SHEET_REACH = 1.9


@dataclass(frozen=True)
class Cut:
    """Everything that the section of one hole shows; lengths in mm, NaN: not known."""

    name: str
    callout: str
    side_drawn_mm: float
    kind: StackClass
    system: UnitSystem
    thickness: tuple[float, ...]
    shank: float
    hole: float
    head_width: float
    head_height: float
    length: float
    stand_off: float
    shop_width: float
    shop_width_low: float
    shop_width_high: float
    shop_height: float

    @property
    def grip(self) -> float:
        """All sheets together [mm]."""
        return sum(self.thickness)

    @property
    def is_head_known(self) -> bool:
        """Whether the tables give the manufactured head."""
        return not (math.isnan(self.head_width) or math.isnan(self.head_height))

    @property
    def head_radius(self) -> float:
        """Radius of the manufactured head [mm]."""
        if math.isnan(self.head_width):
            return UNKNOWN_HEAD_D * self.shank / 2
        return self.head_width / 2

    @property
    def above(self) -> float:
        """How far the manufactured head stands over the stack [mm]."""
        if self.kind.callout.is_flush:
            return 0.0
        if math.isnan(self.head_height):
            return UNKNOWN_HEIGHT_D * self.shank
        return self.head_height

    @property
    def below(self) -> float:
        """How far the shank or shop head reaches past the stack [mm]."""
        made = self.far + _known(self.shop_height) - self.grip
        loose = _known(self.length - self.grip)
        bulb = 0.0 if self.is_solid else self.far + BULB_HEIGHT_D * self.shank
        return max(made, loose, bulb - self.grip, self.shank / 2)

    @property
    def is_solid(self) -> bool:
        """Whether a shop head is made on it; a blind rivet makes its own."""
        return isinstance(self.kind.callout, RivetCode)

    @property
    def far(self) -> float:
        """Where the stack ends and the formed head begins [mm]."""
        if self.is_solid:
            return self.grip + self.stand_off
        return max(
            [self.grip, *(z for one in self.profiles for _, z in one.outline_mm)]
        )

    @cached_property
    def profiles(self) -> list[SheetProfile]:
        """The half sections of the sheets."""
        return sheet_profiles(
            self.thickness,
            [sheet.preparation for sheet in self.kind.sheets],
            hole_radius_mm=self.hole / 2,
            head_radius_mm=self.head_radius,
            width_mm=self.reach,
        )

    @property
    def reach(self) -> float:
        """Half the width that is drawn [mm]."""
        shop = _known(self.shop_width_high) / 2
        return SHEET_REACH * max(self.head_radius, shop)

    @property
    def scale(self) -> float:
        """Millimetres on the part for one as drawn."""
        return (
            max(2 * self.reach, self.above + self.grip + self.below)
            / self.side_drawn_mm
        )


def stack_section_svg(
    worked_plan: WorkedPlan,
    hole: int,
    *,
    for_paper: bool = False,
    side_drawn_mm: float = SIDE_DRAWN_MM,
) -> str:
    """The stack of one hole, cut through the rivet's axis, as one picture.

    The section itself is drawn `side_drawn_mm` large beside letters of 3 mm.
    """
    cut = cut_of(worked_plan, hole, side_drawn_mm)
    unit = cut.scale
    box = (
        -cut.reach - LEFT_MM * unit,
        -cut.above - TOP_MM * unit,
        2 * cut.reach + (LEFT_MM + RIGHT_MM) * unit,
        cut.above + cut.grip + cut.below + (TOP_MM + BOTTOM_MM) * unit,
    )
    picture = new_picture(
        "stack-section",
        say("section.title", hole=cut.name),
        _description(cut),
        box,
        stylesheet(for_paper=for_paper),
    )
    picture.set("data-hole", cut.name)
    picture.set("data-scale", f"{unit:.6g}")
    size = size_class(diameter_32nds(cut.kind.callout))
    world = add(picture, "g", class_=f"world {size}")
    add_sheets(world, cut.profiles, unit)
    _add_rivet(world, cut)
    _add_sheet_names(world, cut)
    _add_sizes(world, cut)
    return written(picture)


def cut_of(
    worked_plan: WorkedPlan, hole: int, side_drawn_mm: float = SIDE_DRAWN_MM
) -> Cut:
    """What the columns say of one hole."""
    worked = worked_plan.worked
    kind = worked.stacks.classes[worked.stacks.class_of[hole]]
    system: UnitSystem = "mm" if worked.plan.unit == "mm" else "in"
    thick = {part.name: part.thickness_mm for part in worked.plan.parts}

    def at(name: str) -> float:
        return float(worked.at(name, hole))

    shank = at("shank_diameter_mm")
    shank = at("hole_diameter_mm") if math.isnan(shank) else shank
    drilled = at("hole_diameter_mm")
    return Cut(
        name=worked.holes.name(hole),
        callout=str(kind.callout),
        side_drawn_mm=side_drawn_mm,
        kind=kind,
        system=system,
        thickness=tuple(thick[sheet.part] for sheet in kind.sheets),
        shank=shank,
        hole=shank if math.isnan(drilled) else max(drilled, shank),
        head_width=at("head_diameter_mm"),
        head_height=at("head_height_mm"),
        length=at("length_mm"),
        stand_off=_known(at("stand_off_mm")),
        shop_width=at("head_width_mm"),
        shop_width_low=at("head_width_low_mm"),
        shop_width_high=at("head_width_high_mm"),
        shop_height=at("head_height_aim_mm"),
    )


def _known(length: float) -> float:
    """A length, nought where it is not known."""
    return 0.0 if math.isnan(length) else length


def _description(cut: Cut) -> str:
    """What a person who cannot see the picture is told."""
    sheets = "; ".join(_sheet_words(cut, k) for k in range(len(cut.thickness)))
    sheets = sheets or say("section.no_sheets")
    return say("section.about", callout=cut.callout, sheets=sheets)


def _sheet_words(cut: Cut, k: int) -> str:
    """One sheet: part, thickness, preparation."""
    sheet = cut.kind.sheets[k]
    prepared = catalogue().word("preparation", sheet.preparation)
    return f"{sheet.part}  {_shown(cut, cut.thickness[k])}  {prepared}"


def _shown(cut: Cut, length_mm: float) -> str:
    """A length in the plan's own unit."""
    return show_length(length_mm, system=cut.system, style="decimal")


def _add_rivet(world: Element, cut: Cut) -> None:
    """Manufactured head, shank and the shop head that is to be expected."""
    unit, radius = cut.scale, cut.shank / 2
    group = add(world, "g", class_="rivets", stroke_width=LINE_MM * unit)
    if cut.kind.callout.is_flush:
        head = flush_head(cut.head_radius, radius)
    else:
        head = universal_head(cut.head_radius, cut.above, radius)
    dashes = f"{1.6 * unit:.3g} {0.9 * unit:.3g}"
    body = (*head, (radius, cut.far), *_tail(cut))
    add(
        group,
        "path",
        d=path_through(around(body), closed=True),
        class_="rivet",
        fill_opacity=0.5,
        stroke_dasharray=None if cut.is_head_known and cut.is_solid else dashes,
    )
    if not math.isnan(cut.length):
        loose = ((radius, cut.far), (radius, cut.length), (0.0, cut.length))
        add(
            group,
            "path",
            d=path_through(around(loose)),
            class_="sign hidden",
            stroke_width=THIN_MM * unit,
            stroke_dasharray=dashes,
        )
    ends = ((0.0, -cut.above - 2 * unit), (0.0, cut.grip + cut.below + 2 * unit))
    add(
        group,
        "path",
        d=path_through(ends),
        class_="sign hidden",
        stroke_width=THIN_MM * unit,
        stroke_dasharray=f"{4 * unit:.3g} {unit:.3g} {0.8 * unit:.3g} {unit:.3g}",
    )


def _tail(cut: Cut) -> Sequence[Point]:
    """The formed head; for a blind rivet a bulb that only shows where it forms."""
    if not cut.is_solid:
        wide, high = BULB_WIDTH_D * cut.shank, BULB_HEIGHT_D * cut.shank
        return shop_head(cut.far, wide, high)
    if math.isnan(cut.shop_width + cut.shop_height):
        return (cut.shank / 2, cut.far), (0.0, cut.far)
    return shop_head(cut.far, cut.shop_width, cut.shop_height)


def _add_sheet_names(world: Element, cut: Cut) -> None:
    """Each sheet's part, thickness and preparation, right of it."""
    unit = cut.scale
    step = LABEL_STEP_MM * unit
    middles = [(one.top_mm + one.bottom_mm) / 2 for one in cut.profiles]
    group = add(world, "g", class_="labels")
    for k, y in enumerate(spread_out(middles, step)):
        start = cut.reach + 0.6 * unit
        bend = cut.reach + 4 * unit
        path = path_through([(start, middles[k]), (bend, y), (bend + unit, y)])
        add(group, "path", d=path, class_="leader", stroke_width=THIN_MM * unit)
        _write(group, _sheet_words(cut, k), bend + 1.6 * unit, y, cut, "start")
    title = f"{cut.name}  {cut.callout}"
    _write(
        group,
        title,
        -cut.reach - (LEFT_MM - 1) * unit,
        -cut.above - (TOP_MM - 4.2) * unit,
        cut,
        "start",
        "strong",
    )


def _add_sizes(world: Element, cut: Cut) -> None:
    """Grip, shop-head height and width with their arrows."""
    unit = cut.scale
    group = add(world, "g", class_="sizes", stroke_width=THIN_MM * unit)
    x = -cut.reach - 2.5 * unit
    words = [say("section.grip", length=_shown(cut, cut.grip))]
    places = [cut.grip / 2]
    add_arrow(group, [(x, 0.0), (x, cut.grip)], unit)
    if not math.isnan(cut.shop_height + cut.shop_width):
        end = cut.far + cut.shop_height
        add_arrow(group, [(x, cut.far), (x, end)], unit)
        words.append(say("section.height", length=_shown(cut, cut.shop_height)))
        places.append((cut.far + end) / 2)
        _add_width(group, cut, end)
    elif not cut.is_solid:
        _write(group, say("section.blind"), 0.0, _foot(cut), cut, "middle")
    else:
        _write(group, say("section.unknown"), 0.0, _foot(cut), cut, "middle")
    for text, y in zip(words, spread_out(places, LABEL_STEP_MM * unit), strict=True):
        _write(group, text, x - 1.5 * unit, y, cut, "end")


def _foot(cut: Cut) -> float:
    """Height of the line of words under the section."""
    return cut.grip + cut.below + 8.5 * cut.scale


def _add_width(group: Element, cut: Cut, end: float) -> None:
    """The expected width of the shop head, with its spread, under it."""
    unit, half = cut.scale, cut.shop_width / 2
    y = cut.grip + cut.below + 4 * unit
    for x in (-half, half):
        path = path_through([(x, end), (x, y + unit)])
        add(group, "path", d=path, class_="sign hidden")
    add_arrow(group, [(-half, y), (half, y)], unit)
    low, high = _shown(cut, cut.shop_width_low), _shown(cut, cut.shop_width_high)
    length = _shown(cut, cut.shop_width)
    words = say("section.width", length=length, low=low, high=high)
    _write(group, words, 0.0, _foot(cut), cut, "middle")


def _write(
    group: Element,
    words: str,
    x: float,
    y: float,
    cut: Cut,
    anchor: str,
    class_: str = "",
) -> None:
    """Write words at a height, beginning, centred or ending at x."""
    height = (TITLE_MM if class_ else WORDS_MM) * cut.scale
    whole = LEFT_MM + RIGHT_MM + 2 * cut.reach / cut.scale - 2
    room = {"start": RIGHT_MM - 6, "end": LEFT_MM - 4}.get(anchor, whole)
    room = whole if class_ else room
    # Long names are written smaller, so that nothing is cut off.
    height = min(height, height * room * cut.scale / max(width_of(words, height), 1e-9))
    add(
        group,
        "text",
        words,
        x=x,
        y=y,
        dy=0.35 * height,
        font_size=height,
        text_anchor=anchor,
        stroke="none",
        class_=class_ or None,
    )


def section_hole(worked_plan: WorkedPlan, holes: Iterable[int]) -> int | None:
    """The first of some holes that has a stack to show; None where none has."""
    worked = worked_plan.worked
    for hole in holes:
        if worked.stacks.classes[worked.stacks.class_of[hole]].sheets:
            return hole
    return None

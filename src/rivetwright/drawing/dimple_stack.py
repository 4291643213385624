"""One sheet between the dimple dies at the end of the stroke, to scale."""

from __future__ import annotations

from rivetwright.drawing.die_profiles import female_die, male_die
from rivetwright.drawing.die_stack import (
    Closed,
    draw_closed,
    face_of,
    half_of,
    piece_words,
)
from rivetwright.drawing.ink import size_class
from rivetwright.drawing.profiles import cone_depth_mm, sheet_profiles
from rivetwright.drawing.stack_section import Cut, cut_of
from rivetwright.drawing.words import say
from rivetwright.engines.plan import WorkedPlan
from rivetwright.engines.squeeze.dimpling import DimpleSetUp
from rivetwright.model.pattern import Point
from rivetwright.model.plan import DIMPLE
from rivetwright.model.shop import Die
from rivetwright.units.wording import show_length

# How far the male die's pilot stands out of the dimple, in radii of the hole.
PILOT_OUT = 0.6


def dimple_stack_svg(
    worked_plan: WorkedPlan,
    hole: int,
    part: str,
    set_up: DimpleSetUp,
    *,
    for_paper: bool = False,
) -> str | None:
    """A sheet between the dimple dies, pressed; None where nothing is put in."""
    pieces = set_up.pieces
    if pieces is None or pieces.fixed is None:
        return None
    cut = cut_of(worked_plan, hole)
    sheet, face = set_up.sheet_mm, face_of(pieces, cut.shank)
    shown = show_length(sheet, system=cut.system, style="decimal")
    words = f"{part}  {shown}"
    named = "; ".join(name for name, _ in piece_words(pieces, cut.system))
    profiles = sheet_profiles(
        [sheet],
        [DIMPLE],
        hole_radius_mm=cut.hole / 2,
        head_radius_mm=cut.head_radius,
        width_mm=half_of(set_up.yoke, face),
    )
    closed = Closed(
        title=say("dies.title_dimple", sheet=words, yoke=set_up.yoke.id),
        about=say("dies.about_dimple", sheet=words, pieces=named),
        size=size_class(set_up.diameter_32nds),
        system=cut.system,
        yoke=set_up.yoke,
        pieces=pieces,
        top=0.0,
        foot=sheet,
        face=face,
        sheets=tuple(profiles),
        sheet_words=(words,),
        marks=((say("dies.sheet", length=shown), 0.0, sheet),),
        whole="",
        bodies=_dies(cut, sheet, pieces.ram, pieces.fixed, face / 2),
    )
    return draw_closed(closed, for_paper=for_paper)


def _dies(
    cut: Cut, sheet_mm: float, male: Die, female: Die, half_mm: float
) -> tuple[tuple[str, tuple[Point, ...]], ...]:
    """The half sections of the two dies."""
    radius, cone = cut.hole / 2, cut.head_radius
    pilot_end = cone_depth_mm(cone, radius) + sheet_mm + PILOT_OUT * radius
    bottom = sheet_mm + female.length_mm
    return (
        ("male", male_die(-male.length_mm, cone, radius, pilot_end, half_mm)),
        ("female", female_die(sheet_mm, bottom, cone, radius, half_mm)),
    )

"""A plan back to the text of its file; reading it again gives the same plan."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from rivetwright.intake.build_faces import side_names
from rivetwright.intake.build_rows import ALL_OTHERS, row_id
from rivetwright.intake.build_steps import NAMED, NAMELESS, STEP
from rivetwright.intake.forms import OTHERS, PLAN_FORMAT, RulesForm
from rivetwright.intake.lay_out import (
    Block,
    BlockList,
    diameter,
    exact_length,
    length,
    lines,
    number,
    quantity,
)
from rivetwright.intake.shop_costs import cost_fields
from rivetwright.intake.write_opening import opening_block
from rivetwright.model.outline import AWAY, BEND, CutOut, Face, Layer, Leg, Outline
from rivetwright.model.pattern import (
    Arc,
    Between,
    Pattern,
    Pitched,
    Point,
    Points,
    Polyline,
    Straight,
)
from rivetwright.model.plan import (
    DIMENSIONED,
    NEAR,
    PLAIN,
    Access,
    OpenHoles,
    Part,
    Plan,
    Row,
    RuleSets,
    Sealant,
    Sheet,
)
from rivetwright.model.step import Step
from rivetwright.standards.blind import KitBlindCode
from rivetwright.units.duration import SECONDS
from rivetwright.units.length import LengthUnit

_TIMES = {name: SECONDS[name] for name in ("min", "h", "s")}
NEED_KINDS = (*NAMED, *NAMELESS)


def write_plan(plan: Plan) -> str:
    """Write a plan as the text of its file.

    Args:
        plan: the plan.

    Returns:
        YAML 1.2; comments of the file it was read from are not kept.
    """
    return as_text(plan_fields(plan))


def plan_fields(plan: Plan) -> Block:
    """The fields of a plan as its file has them, every value as text.

    Args:
        plan: the plan.
    """
    unit = unit_of(plan.unit)
    fields = Block(
        format=PLAN_FORMAT,
        project={"id": plan.project.id, "name": plan.project.name}
        | told(note=plan.project.note),
        assembly={"id": plan.id, "name": plan.name},
        unit=plan.unit,
    )
    fields |= told(
        drawing=plan.drawing,
        revision=str(plan.revision),
        based_on=plan.based_on and str(plan.based_on),
        issued=plan.issued and plan.issued.isoformat(),
        note=plan.note,
        rules=_rules(plan.rule_sets, unit),
    )
    ids = (plan.project.id, plan.id)
    fields |= told(
        blind_codes=Block({code.code: _blind(code, unit) for code in plan.blind_codes}),
        parts=Block({part.name: part_fields(part, unit) for part in plan.parts}),
        faces=Block({face.name: _face(face, unit) for face in plan.faces}),
        steps=Block({step.name: step_fields(step) for step in plan.steps}),
        rows=Block({row.name: row_fields(row, ids, unit) for row in plan.rows}),
        access=access_list(plan.rows, unit),
        open_holes=Block({one.id: _open_holes(one) for one in plan.open_holes}),
        opening=opening_block(plan.opening, unit),
    )
    return fields


def as_text(fields: Block) -> str:
    """The lines of a file, an empty one before each block."""
    written = []
    for key, value in fields.items():
        if isinstance(value, Block | BlockList):
            written.append("")
        written.extend(lines(Block({key: value})))
    return "\n".join(written) + "\n"


EMPTY: tuple[Any, ...] = ("", None, (), [], {}, 0, False)


def told(**fields: Any) -> dict[str, Any]:
    """Leave out what is empty."""
    return {name: value for name, value in fields.items() if value not in EMPTY}


def unit_of(unit: str) -> LengthUnit:
    """The unit as a length's unit."""
    return "mm" if unit == "mm" else "in"


def _size(length_mm: float | None, unit: LengthUnit) -> str:
    """A length, or nothing."""
    return "" if length_mm is None else length(length_mm, unit)


def _point(place_mm: Point, unit: LengthUnit) -> list[str]:
    """A place on a face."""
    return [length(place_mm[0], unit), length(place_mm[1], unit)]


def _points(places_mm: Iterable[Point], unit: LengthUnit) -> list[list[str]]:
    """Several places."""
    return [_point(place_mm, unit) for place_mm in places_mm]


def _rules(rules: RuleSets, unit: LengthUnit) -> dict[str, Any]:
    """The chosen rule sets, as far as they are not the usual ones."""
    usual = RulesForm()
    names = ("head_limits", "length_rounding", "drills", "countersink")
    chosen = {name: getattr(rules, name) for name in names}
    changed = {k: v for k, v in chosen.items() if v != getattr(usual, k)}
    whole = [diameter(size_32nds) for size_32nds in rules.whole_lengths_32nds]
    shanks = {
        kind: exact_length(shank_mm, unit)
        for kind, shank_mm in rules.oversize_shanks_mm
    }
    held = cost_fields(rules.held_mm, unit)
    return changed | told(whole_lengths=whole, oversize_shanks=shanks, holders=held)


def _blind(code: KitBlindCode, unit: LengthUnit) -> dict[str, Any]:
    """A blind code of the kit's own."""
    height_mm = code.head_height_mm
    return {
        "head": code.head,
        "diameter": exact_length(code.diameter_mm, unit),
        "grip": [
            exact_length(code.grip_least_mm, unit),
            exact_length(code.grip_most_mm, unit),
        ],
    } | told(head_height=height_mm and exact_length(height_mm, unit))


def part_fields(part: Part, unit: LengthUnit) -> dict[str, Any]:
    """A part."""
    return told(
        title=part.title,
        material=part.material,
        thickness=length(part.thickness_mm, unit),
        bend_radius=_size(part.bend_radius_mm, unit),
        quantity="" if part.quantity == 1 else str(part.quantity),
        size=part.size,
        flanges=part.flanges,
        standard="yes" if part.is_standard else "",
    )


def _face(face: Face, unit: LengthUnit) -> Block:
    """A face with its layers."""
    return Block(
        told(
            title=face.title,
            axis_u=face.axis_u,
            axis_v=face.axis_v,
            side_seen=face.side_seen,
            edges=dict(face.edges),
            taper=_points(face.taper_mm, unit),
            opposite=face.opposite,
            layers=BlockList(layer_fields(layer, unit) for layer in face.layers),
        )
    )


def layer_fields(layer: Layer, unit: LengthUnit) -> dict[str, Any]:
    """A layer."""
    cut_outs = [_cut_out(cut_out, unit) for cut_out in layer.cut_outs]
    fields = {"part": layer.part} | _outline(layer.outline, unit)
    legs = [_leg(leg, layer.outline, unit) for leg in layer.legs]
    fields |= told(legs=legs, cut_outs=cut_outs)
    return fields | told(**{"from": layer.from_step, "for": layer.for_open})


def _leg(leg: Leg, outline: Outline, unit: LengthUnit) -> dict[str, Any]:
    """A leg; which way it stands only where it is not the usual."""
    fields = {"side": side_names(outline)[leg.side]}
    fields["height"] = length(leg.height_mm, unit)
    return fields | told(stands="" if leg.stands == AWAY else leg.stands)


def _outline(outline: Outline, unit: LengthUnit) -> dict[str, Any]:
    """An outline in the form it was written in."""
    if outline.written == "rectangle":
        (u0, v0), (u1, v1) = outline.corners_mm[0], outline.corners_mm[2]
        sides = zip(side_names(outline), outline.sides, strict=True)
        bends = sorted(name for name, kind in sides if kind == BEND)
        fields: dict[str, Any] = {"u": _point((u0, u1), unit)}
        fields["v"] = _point((v0, v1), unit)
        return fields | told(bends=bends)
    sides = zip(side_names(outline), outline.sides, strict=True)
    bends = [name for name, kind in sides if kind == BEND]
    return {"corners": _points(outline.corners_mm, unit)} | told(bends=bends)


def _cut_out(cut_out: CutOut, unit: LengthUnit) -> dict[str, Any]:
    """A cut-out."""
    return told(
        centre=cut_out.centre_mm and _point(cut_out.centre_mm, unit),
        radius=_size(cut_out.radius_mm, unit),
        corners=_points(cut_out.corners_mm, unit),
        note=cut_out.note,
    )


def _pattern(pattern: Pattern, unit: LengthUnit) -> dict[str, Any]:
    """The places of a row, in the way they were written."""
    match pattern:
        case Straight(first_mm, step_mm, 1) if step_mm == (0.0, 0.0):
            return {"at": _point(first_mm, unit), "count": "1"}
        case Straight(first_mm, step_mm, count):
            first = {"at": _point(first_mm, unit), "by": _point(step_mm, unit)}
            return first | {"count": str(count)}
        case Between(first_mm, last_mm, count):
            ends = {"start": _point(first_mm, unit), "end": _point(last_mm, unit)}
            return ends | {"count": str(count)}
        case Pitched(first_mm, last_mm, pitch_mm):
            ends = {"start": _point(first_mm, unit), "end": _point(last_mm, unit)}
            return ends | {"pitch": length(pitch_mm, unit)}
        case Arc(centre_mm, radius_mm, from_deg, to_deg, count):
            arc = {"centre": _point(centre_mm, unit), "radius": length(radius_mm, unit)}
            arc |= {"start": number(from_deg), "end": number(to_deg)}
            return {"arc": arc, "count": str(count)}
        case Polyline(corners_mm, count):
            return {"along": _points(corners_mm, unit), "count": str(count)}
        case Points(points_mm):
            return {"points": _points(points_mm, unit)}
    return {"count": str(pattern.count)}


def _places(row: Row, unit: LengthUnit) -> str:
    """How places are known; empty for the usual."""
    if row.place_tolerance_mm:
        return f"{row.places} ±{length(row.place_tolerance_mm, unit)}"
    return "" if row.places == DIMENSIONED else row.places


def _stack(sheets: Iterable[Sheet]) -> list[str]:
    """A stack as written."""
    return [
        one.part if one.preparation == PLAIN else f"{one.part} {one.preparation}"
        for one in sheets
    ]


def row_fields(row: Row, ids: tuple[str, str], unit: LengthUnit) -> dict[str, Any]:
    """A row; its permanent id only where it does not follow from its oldest name."""
    oldest = (row.was or (row.name,))[0]
    fields = told(id="" if row.id == row_id(*ids, oldest) else row.id, face=row.face)
    fields |= _pattern(row.pattern, unit)
    extra = [
        {"number": str(hole.number)}
        | told(at=hole.place_mm and _point(hole.place_mm, unit))
        for hole in row.extra
    ]
    preparation = {
        OTHERS if part == ALL_OTHERS else part: how for part, how in row.preparation
    }
    return fields | told(
        skip=[str(number) for number in row.skip],
        extra=extra,
        places=_places(row, unit),
        stack=_stack(row.stack),
        preparation=preparation,
        callout=str(row.callout),
        head="" if row.head_side == NEAR else row.head_side,
        step=row.step,
        drill=_size(row.drill_mm, unit),
        sealant=_sealant(row.sealant, unit),
        was=list(row.was),
        changed_by=row.changed_by,
        note=row.note,
    )


def _sealant(sealant: Sealant | None, unit: LengthUnit) -> dict[str, Any]:
    """Sealant of a row, or nothing."""
    if sealant is None:
        return {}
    return told(
        work_time=quantity(sealant.work_s, _TIMES),
        thickness=_size(sealant.thickness_mm or None, unit),
    )


def access_list(rows: Iterable[Row], unit: LengthUnit) -> BlockList:
    """What stands round the rows; rows with the same share one entry."""
    groups: dict[Access, list[str]] = {}
    for row in rows:
        if row.access is not None:
            groups.setdefault(row.access, []).append(row.name)
    return BlockList(
        {"rows": names} | _access(access, unit) for access, names in groups.items()
    )


def _access(access: Access, unit: LengthUnit) -> dict[str, Any]:
    """What stands round some rows."""
    entry: Any = _size(access.entry_mm, unit)
    if access.entry_by_hole_mm:
        entry = [length(one_mm, unit) for one_mm in access.entry_by_hole_mm]
    gap = _size(access.gap_behind_mm, unit) or access.gap_behind
    return told(
        entry=entry,
        throat_flange=access.throat_flange_mm and length(access.throat_flange_mm, unit),
        gap_behind="" if gap == "open" else gap,
        wall_shop=_size(access.wall_shop_mm, unit),
        wall_head=_size(access.wall_head_mm, unit),
        both_sides="" if access.both_sides else "no",
        tools=list(access.tools),
    )


def step_fields(step: Step) -> dict[str, Any]:
    """A step."""
    minutes = "" if step.kit_minutes is None else number(step.kit_minutes)
    return told(
        title=step.title,
        needs=[_need(need.kind, need.name, need.note) for need in step.needs],
        closes=list(step.closes),
        text=step.text,
        text_sets=list(step.text_sets),
        drawing_note=step.drawing_note,
        kit_minutes=minutes,
        inspection="yes" if step.is_inspection else "",
    )


def _need(kind: str, name: str, note: str) -> str:
    """A need as a person writes it; a step's name stands alone."""
    if kind == STEP and name not in NEED_KINDS:
        kind = ""
    words = " ".join(word for word in (kind, name) if word)
    return f"{words} ({note})" if note else words


def _open_holes(opened: OpenHoles) -> dict[str, Any]:
    """Holes left open."""
    holes = [str(one) for one in opened.holes]
    return {"holes": holes, "reason": opened.reason} | told(
        step=opened.step,
        part=opened.part,
        stack=_stack(opened.stack),
        callout="" if opened.callout is None else str(opened.callout),
    )

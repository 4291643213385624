"""Rows of holes out of the fields of a file: pattern, stack, callout, access."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace
from uuid import UUID, uuid5

from rivetwright.errors import Refusal, nearest_hint
from rivetwright.intake.faults import Path
from rivetwright.intake.fields import HOLES_MOST_ROW
from rivetwright.intake.forms import OTHERS, AccessForm, RowForm, SealantForm
from rivetwright.intake.known import Known, Numbers
from rivetwright.model.outline import Face
from rivetwright.model.pattern import (
    Arc,
    Between,
    Counted,
    Pattern,
    Pitched,
    Points,
    Polyline,
    Straight,
)
from rivetwright.model.plan import (
    PLACE_KINDS,
    Access,
    ExtraHole,
    Row,
    Sealant,
)
from rivetwright.units.length import LengthUnit, parse_coordinate_mm

ALL_OTHERS = "*"
WAYS = {
    "at": "at, by, count",
    "start": "start, end, count or pitch",
    "arc": "arc, count",
    "along": "along, count",
    "points": "points",
}
_BELONGS = {
    "at": {"by", "count"},
    "start": {"end", "count", "pitch"},
    "arc": {"count"},
    "along": {"count"},
    "points": set[str](),
    "": {"count"},
}
_PLACES = re.compile(r"(?P<kind>\w+)(?:\s*(?:±|\+-|\+/-)\s*(?P<tolerance>.+))?")


def row_id(project: str, assembly: str, oldest: str) -> str:
    """The permanent id of a row that carries none of its own.

    It follows from the project, the assembly and the oldest name of the row, so it
    stays when the row is renamed with `was:`.
    """
    return str(uuid5(UUID(project), f"{assembly}/{oldest}"))


def build_row(
    name: str,
    form: RowForm,
    known: Known,
    *,
    ids: tuple[str, str],
    unit: LengthUnit,
    path: Path = (),
) -> Row | None:
    """Build a row; None where it was refused.

    Args:
        name: the row's name.
        form: its fields.
        known: names of the file.
        ids: permanent ids of project and assembly.
        unit: unit of bare numbers.
        path: where the row stands.
    """
    path = path or ("rows", name)
    before = len(known.faults)
    pattern = _pattern(form, path, known)
    callout = known.callout(form.callout, (*path, "callout"))
    stack = known.stack(form.stack, (*path, "stack"))
    kind, tolerance_mm = _places(form.places, (*path, "places"), unit, known)
    _check_names(form, path, known)
    if len(known.faults) > before or pattern is None or callout is None:
        return None
    row = Row(
        id=form.id or row_id(*ids, (form.was or (name,))[0]),
        name=name,
        callout=callout,
        pattern=pattern,
        step=form.step,
        face=form.face,
        stack=stack,
        preparation=tuple(
            (ALL_OTHERS if part == OTHERS else part, preparation)
            for part, preparation in form.preparation.items()
        ),
        head_side=form.head,
        skip=form.skip,
        extra=tuple(ExtraHole(hole.number, hole.at) for hole in form.extra),
        places=kind,
        place_tolerance_mm=tolerance_mm,
        drill_mm=form.drill,
        sealant=_sealant(form.sealant),
        was=form.was,
        changed_by=form.changed_by,
        note=form.note,
    )
    return row if _check_numbers(row, path, known) else None


def _sealant(form: SealantForm | None) -> Sealant | None:
    """Build the sealant of a row."""
    if form is None:
        return None
    return Sealant(form.work_time, form.thickness or 0.0)


def _check_names(form: RowForm, path: Path, known: Known) -> None:
    """Note unknown faces, steps and parts, and a stack that nothing gives."""
    known.check("step", form.step, (*path, "step"))
    if form.face:
        known.check("face", form.face, (*path, "face"))
    for part in form.preparation:
        if part != OTHERS:
            known.check("part", part, (*path, "preparation", part))
    has_places = form.face and _way(form) != ""
    if not form.stack and not has_places:
        known.faults.add(
            path,
            "neither a stack nor places on a face",
            "stack, or face with places, so that the outlines give the stack",
            "Write stack: [part, part], manufactured-head side first",
        )
    if form.stack and form.preparation:
        known.faults.add(
            (*path, "preparation"),
            "preparation beside a written stack",
            "one of the two",
            "Write it into the stack: [502 dimple, 501 dimple]",
        )


def _way(form: RowForm) -> str:
    """Which of the ways to give places is used; empty for a count alone."""
    return next((way for way in WAYS if getattr(form, way) is not None), "")


def _pattern(form: RowForm, path: Path, known: Known) -> Pattern | None:
    """Build the pattern, or note why its fields make none."""
    way = _way(form)
    fields = (*WAYS, "by", "end", "count", "pitch")
    used = {field for field in fields if getattr(form, field) is not None}
    strange = used - _BELONGS[way] - {way}
    pattern = None if strange else _one_pattern(form)
    if pattern is None:
        shown = ", ".join(field for field in fields if field in used) or "no places"
        allowed = "; or ".join((*WAYS.values(), "count alone"))
        known.faults.add(path, shown, allowed, "Write one whole way of these")
        return None
    if not 1 <= pattern.count <= HOLES_MOST_ROW:
        found, allowed = f"{pattern.count:,} holes", f"at most {HOLES_MOST_ROW:,} a row"
        at = (*path, "pitch") if form.pitch is not None else path
        known.faults.add(at, found, allowed, "Check the pitch or the points")
        return None
    return pattern


def _one_pattern(form: RowForm) -> Pattern | None:
    """Build the pattern whose fields are whole."""
    count = form.count
    if form.points is not None:
        return Points(form.points)
    if form.at is not None and form.by is None and count == 1:
        return Straight(form.at, (0.0, 0.0), 1)
    if form.at is not None and form.by is not None and count is not None:
        return Straight(form.at, form.by, count)
    if form.start is not None and form.end is not None:
        if count is not None and form.pitch is None:
            return Between(form.start, form.end, count)
        if form.pitch is not None and count is None:
            return Pitched(form.start, form.end, form.pitch)
    if count is None or form.at is not None or form.start is not None:
        return None
    if form.arc is not None:
        arc = form.arc
        return Arc(arc.centre, arc.radius, arc.start, arc.end, count)
    if form.along is not None:
        return Polyline(form.along, count) if len(form.along) > 1 else None
    return Counted(count)


def _places(
    written: str, path: Path, unit: LengthUnit, known: Known
) -> tuple[str, float]:
    """Read how places are known: `measured ±0.5 mm`."""
    match = _PLACES.fullmatch(written.strip())
    kind = match["kind"] if match else ""
    if match is None or kind not in PLACE_KINDS:
        allowed = " or ".join(PLACE_KINDS) + nearest_hint(written, PLACE_KINDS)
        known.faults.add(path, written, allowed, "Write measured ±0.5 mm, for example")
        return PLACE_KINDS[0], 0.0
    if match["tolerance"] is None:
        return kind, 0.0
    try:
        tolerance_mm = float(parse_coordinate_mm(match["tolerance"], bare_unit=unit))
    except Refusal as why:
        known.faults.add(path, written, why.allowed, why.do)
        return kind, 0.0
    if tolerance_mm < 0:
        known.faults.add(path, written, "a tolerance of 0 or more", "Drop the minus")
    return kind, tolerance_mm


def _check_numbers(row: Row, path: Path, known: Known) -> bool:
    """Hold skipped and extra holes to the numbers of the pattern."""
    count, before = row.pattern.count, len(known.faults)
    seen: set[int] = set()
    for k, number in enumerate(row.skip):
        if number > count or number in seen:
            allowed = f"each number of the pattern once, 1 to {count}"
            known.faults.add((*path, "skip", k), number, allowed, "Check the number")
        seen.add(number)
    if len(row.skip) == count and not row.extra:
        known.faults.add((*path, "skip"), "every hole", "a row with holes", "Drop it")
    taken: set[int] = set()
    for k, hole in enumerate(row.extra):
        in_pattern = hole.number <= count and hole.number not in seen
        if in_pattern or hole.number in taken:
            found = f"number {hole.number}, which the row has already"
            allowed = f"a new number, such as {count + 1}"
            known.faults.add((*path, "extra", k), found, allowed, "Number it anew")
        taken.add(hole.number)
    if len(known.faults) > before:
        return False
    known.numbers[row.name] = Numbers.of(row)
    return True


def build_access(
    form: AccessForm, path: Path, unit: LengthUnit, known: Known
) -> Access:
    """Build what stands round some rows."""
    gap_behind, gap_mm = form.gap_behind, None
    if gap_behind not in ("open", "closed", "taper"):
        try:
            gap_mm = float(parse_coordinate_mm(gap_behind, bare_unit=unit))
            gap_behind = "number"
        except Refusal:
            allowed = "open, closed, taper, or a length" + nearest_hint(
                gap_behind, ("open", "closed", "taper")
            )
            do = "Write one of these words, or a length"
            known.faults.add((*path, "gap_behind"), gap_behind, allowed, do)
        if gap_mm is not None and gap_mm < 0:
            do = "Write it as measured"
            known.faults.add((*path, "gap_behind"), form.gap_behind, "0 or more", do)
    return Access(
        entry_mm=max(form.entry, default=None),
        entry_by_hole_mm=form.entry if len(form.entry) > 1 else (),
        throat_flange_mm=form.throat_flange,
        gap_behind_mm=gap_mm,
        gap_behind=gap_behind,
        wall_shop_mm=form.wall_shop,
        wall_head_mm=form.wall_head,
        both_sides=form.both_sides,
        tools=form.tools,
    )


def with_access(
    rows: Mapping[str, Row],
    forms: tuple[AccessForm | None, ...],
    faces: Mapping[str, Face],
    unit: LengthUnit,
    known: Known,
) -> tuple[Row, ...]:
    """Put the access groups to their rows; each row may stand in one group."""
    whole = dict(rows)
    first: dict[str, int] = {}
    for k, form in enumerate(forms):
        if form is None:
            continue
        path: Path = ("access", k)
        access = build_access(form, path, unit, known)
        for n, name in enumerate(form.rows):
            at = (*path, "rows", n)
            if not known.check("row", name, at):
                continue
            if name in first:
                found = f"{name} again, first in entry {first[name] + 1}"
                known.faults.add(at, found, "each row in one entry", "Delete one")
            first[name] = k
            count = len(known.numbers.get(name, ()))
            if name in whole and len(form.entry) not in (0, 1, count):
                found, allowed = (
                    f"{len(form.entry)} entries",
                    f"1, or {count} for {name}",
                )
                do = "Write one entry, or one for each hole"
                known.faults.add((*path, "entry"), found, allowed, do)
            if name in whole:
                whole[name] = replace(whole[name], access=access)
                face = faces.get(whole[name].face)
                if access.gap_behind == "taper" and face and not face.taper_mm:
                    found = f"taper, but face {face.name} has none"
                    allowed = "a face with taper: [[v, gap], ...]"
                    do = "Add the taper to the face, or write a length"
                    known.faults.add((*path, "gap_behind"), found, allowed, do)
    return tuple(whole.values())

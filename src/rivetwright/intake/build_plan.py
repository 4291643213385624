"""A plan out of the fields of its file: everything that refers to something else."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from fractions import Fraction
from typing import Any, TypeVar
from uuid import UUID

from rivetwright.errors import CodeRefused, nearest_hint
from rivetwright.intake.build_faces import build_face
from rivetwright.intake.build_opening import build_opening
from rivetwright.intake.build_rows import build_row, with_access
from rivetwright.intake.build_steps import (
    OpenAlready,
    build_open_holes,
    build_step,
    check_order,
)
from rivetwright.intake.faults import Faults, Path
from rivetwright.intake.forms import (
    AssemblyForm,
    BlindCodeForm,
    PartForm,
    PlanForm,
    ProjectForm,
    RulesForm,
)
from rivetwright.intake.known import Known
from rivetwright.intake.shop_costs import build_held
from rivetwright.model.opening import Opening
from rivetwright.model.plan import (
    OpenHoles,
    Part,
    Plan,
    Project,
    Row,
    RuleSets,
)
from rivetwright.standards.blind import KitBlindCode
from rivetwright.standards.codes import parse_rivet_code
from rivetwright.standards.flush import countersink_sets
from rivetwright.standards.holes import hole_sets
from rivetwright.standards.lengths import rounding_rules
from rivetwright.standards.shop_heads import limit_sets
from rivetwright.units.length import LengthUnit

HOLES_MOST = 2_000_000
NO_PROJECT = Project("00000000-0000-0000-0000-000000000000", "")

T = TypeVar("T")
FormT = TypeVar("FormT")


def gather(
    forms: Mapping[str, FormT | None], build: Callable[[str, FormT], T | None]
) -> dict[str, T]:
    """Build every entry that can be built."""
    built = ((n, build(n, form)) for n, form in forms.items() if form is not None)
    return {name: one for name, one in built if one is not None}


def names_of(written: Mapping[str, Any], section: str) -> set[str]:
    """Names a section declares, also those whose lines have faults."""
    found = written.get(section)
    return set(found) if isinstance(found, dict) else set()


def build_plan(
    form: PlanForm,
    written: Mapping[str, Any],
    unit: LengthUnit,
    faults: Faults,
) -> Plan:
    """Build the plan of a file; what is wrong goes to the faults.

    Args:
        form: the fields of the file.
        written: the same before they were read, for the names of broken entries.
        unit: unit of bare numbers.
        faults: where mistakes are noted; the plan is whole only if there are none.
    """
    known = _known(form, written, faults)
    project = _project(form.project, faults)
    assembly = form.assembly or AssemblyForm(id="unnamed", name="")
    faces = gather(form.faces, lambda name, one: build_face(name, one, known))
    ids = (project.id, assembly.id)
    rows = gather(
        form.rows, lambda name, one: build_row(name, one, known, ids=ids, unit=unit)
    )
    check_lineage(rows, known)
    check_count(known)
    steps = gather(form.steps, lambda name, one: build_step(name, one, known))
    check_order(steps, faults)
    return Plan(
        id=assembly.id,
        name=assembly.name,
        project=project,
        unit=unit,
        parts=tuple(gather(form.parts, build_part).values()),
        faces=tuple(faces.values()),
        rows=with_access(rows, form.access, faces, unit, known),
        steps=tuple(steps.values()),
        open_holes=_open_holes(form, known),
        blind_codes=tuple(code for code in known.blind_codes.values() if code),
        rule_sets=_rule_sets(form.rules or RulesForm(), known.shanks_mm, unit, faults),
        opening=build_opening(form.opening, known) if form.opening else Opening(),
        revision=form.revision,
        based_on=form.based_on,
        drawing=form.drawing,
        issued=form.issued,
        note=form.note,
        file=faults.file,
    )


def _known(form: PlanForm, written: Mapping[str, Any], faults: Faults) -> Known:
    """Names the file declares."""
    return Known(
        faults,
        parts=names_of(written, "parts"),
        faces=names_of(written, "faces"),
        steps=names_of(written, "steps"),
        open_holes=names_of(written, "open_holes"),
        rows=names_of(written, "rows"),
        blind_codes={
            name: build_blind_code(name, one, faults) if one else None
            for name, one in form.blind_codes.items()
        },
        shanks_mm=_shanks_mm(form.rules or RulesForm(), faults),
    )


def _shanks_mm(form: RulesForm, faults: Faults) -> dict[str, Fraction]:
    """Shanks of oversize-shank rivets by kind, as the file enters them."""
    found: dict[str, Fraction] = {}
    for name, shank_mm in form.oversize_shanks.items():
        path = ("rules", "oversize_shanks", name)
        allowed = "an oversize-shank rivet without its length, such as NAS1241AD4"
        try:
            rivet = parse_rivet_code(f"{name}-4")
        except CodeRefused as why:
            faults.add(path, name, allowed, why.do)
            continue
        if not rivet.is_oversize or shank_mm <= rivet.nominal_diameter_mm:
            larger = f"{allowed}, and a shank over {rivet.diameter_shown} in"
            faults.add(path, f"{name}: {float(shank_mm):g} mm", larger)
        else:
            found[rivet.kind] = shank_mm
    return found


def _project(form: ProjectForm | None, faults: Faults) -> Project:
    """Build the project; its id is a uuid."""
    if form is None:
        return NO_PROJECT
    try:
        return Project(str(UUID(form.id)), form.name, form.note)
    except ValueError:
        allowed = "a uuid, such as 6f2c1d0e-5a4b-4c3d-8e7f-9a0b1c2d3e4f"
        do = "Make one once and keep it for all files of this aircraft"
        faults.add(("project", "id"), form.id, allowed, do)
        return NO_PROJECT


def build_part(name: str, form: PartForm) -> Part:
    """Build a part."""
    return Part(
        name=name,
        title=form.title,
        thickness_mm=form.thickness,
        material=form.material,
        bend_radius_mm=form.bend_radius,
        quantity=form.quantity,
        size=form.size,
        flanges=form.flanges,
        is_standard=form.standard,
    )


def build_blind_code(
    name: str, form: BlindCodeForm, faults: Faults
) -> KitBlindCode | None:
    """Build a blind rivet code of the kit's own."""
    least, most = form.grip
    if least >= most:
        found = "a range whose end is not past its start"
        path: Path = ("blind_codes", name, "grip")
        faults.add(path, found, "the smaller grip first", "Swap them or mend one")
        return None
    return KitBlindCode(name, form.head, form.diameter, least, most, form.head_height)


def _rule_sets(
    form: RulesForm, shanks_mm: Mapping[str, Fraction], unit: LengthUnit, faults: Faults
) -> RuleSets:
    """Build the choice of rule sets; each must be one that is published here."""
    choices = (
        ("head_limits", form.head_limits, limit_sets()),
        ("length_rounding", form.length_rounding, rounding_rules()),
        ("drills", form.drills, hole_sets()),
        ("countersink", form.countersink, countersink_sets()),
    )
    for field, chosen, sets in choices:
        if chosen not in sets:
            allowed = "; ".join(sets) + nearest_hint(chosen, sets)
            do = "Choose one of these sets"
            faults.add(("rules", field), chosen, allowed, do)
    return RuleSets(
        head_limits=form.head_limits,
        length_rounding=form.length_rounding,
        drills=form.drills,
        countersink=form.countersink,
        whole_lengths_32nds=form.whole_lengths,
        oversize_shanks_mm=tuple(shanks_mm.items()),
        held_mm=build_held(form.holders, unit, faults),
    )


def _open_holes(form: PlanForm, known: Known) -> tuple[OpenHoles, ...]:
    """Build the open holes; a hole stands under one entry alone."""
    already = OpenAlready()
    opened = gather(
        form.open_holes, lambda name, one: build_open_holes(name, one, known, already)
    )
    return tuple(opened.values())


def check_lineage(rows: Mapping[str, Row], known: Known) -> None:
    """Note rows that claim the same permanent id or an older name still in use."""
    first: dict[str, str] = {}
    for name, row in rows.items():
        for k, older in enumerate(row.was):
            if older in known.rows:
                found = f"{older}, which is a row of this file"
                allowed = "names that no row has any more"
                path: Path = ("rows", name, "was", k)
                known.faults.add(path, found, allowed, "Check which row was renamed")
        if row.id in first and not known.rows.intersection(row.was):
            found = f"the permanent id of row {first[row.id]}"
            allowed = "an id, or an oldest name, of its own"
            known.faults.add(("rows", name), found, allowed, "Check id and was")
        first.setdefault(row.id, name)


def check_count(known: Known) -> None:
    """Hold the whole file to a number of holes that can be worked out."""
    count = sum(len(numbers) for numbers in known.numbers.values())
    if count > HOLES_MOST:
        allowed = f"at most {HOLES_MOST:,} holes a plan"
        known.faults.add(("rows",), f"{count:,} holes", allowed, "Split the plan")

"""A bulletin file read against the plan it was written for."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any

from rivetwright.intake.build_faces import build_layer
from rivetwright.intake.build_plan import build_part, gather, names_of
from rivetwright.intake.build_rows import build_row, with_access
from rivetwright.intake.build_steps import build_step, check_order
from rivetwright.intake.faults import Faults
from rivetwright.intake.forms import BULLETIN_FORMAT, BulletinForm
from rivetwright.intake.known import Known, Numbers
from rivetwright.intake.lined import read_bytes
from rivetwright.intake.plan_file import open_file
from rivetwright.intake.shape import check_shape
from rivetwright.model.bulletin import AddedLayer, Bulletin
from rivetwright.model.plan import Plan, Row
from rivetwright.units.length import LengthUnit


def read_bulletin(path: Path | str, plan: Plan) -> Bulletin:
    """Read a bulletin file.

    Args:
        path: the file.
        plan: the plan it changes; names may refer to either.

    Returns:
        The bulletin; nothing is applied yet.

    Raises:
        PlanRefused: the file is not there or has mistakes; carries all of them.
    """
    return read_bulletin_bytes(read_bytes(path), str(path), plan)


def read_bulletin_bytes(raw: bytes, file: str, plan: Plan) -> Bulletin:
    """Read the bytes of a bulletin file.

    Args:
        raw: YAML 1.2 in UTF-8.
        file: name to show in faults.
        plan: the plan it changes.

    Returns:
        The bulletin; nothing is applied yet.

    Raises:
        PlanRefused: the bytes have mistakes; carries all of them with their lines.
    """
    written, faults = open_file(raw, file, BULLETIN_FORMAT)
    own: LengthUnit = "mm" if plan.unit == "mm" else "in"
    found = written.get("unit", own)
    unit: LengthUnit = found if found in ("in", "mm") else own
    form = check_shape(BulletinForm, written, unit, faults)
    bulletin = _build(form, written, plan, unit, faults) if form else None
    faults.refuse()
    assert bulletin is not None, "a form without faults makes a bulletin"
    return bulletin


def _known(written: Mapping[str, Any], plan: Plan, faults: Faults) -> Known:
    """Names of the plan and of the bulletin together."""
    return Known(
        faults,
        parts=names_of(written, "parts") | {part.name for part in plan.parts},
        faces={face.name for face in plan.faces},
        steps=names_of(written, "steps") | {step.name for step in plan.steps},
        open_holes={opened.id for opened in plan.open_holes},
        rows=names_of(written, "rows") | {row.name for row in plan.rows},
        numbers={row.name: Numbers.of(row) for row in plan.rows},
        blind_codes={code.code: code for code in plan.blind_codes},
        shanks_mm=dict(plan.rule_sets.oversize_shanks_mm),
    )


def _build(
    form: BulletinForm,
    written: Mapping[str, Any],
    plan: Plan,
    unit: LengthUnit,
    faults: Faults,
) -> Bulletin:
    """Build the bulletin and check all that it refers to."""
    known = _known(written, plan, faults)
    if form.assembly != plan.id:
        do = f"Apply it to the plan of {form.assembly}"
        faults.add(("assembly",), form.assembly, f"the assembly {plan.id}", do)
    steps = gather(form.steps, lambda name, one: build_step(name, one, known))
    check_order({step.name: step for step in plan.steps} | steps, faults)
    return Bulletin(
        id=form.id,
        title=form.title,
        assembly=form.assembly,
        based_on=form.based_on,
        day=form.day,
        text=form.text,
        parts=tuple(gather(form.parts, build_part).values()),
        layers=_layers(form, plan, known),
        rows=_rows(form, plan, unit, known),
        steps=tuple(steps.values()),
        kit=form.kit,
        kit_contents=tuple(form.kit_contents.items()),
    )


def _layers(form: BulletinForm, plan: Plan, known: Known) -> tuple[AddedLayer, ...]:
    """Build the added layers; `before` names a part that lies in the face."""
    faces = {face.name: face for face in plan.faces}
    added = []
    for k, one in enumerate(form.layers):
        if one is None:
            continue
        layer = build_layer(one, ("layers", k), known)
        if not known.check("face", one.face, ("layers", k, "face")):
            continue
        there = [layer.part for layer in faces[one.face].layers]
        if one.before and one.before not in there:
            known.faults.unknown(
                ("layers", k, "before"),
                "part",
                one.before,
                there,
                f"Name a part that lies in face {one.face}",
            )
        if layer is not None:
            added.append(AddedLayer(one.face, layer, one.before))
    return tuple(added)


def _rows(
    form: BulletinForm, plan: Plan, unit: LengthUnit, known: Known
) -> tuple[Row, ...]:
    """Build the rows; one that replaces a row keeps its permanent id and access."""
    older = {row.name: row for row in plan.rows}
    ids = (plan.project.id, plan.id)
    rows = gather(
        form.rows,
        lambda name, one: build_row(name, one, known, ids=ids, unit=unit),
    )
    for name, row in rows.items():
        if name in older and not form_has_id(form, name):
            rows[name] = replace(row, id=older[name].id, access=older[name].access)
    for k, group in enumerate(form.access):
        for n, name in enumerate(group.rows if group else ()):
            if name not in form.rows:
                known.faults.unknown(
                    ("access", k, "rows", n), "row", name, list(form.rows)
                )
    faces = {face.name: face for face in plan.faces}
    return with_access(rows, form.access, faces, unit, known)


def form_has_id(form: BulletinForm, name: str) -> bool:
    """Whether a row of the bulletin carries a permanent id of its own."""
    row = form.rows[name]
    return row is not None and row.id != ""

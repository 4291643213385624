"""A bulletin back to the text of its file, for the plan it was written against."""

from __future__ import annotations

from dataclasses import replace

from rivetwright.intake.build_rows import row_id
from rivetwright.intake.forms import BULLETIN_FORMAT
from rivetwright.intake.lay_out import Block, BlockList
from rivetwright.intake.write_plan import (
    access_list,
    as_text,
    layer_fields,
    part_fields,
    row_fields,
    step_fields,
    told,
    unit_of,
)
from rivetwright.model.bulletin import Bulletin
from rivetwright.model.plan import Plan


def write_bulletin(bulletin: Bulletin, plan: Plan) -> str:
    """Write a bulletin as the text of its file.

    Args:
        bulletin: the bulletin.
        plan: the plan it was written against; its unit is used.

    Returns:
        YAML 1.2; comments of the file it was read from are not kept.
    """
    unit = unit_of(plan.unit)
    ids = (plan.project.id, plan.id)
    layers = BlockList(
        {"face": added.face}
        | layer_fields(added.layer, unit)
        | told(before=added.before)
        for added in bulletin.layers
    )
    kept = {row.name: row.id for row in plan.rows}
    rows = [
        replace(row, id=row_id(*ids, (row.was or (row.name,))[0]))
        if row.id == kept.get(row.name)
        else row
        for row in bulletin.rows
    ]
    fields = Block(
        format=BULLETIN_FORMAT,
        id=bulletin.id,
        title=bulletin.title,
        assembly=bulletin.assembly,
        based_on=str(bulletin.based_on),
        unit=plan.unit,
    )
    fields |= told(
        day=bulletin.day and bulletin.day.isoformat(),
        kit=bulletin.kit,
        kit_contents={code: str(count) for code, count in bulletin.kit_contents},
        text=bulletin.text,
        parts=Block((part.name, part_fields(part, unit)) for part in bulletin.parts),
        layers=layers,
        steps=Block((step.name, step_fields(step)) for step in bulletin.steps),
        rows=Block((row.name, row_fields(row, ids, unit)) for row in rows),
        access=access_list(rows, unit),
    )
    return as_text(fields)

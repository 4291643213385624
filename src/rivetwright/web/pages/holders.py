"""Where sheet holders go: for match-drilling, and from each step on."""

from __future__ import annotations

from dataclasses import dataclass

from fastapi import APIRouter, Request, Response
from markupsafe import Markup

from rivetwright.bench.holders import HolderUse, holder_plans, holders_beside
from rivetwright.bench.open import Assembly
from rivetwright.bench.workshop import Workshop
from rivetwright.engines.order.holders import HolderPlan
from rivetwright.errors import NotFound, nearest_hint
from rivetwright.texts.holder_words import say_uses
from rivetwright.web.holder_lines import plan_lines
from rivetwright.web.pages.assembly import opened_assembly
from rivetwright.web.pages.order import shop_of_order
from rivetwright.web.pages.show import show
from rivetwright.web.pictures import bare_map_picture, strip_picture

router = APIRouter()
ROOM_PX = (860, 300)


@dataclass(frozen=True)
class Picture:
    """A face with the holes that get a holder, or a row that lies on none."""

    name: str
    drawn: Markup


@router.get("/assembly/{key}/holders")
def holders_show(request: Request, key: str) -> Response:
    """Every holder plan of an assembly, and the places of one."""
    opened, assembly = opened_assembly(request, key)
    workshop: Workshop = request.app.state.workshop
    with workshop.lock:
        shop = shop_of_order(workshop, assembly)
        uses = _uses(workshop, assembly)
        plans = holder_plans(assembly.worked_plan, shop, workshop.state(), uses)
    step = request.query_params.get("step", "")
    chosen = _chosen(plans, step)
    lines = plan_lines(assembly, plans)
    return show(
        request,
        "holders.html",
        opened=opened,
        assembly=assembly,
        plan=assembly.worked_plan.worked.plan,
        lines=lines,
        chosen=next(one for one in lines if one.step == step),
        chosen_step=step,
        uses=say_uses(uses),
        pictures=pictures(assembly, chosen),
    )


def _uses(workshop: Workshop, assembly: Assembly) -> tuple[HolderUse, ...]:
    return holders_beside(workshop, assembly.worked_plan)


def _chosen(plans: dict[str, HolderPlan], step: str) -> HolderPlan:
    """The plan of a step; empty: for match-drilling.

    Raises:
        NotFound: nothing is set at such a step.
    """
    if step not in plans:
        known = [name for name in plans if name]
        raise NotFound(
            asked=f"show the sheet holders of the step {step}",
            found="no such step, or none with a hole to set",
            allowed=f"one of {', '.join(known)}" + nearest_hint(step, known),
            do="choose a line of the list",
        )
    return plans[step]


def pictures(assembly: Assembly, plan: HolderPlan) -> list[Picture]:
    """The faces on which holders go in, then rows that lie on none."""
    worked_plan = assembly.worked_plan
    holes, held = worked_plan.worked.holes, frozenset(plan.holes)
    rows = dict.fromkeys(holes.row_of(hole) for hole in plan.holes)
    known = [face.name for face in worked_plan.worked.plan.faces]
    faces = dict.fromkeys(row.face for row in rows if row.face in known)
    drawn = [
        Picture(face, bare_map_picture(worked_plan, face, ROOM_PX, held))
        for face in faces
    ]
    loose = (row.name for row in rows if row.face not in known)
    return drawn + [
        Picture(name, strip_picture(worked_plan, name, held)) for name in loose
    ]

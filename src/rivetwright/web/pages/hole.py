"""One hole with everything known of it, and the working of each of its figures."""

from __future__ import annotations

from fastapi import APIRouter, Request, Response

from rivetwright.bench.hole import open_working
from rivetwright.engines.rules import REGISTRY
from rivetwright.web.addresses import assembly_address
from rivetwright.web.cards import card
from rivetwright.web.pages.assembly import opened_assembly, said_heads
from rivetwright.web.pages.show import show
from rivetwright.web.pictures import witness_picture
from rivetwright.web.workings import shown_working

router = APIRouter()


def is_card(request: Request) -> bool:
    """Whether only the part that goes into the panel is asked for."""
    return request.query_params.get("part") == "card"


@router.get("/assembly/{key}/hole/{name}")
def hole_show(request: Request, key: str, name: str) -> Response:
    """Everything known of one hole."""
    opened, assembly = opened_assembly(request, key)
    shown = card(assembly, name)
    template = "card.html" if is_card(request) else "hole.html"
    return show(
        request,
        template,
        opened=opened,
        assembly=assembly,
        plan=assembly.worked_plan.worked.plan,
        card=shown,
        heads=said_heads(request, assembly, name),
        has_record=request.app.state.workshop.has_record,
        is_page=not is_card(request),
        back=assembly_address(key, face=shown.card.face, hole=shown.card.name),
    )


@router.get("/assembly/{key}/hole/{name}/why/{quantity}")
def why_show(request: Request, key: str, name: str, quantity: str) -> Response:
    """How one figure of a hole came about."""
    opened, assembly = opened_assembly(request, key)
    worked_plan = assembly.worked_plan
    hole = worked_plan.worked.holes.index(name)
    witness = open_working(worked_plan, hole, quantity).witness
    template = "working.html" if is_card(request) else "why.html"
    return show(
        request,
        template,
        opened=opened,
        assembly=assembly,
        plan=worked_plan.worked.plan,
        hole=worked_plan.worked.holes.name(hole),
        working=shown_working(worked_plan, hole, quantity),
        unit=REGISTRY[quantity].unit,
        picture=witness and witness_picture(worked_plan, hole, witness),
    )

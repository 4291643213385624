"""The order of work: the steps of an assembly, and one step as a playable sequence."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from fastapi import APIRouter, Request, Response
from markupsafe import Markup
from starlette.datastructures import QueryParams

from rivetwright.bench.now import shop_now
from rivetwright.bench.open import Assembly
from rivetwright.bench.order import StepOrder, Wanted, order_of_step, steps_with_holes
from rivetwright.bench.workshop import Workshop
from rivetwright.model.shop import Shop
from rivetwright.texts.order_card import holder_words, time_words
from rivetwright.web.addresses import hole_words
from rivetwright.web.order_lines import card_lines
from rivetwright.web.pages.assembly import opened_assembly
from rivetwright.web.pages.show import show
from rivetwright.web.pictures import bare_map_picture, strip_picture

router = APIRouter()
ROOM_PX = (860, 300)
BEGINS = ("", "middle", "ends", "skip")
YES = "yes"


@dataclass(frozen=True)
class Picture:
    """One face of the step with its holes, or a row that lies on none."""

    name: str
    drawn: Markup


@router.get("/assembly/{key}/order")
def order_choose(request: Request, key: str) -> Response:
    """The steps that have something to set."""
    opened, assembly = opened_assembly(request, key)
    return show(
        request,
        "order.html",
        opened=opened,
        assembly=assembly,
        plan=assembly.worked_plan.worked.plan,
        steps=steps_with_holes(assembly.worked_plan),
        step="",
        order=None,
    )


@router.get("/assembly/{key}/order/{step}")
def order_show(request: Request, key: str, step: str) -> Response:
    """The order of one step from here."""
    opened, assembly = opened_assembly(request, key)
    workshop: Workshop = request.app.state.workshop
    wanted = read_wanted(request.query_params)
    # The plan without its record stays the same object from mark to mark.
    drawn = workshop.read().assembly(key)
    shop = shop_of_order(workshop, drawn)
    with workshop.lock:
        order = order_of_step(
            drawn.worked_plan, shop, workshop.state(), step, wanted=wanted
        )
    return show(
        request,
        "order.html",
        opened=opened,
        assembly=assembly,
        plan=assembly.worked_plan.worked.plan,
        steps=steps_with_holes(assembly.worked_plan),
        step=step,
        order=order,
        wanted=wanted,
        begins=BEGINS,
        tools=tool_choices(shop),
        cards=card_lines(drawn, order),
        times=time_words(order),
        holders=holder_words(order),
        waiting=hole_words(order.worked_plan, order.waiting),
        without=hole_words(order.worked_plan, order.without),
        pictures=pictures(assembly, order),
        at_bench=workshop.has_record and assembly.bulletin is None,
    )


def shop_of_order(workshop: Workshop, assembly: Assembly) -> Shop | None:
    """The shop with the tools that have arrived."""
    shop = assembly.worked_plan.worked.shop or workshop.read().project.shop
    return shop_now(shop, workshop.state()) if workshop.has_record else shop


def read_wanted(query: QueryParams) -> Wanted:
    """What was chosen in the form; anything else counts as not chosen."""
    begin = query.get("begin", "")
    left_out = tuple(sorted({one for one in query.getlist("out") if one}))
    return Wanted(
        begin=begin if begin in BEGINS else "",
        alone=query.get("alone") == YES,
        quiet=query.get("quiet") == YES,
        left_out=left_out,
        reminders=query.get("reminders") == YES,
        as_if=query.get("as_if") == YES,
    )


def tool_choices(shop: Shop | None) -> list[tuple[str, str]]:
    """Tools and squeezers that may be left out, by id or title."""
    if shop is None:
        return []
    owned = [(t.id, f"{t.id}, {t.title}") for t in shop.tools if t.state == "owned"]
    return [*((s.title, s.title) for s in shop.squeezers), *owned]


def pictures(assembly: Assembly, order: StepOrder) -> list[Picture]:
    """The faces of the step in the order in which they are worked on."""
    plan = assembly.worked_plan.worked.plan
    holes = order.worked_plan.worked.holes
    rows = [holes.row_of(hole) for press in order.presses for hole in press.holes]
    faces: Iterable[str] = dict.fromkeys(row.face for row in rows)
    known = {face.name for face in plan.faces}
    made = [
        Picture(name, bare_map_picture(assembly.worked_plan, name, ROOM_PX))
        for name in faces
        if name in known
    ]
    loose = dict.fromkeys(row.name for row in rows if row.face not in known)
    return made + [
        Picture(name, strip_picture(assembly.worked_plan, name)) for name in loose
    ]

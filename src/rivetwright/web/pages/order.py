"""The order of work: the steps of an assembly, and one step as a playable sequence."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from fastapi import APIRouter, Request, Response
from markupsafe import Markup

from rivetwright.bench.holders import holders_beside
from rivetwright.bench.now import shop_now, tool_away
from rivetwright.bench.open import Assembly
from rivetwright.bench.order import (
    StepOrder,
    Wanted,
    asked_order,
    steps_with_holes,
)
from rivetwright.bench.order_steps import step_times
from rivetwright.bench.workshop import Workshop
from rivetwright.model.shop import Shop
from rivetwright.record.devices import MARKS, OWNER
from rivetwright.record.state import State
from rivetwright.texts.figure_words import say_figures
from rivetwright.texts.order_card import holder_words, time_words
from rivetwright.texts.order_words import MINUTE_S, say_minutes
from rivetwright.web.addresses import hole_words
from rivetwright.web.bench_view import fresh_id
from rivetwright.web.order_lines import card_lines
from rivetwright.web.pages.assembly import opened_assembly
from rivetwright.web.pages.show import show
from rivetwright.web.pictures import bare_map_picture, strip_picture
from rivetwright.web.senders import sender_of
from rivetwright.web.wishes import (
    BEGINS,
    YES,
    is_asked,
    keep_wanted,
    kept_wanted,
    read_wanted,
    wish_words,
)

router = APIRouter()
ROOM_PX = (860, 300)


@dataclass(frozen=True)
class Marking:
    """What a mark that is made on this page says of it."""

    key: str
    revision: int
    position: int
    step: str


@dataclass(frozen=True)
class Picture:
    """One face of the step with its holes, or a row that lies on none."""

    name: str
    drawn: Markup


@router.get("/assembly/{key}/order")
def order_choose(request: Request, key: str) -> Response:
    """The steps that have something to set, with their minutes."""
    opened, assembly = opened_assembly(request, key)
    workshop: Workshop = request.app.state.workshop
    drawn = workshop.read().assembly(key)
    shop = shop_of_order(workshop, drawn)
    is_planned = request.query_params.get("minutes") == YES
    with workshop.lock:
        times = step_times(
            drawn.worked_plan,
            shop,
            workshop.state(),
            kept_wanted(request.cookies),
            holders_beside(workshop, drawn.worked_plan),
            is_planned=is_planned,
        )
    return show(
        request,
        "order.html",
        opened=opened,
        assembly=assembly,
        plan=assembly.worked_plan.worked.plan,
        steps=steps_with_holes(assembly.worked_plan),
        step="",
        order=None,
        step_lines=[
            (
                one,
                say_minutes(one.kit_minutes * MINUTE_S) if one.kit_minutes else "",
                say_minutes(one.planned_s) if one.planned_s else "",
            )
            for one in times
        ],
        is_planned=is_planned,
    )


@router.get("/assembly/{key}/order/{step}")
def order_show(request: Request, key: str, step: str) -> Response:
    """The order of one step from here."""
    opened, assembly = opened_assembly(request, key)
    workshop: Workshop = request.app.state.workshop
    query = request.query_params
    wanted = read_wanted(query) if is_asked(query) else kept_wanted(request.cookies)
    # The plan without its record stays the same object from mark to mark.
    drawn = workshop.read().assembly(key)
    shop = shop_of_order(workshop, drawn)
    with workshop.lock:
        state = workshop.state()
        uses = holders_beside(workshop, drawn.worked_plan)
        work_out = asked_order(drawn.worked_plan, shop, state, step, wanted, uses)
        position = workshop.position() if workshop.has_record else 0
    order = work_out()
    plan, kept = assembly.worked_plan.worked.plan, assembly.bulletin is None
    is_kept = workshop.has_record and kept
    may_mark = is_kept and sender_of(request).role in (OWNER, MARKS)
    page = show(
        request,
        "order.html",
        opened=opened,
        assembly=assembly,
        plan=plan,
        steps=steps_with_holes(assembly.worked_plan),
        step=step,
        order=order,
        marking=Marking(key, plan.revision, position, step) if may_mark else None,
        away=tools_away(shop, state) if is_kept else [],
        pictures=pictures(assembly, order),
        at_bench=is_kept,
        **_choices(request, shop, wanted),
        **_said(drawn, order),
    )
    if "chosen" in query:
        keep_wanted(page, wanted)
    return page


def _choices(request: Request, shop: Shop | None, wanted: Wanted) -> dict[str, Any]:
    """What may be chosen, and what was."""
    return {
        "wanted": wanted,
        "wishes": wish_words(request.app.state.renderer.say, wanted),
        "begins": BEGINS,
        "tools": tool_choices(shop),
        "quiet_after": shop.quiet_after if shop else "",
        "fresh_id": fresh_id,
    }


def _said(drawn: Assembly, order: StepOrder) -> dict[str, Any]:
    """The order in words."""
    return {
        "cards": card_lines(drawn, order),
        "times": time_words(order),
        "holders": holder_words(order),
        "figures": say_figures(order.figures),
        "in_use": tools_in_use(order),
        "waiting": hole_words(order.worked_plan, order.waiting),
        "without": hole_words(order.worked_plan, order.without),
    }


def shop_of_order(workshop: Workshop, assembly: Assembly) -> Shop | None:
    """The shop with the tools that have arrived."""
    shop = assembly.worked_plan.worked.shop or workshop.read().project.shop
    return shop_now(shop, workshop.state()) if workshop.has_record else shop


def tools_in_use(order: StepOrder) -> list[str]:
    """Tools and squeezers that the order sets something with, as they come."""
    ways = [way for way in (order.set_by(card) for card in order.cards) if way]
    names = [name for way in ways for name in (way.tool, way.yoke) if name]
    return list(dict.fromkeys(names))


def tools_away(shop: Shop | None, state: State) -> list[tuple[str, str]]:
    """Tools and squeezers that the record says are not at hand, and where they are."""
    if shop is None:
        return []
    names = [one.title for one in shop.squeezers]
    names += [one.id for one in shop.tools if one.state not in ("owned", "on order")]
    return [(name, tool_away(state, name)) for name in names if tool_away(state, name)]


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

"""The bench screen: what to do next, one thing at a time, with or without a script."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from anyio.to_thread import run_sync
from fastapi import APIRouter, Request, Response
from fastapi.responses import FileResponse, RedirectResponse

from rivetwright.bench.evening import Evening, evening
from rivetwright.bench.gun import first_gun_hole
from rivetwright.bench.open import Assembly
from rivetwright.drawing.view import find_face
from rivetwright.errors import ReasonNeeded
from rivetwright.record.kinds import SOLID_LOOKS
from rivetwright.texts.bench_words import say_card, say_stop
from rivetwright.texts.head_words import look_words
from rivetwright.web.addresses import bench_address, order_address
from rivetwright.web.asked import kept_room, read_room
from rivetwright.web.bench_saying import bench_words
from rivetwright.web.bench_stages import short_code, where_words
from rivetwright.web.bench_view import (
    MAP_PX,
    FaceMap,
    face_maps,
    fresh_id,
    row_strips,
    screen,
)
from rivetwright.web.form_marks import last_seq, take_form
from rivetwright.web.pages.api import workshop_of
from rivetwright.web.pages.order import shop_of_order, tools_away
from rivetwright.web.pages.show import show
from rivetwright.web.pictures import bare_map_picture
from rivetwright.web.senders import owner_only, sender_of
from rivetwright.web.wishes import kept_wanted, wish_words

router = APIRouter()
STATIC = Path(__file__).parents[1] / "static"


@router.get("/bench")
def bench_choose(request: Request) -> Response:
    """The assemblies, last worked in first, each with the step whose turn it is."""
    workshop, sender = workshop_of(request), sender_of(request)
    opened = workshop.now()
    turns = []
    if workshop.has_record:
        turns = [
            evening(workshop, one.key, person=sender.person)
            for one in opened.project.assemblies
            if one.bulletin is None
        ]
        turns.sort(key=lambda turn: turn.worked_at, reverse=True)
    return show(
        request,
        "bench_choose.html",
        here="/bench",
        opened=opened,
        turns=turns,
        names={one.key: one for one in opened.project.assemblies},
        has_record=workshop.has_record,
        may_begin=sender.role == "owner",
    )


@router.post("/bench/begin")
def bench_begin(request: Request) -> Response:
    """Begin the record from what the files say."""
    owner_only(request)
    workshop_of(request).begin()
    return RedirectResponse("/bench", status_code=303)


@router.get("/bench/{key}")
def bench_show(request: Request, key: str) -> Response:
    """The bench screen of an assembly."""
    workshop = workshop_of(request)
    assembly, now, values = _values(request, key)
    room = kept_room({"room": request.cookies.get("bench_room", "")}, MAP_PX)
    return show(
        request,
        "bench.html",
        here="/bench",
        maps=face_maps(assembly, now, room),
        room=room,
        strips=row_strips(assembly, now),
        last_seq=last_seq(workshop, sender_of(request)),
        **values,
    )


@router.get("/bench/{key}/panel")
def panel_show(request: Request, key: str) -> Response:
    """The changing part of the screen, for a page that is open already."""
    _, _, values = _values(request, key)
    return show(request, "bench_panel.html", **values)


@router.get("/bench/{key}/map")
def bench_map_show(request: Request, key: str) -> Response:
    """One map of the screen again, for other room."""
    sender_of(request)
    query = request.query_params
    room = read_room(query, MAP_PX)
    worked_plan = workshop_of(request).now().assembly(key).worked_plan
    _, face = find_face(worked_plan.worked.plan, query.get("face", ""))
    picture = bare_map_picture(worked_plan, face.name, room)
    one = FaceMap(face.name, face.title, picture)
    return show(request, "bench_map.html", one=one)


@router.post("/bench/{key}/mark")
async def mark_take(request: Request, key: str) -> Response:
    """Take one mark from a form, and show the screen again."""
    workshop, sender = workshop_of(request), sender_of(request)
    form = await request.form()
    assembly = workshop.read().assembly(key).worked_plan.worked.plan.id
    refusal = await run_sync(take_form, workshop, sender, assembly, form)
    step, at = str(form.get("step", "")), str(form.get("at", ""))
    if refusal is None:
        address = bench_address(key, step=step, at=at if form.get("stay") else "")
        if form.get("back") == "order":
            address = order_address(key, step)
        return RedirectResponse(address, status_code=303)
    sent = [(name, str(one)) for name, one in form.multi_items()]
    values = {"key": key, "step": step, "refusal": refusal, "fresh_id": fresh_id}
    fields = [(name, one) for name, one in sent if name not in ("id", "text.reason")]
    return show(
        request,
        "bench_refused.html",
        status=409,
        here="/bench",
        fields=fields,
        takes_reason=isinstance(refusal, ReasonNeeded),
        **values,
    )


@router.get("/away")
def away_show(request: Request) -> Response:
    """What a device shows for a page that it never kept, without the laptop."""
    return show(request, "away.html", here="")


@router.get("/sw.js")
def worker_script() -> Response:
    """The script that lets the page come back while the laptop cannot be reached."""
    return FileResponse(STATIC / "bench" / "sw.js", media_type="text/javascript")


def _values(request: Request, key: str) -> tuple[Assembly, Evening, dict[str, Any]]:
    workshop, sender = workshop_of(request), sender_of(request)
    say = request.app.state.renderer.say
    asked = dict(request.query_params)
    with workshop.lock:
        assembly = workshop.now().assembly(key)
        step = asked.get("step", "")
        wanted = kept_wanted(request.cookies)
        now = evening(
            workshop, key, step, sender.person, is_ordered=True, wanted=wanted
        )
        values = screen(workshop, assembly, now, asked, say)
        values |= bench_words(say, workshop.read().project.shop)
    words = {
        "where_words": where_words,
        "short_code": short_code,
        "say_stop": say_stop,
        "cards": [say_card(card) for card in now.cards],
        "gun_hole": first_gun_hole(now),
        "wishes": wish_words(say, wanted),
        "away": tools_away(shop_of_order(workshop, assembly), workshop.state()),
        "look_words": look_words,
        "solid_looks": SOLID_LOOKS,
        "has_record": workshop.has_record,
    }
    return assembly, now, values | words | {"sender": sender}

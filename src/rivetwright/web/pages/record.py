"""The page about the record: newest facts, hours, stock, questions, its digest."""

from __future__ import annotations

from anyio.to_thread import run_sync
from fastapi import APIRouter, Request, Response
from fastapi.responses import RedirectResponse

from rivetwright.bench.diary import diary, one_fact
from rivetwright.bench.hours import minutes_of
from rivetwright.bench.supplies import supply_names
from rivetwright.errors import NotFound
from rivetwright.record.devices import READS
from rivetwright.web.bench_saying import bench_words
from rivetwright.web.bench_view import fresh_id
from rivetwright.web.form_marks import take_form
from rivetwright.web.pages.api import workshop_of
from rivetwright.web.pages.show import show
from rivetwright.web.record_words import fact_words
from rivetwright.web.senders import sender_of

router = APIRouter()


@router.get("/record")
def record_show(request: Request) -> Response:
    """What was recorded, newest first; what to do where no record was begun."""
    sender = sender_of(request)
    workshop = workshop_of(request)
    say = request.app.state.renderer.say
    found = diary(workshop) if workshop.has_record else None
    spent = found.spent if found else ()
    words = bench_words(say, workshop.known().project.shop)
    return show(
        request,
        "record.html",
        here="/record",
        diary=found,
        head_seq=found.head.seq if found else 0,
        sender=sender,
        zone=workshop.time_zone,
        bench_minutes=minutes_of(spent, is_bench=True),
        other_minutes=minutes_of(spent, is_bench=False),
        fact_words=lambda line: fact_words(line, say),
        may_mark=sender.role != READS,
        plan_ids=workshop.plan_ids,
        supplies=supply_names(workshop),
        fresh_id=fresh_id,
        setup_key_words=words["setup_key_words"],
    )


@router.get("/record/fact/{seq}")
def fact_show(request: Request, seq: str) -> Response:
    """One fact whole, its place in the chain, and the way to take it back.

    Raises:
        NotFound: there is no such place.
    """
    sender = sender_of(request)
    workshop = workshop_of(request)
    say = request.app.state.renderer.say
    one = one_fact(workshop, seq)
    return show(
        request,
        "record_fact.html",
        here="/record",
        one=one,
        words=fact_words(one.line, say),
        head_seq=workshop.position(),
        may_mark=sender.role != READS,
        fresh_id=fresh_id,
    )


@router.post("/record/mark")
async def record_mark(request: Request) -> Response:
    """Take one mark from a form of the page, and show the page again.

    Raises:
        NotFound: no such assembly.
        Refusal: the mark was not taken; the page of it says why.
    """
    workshop, sender = workshop_of(request), sender_of(request)
    form = await request.form()
    assembly = str(form.get("assembly", ""))
    if assembly and assembly not in workshop.plan_ids:
        raise NotFound(
            asked="record a mark",
            found=f"assembly {assembly[:80]}",
            allowed=f"one of {', '.join(workshop.plan_ids)}",
            do="load the page Record again",
        )
    refusal = await run_sync(take_form, workshop, sender, assembly, form)
    if refusal is not None:
        raise refusal
    return RedirectResponse("/record", status_code=303)

"""The page about the record: newest facts, hours, stock, questions, its digest."""

from __future__ import annotations

from fastapi import APIRouter, Request, Response

from rivetwright.bench.diary import diary
from rivetwright.bench.hours import minutes_of
from rivetwright.web.pages.api import workshop_of
from rivetwright.web.pages.show import show
from rivetwright.web.senders import sender_of

router = APIRouter()


@router.get("/record")
def record_show(request: Request) -> Response:
    """What was recorded, newest first; what to do where no record was begun."""
    sender = sender_of(request)
    workshop = workshop_of(request)
    found = diary(workshop) if workshop.has_record else None
    spent = found.spent if found else ()
    return show(
        request,
        "record.html",
        here="/record",
        diary=found,
        sender=sender,
        zone=workshop.time_zone,
        bench_minutes=minutes_of(spent, is_bench=True),
        other_minutes=minutes_of(spent, is_bench=False),
    )

"""Tonight: what can be done, what waits, what unlocks most, what is in a date's way."""

from __future__ import annotations

from datetime import date, time

from fastapi import APIRouter, Request, Response
from starlette.datastructures import QueryParams

from rivetwright.bench.tonight import (
    Asked,
    chain_for,
    closing_steps,
    steps_left,
    tonight,
)
from rivetwright.bench.workshop import Workshop
from rivetwright.errors import Refusal
from rivetwright.texts.work_words import say_basis, say_day, say_range, say_time
from rivetwright.web.pages.order import tool_choices
from rivetwright.web.pages.show import show
from rivetwright.web.work_lines import (
    chain_lines,
    closing_lines,
    held_groups,
    later_lines,
    place_lines,
    place_of,
    turn_lines,
    unlock_lines,
)

router = APIRouter()
ALONE, WITH = "alone", "with"


@router.get("/tonight")
def tonight_show(request: Request) -> Response:
    """What can be done at one time at the bench, and what the rest waits for."""
    workshop: Workshop = request.app.state.workshop
    query = request.query_params
    told = tonight(workshop, read_asked(query))
    work, minutes = told.work, told.now.minutes
    step, by = query.get("step", ""), read_day(query.get("by", ""))
    chain = chain_for(work, told.today, step, by) if step else None
    return show(
        request,
        "tonight.html",
        here="/tonight",
        told=told,
        query=query,
        day=say_day(told.session.begins.date()),
        free=say_time(told.session.minutes),
        whole=say_range(minutes) if minutes else "",
        basis=say_basis(minutes) if minutes else "",
        turns=turn_lines(told),
        later=later_lines(told),
        groups=held_groups(told),
        unlocks=unlock_lines(told),
        chain=chain_lines(work, chain) if chain else None,
        closings=closing_lines(told, closing_steps(work)),
        steps=[(key, place_of(work, key)) for key in steps_left(work)],
        places=place_lines(told),
        tools=tool_choices(work.shop),
        storage=work.shop.storage if work.shop else (),
    )


def read_asked(query: QueryParams) -> Asked:
    """What was chosen in the form; what is empty is as the calendar says.

    Raises:
        Refusal: a day, a time or hours that cannot be read.
    """
    hands = query.get("helper", "")
    return Asked(
        read_day(query.get("day", "")),
        _hours(query.get("hours", "")),
        _clock(query.get("from", "")),
        {ALONE: False, WITH: True}.get(hands),
        tuple(sorted({one for one in query.getlist("out") if one})),
    )


def read_day(text: str) -> date | None:
    """A day as the form gives it; None for none.

    Raises:
        Refusal: it is no day.
    """
    if not text:
        return None
    try:
        return date.fromisoformat(text)
    except ValueError as problem:
        raise _refused("read the day", text, "a day such as 2026-11-28") from problem


def _hours(text: str) -> float | None:
    if not text:
        return None
    try:
        return float(text.replace(",", "."))
    except ValueError as problem:
        raise _refused("read the hours", text, "hours such as 2 or 1.5") from problem


def _clock(text: str) -> time | None:
    if not text:
        return None
    try:
        return time.fromisoformat(text)
    except ValueError as problem:
        raise _refused("read the time", text, "a time such as 19:00") from problem


def _refused(asked: str, found: str, allowed: str) -> Refusal:
    return Refusal(
        asked=asked,
        found=repr(found),
        allowed=allowed,
        do="write it so, or leave it empty: then the calendar of the shop says",
    )

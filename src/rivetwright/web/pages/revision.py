"""Revisions compared: the list of them, one of them, and its compliance entry."""

from __future__ import annotations

from anyio.to_thread import run_sync
from fastapi import APIRouter, Request, Response
from fastapi.responses import RedirectResponse

from rivetwright.bench.now import HoleIds
from rivetwright.bench.revision import offered, revision_of
from rivetwright.engines.revise.outlook import Doing
from rivetwright.record.devices import READS
from rivetwright.texts.revision_words import (
    say_minutes,
    say_needs,
    say_part,
    say_question,
    say_step,
    say_summary,
    say_task,
)
from rivetwright.web.addresses import revision_address
from rivetwright.web.bench_view import fresh_id
from rivetwright.web.form_marks import take_form
from rivetwright.web.pages.air import project_notes
from rivetwright.web.pages.api import workshop_of
from rivetwright.web.pages.show import show
from rivetwright.web.revision_lines import change_line
from rivetwright.web.senders import sender_of

router = APIRouter()
HERE = "/revision"


@router.get("/revision")
def revisions_show(request: Request) -> Response:
    """Every comparison that can be opened."""
    workshop = workshop_of(request)
    opened = workshop.now()
    return show(
        request,
        "revisions.html",
        here=HERE,
        opened=opened,
        notes=project_notes(opened),
        ways=offered(workshop),
    )


@router.get("/revision/{key}")
def revision_show(request: Request, key: str) -> Response:
    """One comparison.

    Raises:
        NotFound: nothing of that key can be compared.
    """
    workshop = workshop_of(request)
    revision = revision_of(workshop, key)
    asks, found = revision.asks, revision.found
    old = HoleIds(found.old.worked.holes)
    return show(
        request,
        "revision.html",
        here=HERE,
        opened=workshop.now(),
        revision=revision,
        way=revision.offered,
        summary=say_summary(revision),
        questions=[say_question(revision, one) for one in asks.questions],
        tasks=[
            (
                say_task(revision, one),
                one.minutes and say_minutes(one.minutes.likely),
                one.doing is Doing.SET and one.minutes is None,
            )
            for one in asks.tasks
        ],
        times=[say_minutes(one) for one in asks.minutes],
        needs=say_needs(revision),
        lines=[change_line(revision, one) for one in asks.done],
        parts=[*map(say_part, found.parts), *map(say_step, found.steps)],
        old_holes=list(old.ranges(h for one in found.changes for h in one.old)),
        may_mark=revision.has_record and sender_of(request).role != READS,
        fresh_id=fresh_id,
    )


@router.post("/revision/{key}/met")
async def revision_met(request: Request, key: str) -> Response:
    """Take the entry that a bulletin was done, and show the comparison again.

    Raises:
        Refusal: the entry was not taken; the page of it says why.
    """
    workshop, sender = workshop_of(request), sender_of(request)
    form = await request.form()
    assembly = str(form.get("assembly", ""))
    refusal = await run_sync(take_form, workshop, sender, assembly, form)
    if refusal is not None:
        raise refusal
    return RedirectResponse(revision_address(key), status_code=303)

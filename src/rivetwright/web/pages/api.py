"""Marks from the bench, live news, photos: what the scripts of the pages talk to."""

from __future__ import annotations

import asyncio
import json
from collections.abc import AsyncIterator
from typing import Annotated, Any

from anyio.to_thread import run_sync
from fastapi import APIRouter, File, Form, Request, Response, UploadFile
from fastapi.responses import FileResponse, JSONResponse, StreamingResponse

from rivetwright.bench.keep import Answer, keep
from rivetwright.bench.photos import keep_photo_of, photo_file
from rivetwright.bench.workshop import Workshop
from rivetwright.errors import FactRefused, ReasonNeeded, Refusal, StoreRefused
from rivetwright.record.devices import OWNER
from rivetwright.record.order import write_utc
from rivetwright.web.doors import Gate
from rivetwright.web.live import News
from rivetwright.web.senders import Asking, is_still_in, sender_of

router = APIRouter()
MARK_HEADER = "x-rivetwright"
STILL_IN_S, STILL_HERE_S = 1.0, 15.0


def workshop_of(request: Request) -> Workshop:
    """The workshop that is served."""
    workshop: Workshop = request.app.state.workshop
    return workshop


def refusal_json(mark: str, refusal: Refusal) -> dict[str, str | bool]:
    """A refusal as the scripts read it, and whether a reason would help."""
    return {
        "id": mark,
        "asked": refusal.asked,
        "found": refusal.found,
        "allowed": refusal.allowed,
        "do": refusal.do,
        "takes_reason": isinstance(refusal, ReasonNeeded),
    }


def answer_json(workshop: Workshop, answer: Answer) -> dict[str, Any]:
    """What became of marks, as the scripts read it."""
    return {
        "kept": [
            {"id": one.id, "seq": one.seq, "flags": list(one.flags)}
            for one in answer.taken
        ],
        "refused": [refusal_json(mark, why) for mark, why in answer.refused],
        "position": answer.position,
        "now": write_utc(workshop.clock()),
    }


@router.post("/api/marks")
async def marks_take(request: Request) -> Response:
    """Take marks; the answer names those that are on the disk now."""
    workshop, sender = workshop_of(request), sender_of(request)
    if request.headers.get(MARK_HEADER) != "mark":
        raise _no_mark("no header X-Rivetwright: mark")
    try:
        said = json.loads(await request.body())
        marks = said["marks"]
        are_marks = all(isinstance(mark, dict) for mark in marks)
    except (ValueError, KeyError, TypeError, RecursionError) as problem:
        raise _no_mark("no JSON with a list of marks") from problem
    if not isinstance(marks, list) or not are_marks:
        raise _no_mark("marks that are none")
    answer = await run_sync(keep, workshop, sender, marks)
    return JSONResponse(answer_json(workshop, answer))


def _no_mark(found: str) -> FactRefused:
    return FactRefused(
        asked="take marks",
        found=found,
        allowed="JSON with marks, sent by the pages served here",
        do="load the page again",
    )


@router.get("/api/now")
def now_tell(request: Request) -> Response:
    """The server's clock and the record's position: for measuring the difference."""
    workshop = workshop_of(request)
    sender_of(request)
    said = {"now": write_utc(workshop.clock()), "position": workshop.position()}
    return JSONResponse(said)


@router.get("/api/live")
async def live_tell(request: Request, after: int = -1) -> Response:
    """News of new facts as they come, as server-sent events."""
    sender_of(request)
    news: News = request.app.state.news
    last = request.headers.get("last-event-id", "")
    begin = int(last[:15]) if last.isdecimal() else after
    if begin < 0:
        begin = await run_sync(news.look)
    stream = _stream(request, news, begin)
    headers = {"x-accel-buffering": "no"}
    return StreamingResponse(stream, media_type="text/event-stream", headers=headers)


async def _stream(request: Request, news: News, after: int) -> AsyncIterator[str]:
    """One event a fact, until the device goes or is shut out.

    A comment now and then shows that the line holds.
    """
    gate: Gate = request.app.state.gate
    asking: Asking = request.state.asking
    rounds = 0
    yield f"retry: 1000\nid: {after}\nevent: here\ndata: {after}\n\n"
    while not await request.is_disconnected():
        rounds += 1
        is_turn = rounds % round(STILL_IN_S / news.pause_s) == 0
        fresh = []
        try:
            if is_turn and not await run_sync(is_still_in, asking, gate):
                return
            if _may_differ(news, after):
                fresh = await run_sync(news.after, after)
        except StoreRefused:
            return
        for seq, event in fresh:
            after = seq
            yield event
        await asyncio.sleep(news.pause_s)
        if rounds % round(STILL_HERE_S / news.pause_s) == 0:
            yield ": still here\n\n"


def _may_differ(news: News, after: int) -> bool:
    """Whether a thread is worth it: news is known of, or nobody looked for a while."""
    return news.seen > after or news.is_due


@router.post("/api/photo")
async def photo_take(
    request: Request,
    file: Annotated[UploadFile, File()],
    mark: Annotated[str, Form()],
) -> Response:
    """Take a photo: the file first, then the fact that speaks of it."""
    workshop, sender = workshop_of(request), sender_of(request)
    try:
        said = json.loads(mark)
    except (ValueError, RecursionError) as problem:
        raise _no_mark("a photo without its mark") from problem
    if not isinstance(said, dict):
        raise _no_mark("a photo without its mark")
    content = await file.read()
    answer = await run_sync(keep_photo_of, workshop, sender, said, content)
    return JSONResponse(answer_json(workshop, answer))


@router.get("/photo/{digest}")
def photo_show(request: Request, digest: str, whole: bool = False) -> Response:
    """A photo's smaller copy; on the laptop the file as it came, where wished.

    The file as it came may say where it was taken, so it does not leave the laptop.
    """
    may_be_whole = sender_of(request).role == OWNER
    path, media = photo_file(workshop_of(request), digest, whole=whole and may_be_whole)
    return FileResponse(path, media_type=media, content_disposition_type="inline")

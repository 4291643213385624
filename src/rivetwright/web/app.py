"""The pages of one folder of plans."""

from __future__ import annotations

from pathlib import Path

from fastapi import FastAPI, Request, Response
from fastapi.responses import JSONResponse
from fastapi.staticfiles import StaticFiles
from starlette.exceptions import HTTPException

from rivetwright.bench.workshop import Workshop
from rivetwright.errors import (
    NotAllowed,
    NotFound,
    PlanRefused,
    Refusal,
    StaleDecision,
    StoreRefused,
)
from rivetwright.web.doors import Gate
from rivetwright.web.guard import Guard
from rivetwright.web.live import News
from rivetwright.web.pages import (
    air,
    api,
    assembly,
    bench,
    devices,
    downloads,
    findings,
    gun,
    head_check,
    head_decide,
    heads,
    holders,
    hole,
    hours,
    order,
    patterns,
    project,
    record,
    revision,
    set_ups,
    steps,
    stock,
    styles,
    tonight,
    tools,
    words,
)
from rivetwright.web.pages.downloads import PackBytes
from rivetwright.web.pages.show import show
from rivetwright.web.render import Renderer

HERE = Path(__file__).parent
PAGES = (
    *(api, bench, devices, record, project, assembly, hole, styles),
    *(downloads, findings, words, patterns, hours, steps),
    *(air, gun, holders, order, revision, set_ups, stock, tools),
    *(head_check, head_decide, heads),
    tonight,
)


def create_app(folder: Path | Workshop, pack_bytes: PackBytes | None = None) -> FastAPI:
    """The pages of a folder.

    Args:
        folder: the folder with the plan files, or one opened already.
        pack_bytes: makes the print pack; the command line gives it, because
            screen and paper do not know each other. None: no print links.
    """
    workshop = folder if isinstance(folder, Workshop) else Workshop(folder)
    app = FastAPI(title="Rivetwright", docs_url=None, redoc_url=None, openapi_url=None)
    app.state.workshop = workshop
    app.state.gate = Gate(workshop)
    app.state.news = News(workshop)
    app.state.renderer = Renderer()
    app.state.pack_bytes = pack_bytes
    app.add_middleware(Guard, gate=app.state.gate)
    for page in PAGES:
        app.include_router(page.router)
    app.mount("/static", StaticFiles(directory=HERE / "static"))
    app.add_exception_handler(Refusal, _refused)
    app.add_exception_handler(HTTPException, _no_page)
    app.add_exception_handler(500, _our_mistake)
    return app


STATUS_OF: tuple[tuple[type[Refusal], int], ...] = (
    (NotFound, 404),
    (NotAllowed, 403),
    (StaleDecision, 409),
    (PlanRefused, 409),
    (StoreRefused, 503),
    (Refusal, 422),
)


def _refused(request: Request, refusal: Exception) -> Response:
    """The page of a refusal: what was asked, found, allowed, and what to do."""
    assert isinstance(refusal, Refusal)
    faults = refusal.faults if isinstance(refusal, PlanRefused) else ()
    kind = "file" if faults else "asked_for"
    status = next(code for one, code in STATUS_OF if isinstance(refusal, one))
    if request.url.path.startswith("/api/"):
        return JSONResponse(api.refusal_json("", refusal), status_code=status)
    return show(
        request,
        "refused.html",
        status=status,
        kind=kind,
        refusal=refusal,
        faults=faults,
    )


def _no_page(request: Request, problem: Exception) -> Response:
    """The page for an address that leads nowhere."""
    assert isinstance(problem, HTTPException)
    say = request.app.state.renderer.say
    refusal = Refusal(
        asked=say("refused.no_page", path=request.url.path),
        found=say("refused.no_page_found"),
        allowed=say("refused.no_page_allowed"),
        do=say("refused.no_page_do"),
    )
    return show(
        request,
        "refused.html",
        status=problem.status_code,
        kind="page",
        refusal=refusal,
        faults=(),
    )


def _our_mistake(request: Request, problem: Exception) -> Response:
    """The page for a fault in this program: it is no fault of the plan."""
    say = request.app.state.renderer.say
    refusal = Refusal(
        asked=say("refused.no_page", path=request.url.path),
        found=say("refused.ours_found", what=type(problem).__name__),
        allowed=say("refused.ours_allowed"),
        do=say("refused.ours_do"),
    )
    return show(
        request, "refused.html", status=500, kind="ours", refusal=refusal, faults=()
    )

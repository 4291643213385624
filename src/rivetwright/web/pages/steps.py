"""The network of steps: what comes before what in each assembly."""

from __future__ import annotations

from anyio.to_thread import run_sync
from fastapi import APIRouter, Request, Response

from rivetwright.bench.forecast import outlook
from rivetwright.bench.step_network import step_network
from rivetwright.bench.workshop import Workshop
from rivetwright.web.forecast_lines import step_lines, steps_picture
from rivetwright.web.pages.air import project_notes
from rivetwright.web.pages.show import show

router = APIRouter()


@router.get("/network")
async def network_show(request: Request) -> Response:
    """Every assembly's steps as a picture and as a table."""
    workshop: Workshop = request.app.state.workshop
    found = await run_sync(outlook, workshop)
    opened = workshop.now()
    assemblies = [one for one in step_network(found) if one.steps]
    return show(
        request,
        "network.html",
        here="/network",
        opened=opened,
        notes=project_notes(opened),
        assemblies=[
            (one, steps_picture(one), step_lines(one.steps)) for one in assemblies
        ],
    )

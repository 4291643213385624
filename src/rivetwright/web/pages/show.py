"""Fill a template and answer with it."""

from __future__ import annotations

from typing import Any

from fastapi import Request, Response
from fastapi.responses import HTMLResponse

from rivetwright.web.render import Renderer


def show(
    request: Request, template: str, *, status: int = 200, **values: Any
) -> Response:
    """A page from a template."""
    renderer: Renderer = request.app.state.renderer
    page = renderer.fill(template, here=values.pop("here", ""), **values)
    return HTMLResponse(page, status_code=status)

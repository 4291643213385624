"""Styles that are not files: the drawings' own, and the one that lights holes where
scripting is off.
"""

from __future__ import annotations

from fastapi import APIRouter, Request, Response

from rivetwright.bench.open import Assembly
from rivetwright.drawing.ink import stylesheet
from rivetwright.web.addresses import finding_key
from rivetwright.web.asked import Asked, read_asked
from rivetwright.web.hole_lines import row_tables
from rivetwright.web.pages.assembly import opened_assembly

router = APIRouter()


@router.get("/drawing.css")
def drawing_style() -> Response:
    """The common style of all pictures."""
    return Response(stylesheet(), media_type="text/css")


def lit_holes(assembly: Assembly, asked: Asked) -> list[str]:
    """Names of the holes that a page means: the chosen one, a finding's, a filter's."""
    worked_plan = assembly.worked_plan
    if asked.hole:
        return [asked.hole]
    for finding in worked_plan.findings:
        if asked.lit and finding_key(worked_plan, finding) == asked.lit:
            return [worked_plan.worked.holes.name(hole) for hole in finding.holes]
    if not asked.wanted:
        return []
    tables = row_tables(worked_plan, asked.face)
    lines = (line for table in tables for line in table.lines)
    return [line.name for line in lines if line.matches(asked.wanted)]


@router.get("/assembly/{key}/lit.css")
def lit_style(request: Request, key: str) -> Response:
    """The rules that light some holes."""
    _, assembly = opened_assembly(request, key)
    asked = read_asked(assembly, request.query_params)
    names = lit_holes(assembly, asked)
    rules = ""
    if names:
        chosen = ",".join(f'[data-hole="{_quoted(name)}"]' for name in names)
        rules = (
            ".hole-map .hole{opacity:.2}\n"
            f".hole-map .hole:is({chosen}){{opacity:1}}\n"
        )
    return Response(rules, media_type="text/css")


def _quoted(name: str) -> str:
    """A name inside a quoted selector."""
    return "".join(f"\\{ord(c):x} " if c in '"\\\n' else c for c in name)

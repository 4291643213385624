"""What is taken away from an assembly: its JSON, and its print pack as PDF."""

from __future__ import annotations

import json
from typing import Protocol

from fastapi import APIRouter, Request, Response

from rivetwright.bench.head_table import HeadTable, head_table
from rivetwright.bench.result import result
from rivetwright.engines.checks import Finding
from rivetwright.engines.plan import WorkedPlan
from rivetwright.errors import NotFound, Refusal
from rivetwright.texts.say import say_finding
from rivetwright.web.figures import system_of
from rivetwright.web.pages.assembly import opened_assembly

router = APIRouter()
PAPERS = ("letter", "a4")


class PackBytes(Protocol):
    """Makes the print pack of an assembly: hole maps and hole table."""

    def __call__(
        self, worked_plan: WorkedPlan, *, paper: str, heads: HeadTable
    ) -> bytes:
        """The PDF file."""
        ...


@router.get("/assembly/{key}/plan.json")
def json_download(request: Request, key: str) -> Response:
    """The worked-out assembly as JSON, as the command line writes it."""
    _, assembly = opened_assembly(request, key)
    system = system_of(assembly.worked_plan)

    def say(finding: Finding) -> dict[str, str]:
        words = say_finding(finding, system)
        return {"found": words.found, "allowed": words.allowed, "do": words.do}

    written = result(assembly.worked_plan, say)
    return Response(
        json.dumps(written, ensure_ascii=False, indent=1) + "\n",
        media_type="application/json",
        headers={"content-disposition": f'attachment; filename="{key}.json"'},
    )


@router.get("/assembly/{key}/map.pdf")
def pdf_download(request: Request, key: str) -> Response:
    """The hole maps and the hole table of an assembly on paper."""
    _, assembly = opened_assembly(request, key)
    paper = request.query_params.get("paper", "letter")
    if paper not in PAPERS:
        raise Refusal(
            asked="print the assembly",
            found=f"paper={paper}",
            allowed="letter or a4",
            do="use the print links of the assembly",
        )
    pack_bytes: PackBytes | None = request.app.state.pack_bytes
    if pack_bytes is None:
        raise NotFound(
            asked="print the assembly",
            found="pages that were opened without the printing part",
            allowed="pages that the command rivetwright serve opened",
            do="start them with that command, or print this page from the browser",
        )
    _, heads = head_table(request.app.state.workshop, key)
    raw = pack_bytes(assembly.worked_plan, paper=paper, heads=heads)
    name = f'inline; filename="{key}-{paper}.pdf"'
    headers = {"content-disposition": name}
    return Response(raw, media_type="application/pdf", headers=headers)

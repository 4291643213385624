"""The first page: every assembly of the folder, and what to do first."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from importlib.resources import files

from fastapi import APIRouter, Request, Response

from rivetwright.bench.open import Assembly
from rivetwright.bench.workshop import Opened, Workshop
from rivetwright.engines.checks import Finding
from rivetwright.model.severity import Severity
from rivetwright.web.addresses import hole_words, lit_address
from rivetwright.web.pages.show import show

router = APIRouter()
STATES = ("planned", "drilled", "open", "hold", "set")


@dataclass(frozen=True)
class Summary:
    """One line of the list: an assembly with its counts."""

    assembly: Assembly
    hole_count: int
    states: tuple[tuple[str, int], ...]
    severities: tuple[tuple[Severity, int], ...]


@dataclass(frozen=True)
class First:
    """What to do first: a finding to clear, and where it is shown."""

    assembly: Assembly
    finding: Finding
    holes: str
    address: str


def summary(assembly: Assembly) -> Summary:
    """Counts of one assembly."""
    worked_plan = assembly.worked_plan
    holes = worked_plan.worked.holes
    states = Counter(holes.state(hole) for hole in range(len(holes)))
    found = Counter(finding.severity for finding in worked_plan.findings)
    return Summary(
        assembly,
        len(holes),
        tuple((state, states[state]) for state in STATES if states[state]),
        tuple((kind, found[kind]) for kind in Severity if found[kind]),
    )


def first_of(opened: Opened) -> First | None:
    """The gravest finding of the first assembly that has one; notes hold nobody up."""
    for severity in (Severity.STOP, Severity.CHECK):
        for assembly in opened.project.assemblies:
            for finding in assembly.worked_plan.findings:
                if finding.severity is severity:
                    holes = hole_words(assembly.worked_plan, finding.holes)
                    address = lit_address(assembly, finding)
                    return First(assembly, finding, holes, address)
    return None


def starting_plan() -> str:
    """A small plan file to begin from, as the empty page shows it."""
    file = files("rivetwright.web") / "first-plan.yaml"
    return file.read_text(encoding="utf-8")


@router.get("/")
def project_show(request: Request) -> Response:
    """The list of assemblies, or what to do where there is none yet."""
    workshop: Workshop = request.app.state.workshop
    opened = workshop.now()
    project = opened.project
    return show(
        request,
        "project.html",
        here="/",
        opened=opened,
        project=project,
        summaries=[summary(one) for one in project.assemblies],
        first=first_of(opened),
        faults=[fault for refusal in project.refused for fault in refusal.faults],
        starting_plan="" if project.assemblies else starting_plan(),
    )

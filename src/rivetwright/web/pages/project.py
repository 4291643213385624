"""The first page: what to do next, what waits, what was left open, how far it is."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from importlib.resources import files

from fastapi import APIRouter, Request, Response
from markupsafe import Markup

from rivetwright.bench.home import Home, home
from rivetwright.bench.open import Assembly
from rivetwright.bench.workshop import Opened, Workshop
from rivetwright.drawing.how_far import how_far_svg
from rivetwright.engines.checks import Finding
from rivetwright.model.severity import Severity
from rivetwright.texts.work_words import (
    joined_names,
    say_day,
    say_range,
    say_time,
    say_wait,
)
from rivetwright.web.addresses import hole_words, lit_address
from rivetwright.web.pages.show import show
from rivetwright.web.pictures import for_page
from rivetwright.web.work_lines import TurnLine, turn_lines

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


@dataclass(frozen=True)
class FarLine:
    """How far an assembly is: its bar, and its figures in words."""

    name: str
    bar: Markup
    set_count: int
    hole_count: int
    left: str


@dataclass(frozen=True)
class HomeLines:
    """What the first page shows of the work, in words."""

    home: Home
    day: str
    clock: str
    free: str
    turns: tuple[TurnLine, ...]
    whole: str
    awaited: tuple[tuple[str, str], ...]
    left_open: tuple[tuple[str, str, str], ...]
    far: tuple[FarLine, ...]
    left: str
    low: str
    high: str
    hours: str


def home_lines(found: Home) -> HomeLines:
    """The first page in words."""
    told, names = found.tonight, found.tonight.work.names
    minutes, whole = found.minutes, told.now.minutes
    return HomeLines(
        found,
        say_day(told.session.begins.date()),
        f"{told.session.begins:%H:%M}",
        say_time(told.session.minutes),
        turn_lines(told),
        say_range(whole) if whole else "",
        tuple((say_wait(o.wait), say_time(o.behind_minutes)) for o in found.awaited),
        tuple(
            (names[o.assembly], ", ".join(joined_names(o.names)), say_wait(o.wait))
            for o in found.left_open
        ),
        tuple(
            FarLine(
                one.name,
                for_page(
                    how_far_svg(one.name, one.set_count, one.free_count, one.hole_count)
                ),
                one.set_count,
                one.hole_count,
                say_range(one.minutes) if one.minutes else "",
            )
            for one in found.far
        ),
        say_time(minutes.likely) if minutes else "",
        say_time(minutes.low) if minutes else "",
        say_time(minutes.high) if minutes else "",
        say_time(found.booked_minutes),
    )


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
        lines=home_lines(home(workshop)) if project.assemblies else None,
        faults=[fault for refusal in project.refused for fault in refusal.faults],
        starting_plan="" if project.assemblies else starting_plan(),
    )

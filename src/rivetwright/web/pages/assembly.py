"""The assembly page: hole map, findings, filter, hole table and hole panel."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Annotated, Any

from fastapi import APIRouter, Form, Request, Response
from fastapi.responses import RedirectResponse
from markupsafe import Markup

from rivetwright.bench.answers import answer_finding, answers_to
from rivetwright.bench.head_table import heads_of_hole
from rivetwright.bench.open import Assembly
from rivetwright.bench.workshop import Opened, Workshop
from rivetwright.drawing.hole_map import face_view
from rivetwright.drawing.view import SIDES, Look, find_face
from rivetwright.engines.checks import Finding
from rivetwright.engines.plan import WorkedPlan
from rivetwright.errors import NotFound
from rivetwright.model.outline import Face
from rivetwright.model.severity import Severity
from rivetwright.record.devices import MARKS, OWNER
from rivetwright.record.state import Answered
from rivetwright.texts.head_line import HeadLineWords, say_line
from rivetwright.texts.say import FindingWords, say_finding
from rivetwright.web.addresses import (
    assembly_address,
    finding_key,
    hole_ranges,
    why_address,
)
from rivetwright.web.asked import UNPLACED, Asked, kept_room, read_asked, read_room
from rivetwright.web.cards import card
from rivetwright.web.figures import system_of
from rivetwright.web.hole_lines import RowTable, choices, holes_of_face, row_tables
from rivetwright.web.pages.show import show
from rivetwright.web.pictures import (
    USUAL_PX,
    legend_picture,
    map_picture,
    strip_picture,
)
from rivetwright.web.senders import sender_of

router = APIRouter()


@dataclass(frozen=True)
class FaceTab:
    """One face to choose: its name, title, holes on it and what was found there."""

    name: str
    title: str
    hole_count: int
    worst: Severity | None
    address: str


@dataclass(frozen=True)
class FoundHoles:
    """The holes of one finding: its key, its face, its holes as written."""

    key: str
    face: str
    holes: str
    ranges: str
    address: str


@dataclass(frozen=True)
class FindingGroup:
    """Findings that read the same, row by row; `first` stands for all of them."""

    first: Finding
    words: FindingWords
    why: str
    found: tuple[FoundHoles, ...]
    answers: tuple[Answered, ...] = ()
    is_answered: bool = False


def opened_assembly(request: Request, key: str) -> tuple[Opened, Assembly]:
    """The folder as it is now, and one assembly of it.

    Raises:
        NotFound: the folder has no such assembly.
    """
    workshop: Workshop = request.app.state.workshop
    opened = workshop.now()
    return opened, opened.assembly(key)


@router.get("/assembly/{key}")
def assembly_show(request: Request, key: str) -> Response:
    """The page of one assembly."""
    opened, assembly = opened_assembly(request, key)
    asked = read_asked(assembly, request.query_params)
    worked_plan = assembly.worked_plan
    tables = row_tables(worked_plan, asked.face)
    lines = [line for table in tables for line in table.lines]
    found_names = {line.name for line in lines if line.matches(asked.wanted)}
    return show(
        request,
        "assembly.html",
        opened=opened,
        assembly=assembly,
        plan=worked_plan.worked.plan,
        asked=asked,
        tabs=face_tabs(assembly, asked),
        tables=tables,
        choices=choices(tables, asked.wanted),
        found_count=len(found_names),
        hole_count=len(lines),
        found_names=found_names,
        finding_groups=finding_groups(assembly, asked, answers_of(request, assembly)),
        saw=position_of(request),
        may_mark=sender_of(request).role in (OWNER, MARKS),
        card=card(assembly, asked.hole) if asked.hole else None,
        heads=said_heads(request, assembly, asked.hole) if asked.hole else [],
        has_record=request.app.state.workshop.has_record,
        is_page=False,
        strips=strips(worked_plan, tables),
        legend=legend_picture(),
        has_paper=request.app.state.pack_bytes is not None,
        **map_values(assembly, asked, kept_room(request.cookies, USUAL_PX)),
    )


@router.get("/assembly/{key}/map")
def map_show(request: Request, key: str) -> Response:
    """The map alone, for a page that turns it or has other room for it."""
    _, assembly = opened_assembly(request, key)
    asked = read_asked(assembly, request.query_params)
    if asked.face == UNPLACED:
        raise NotFound(
            asked="draw the hole map",
            found="rows that lie on no face",
            allowed="a face of this plan",
            do="read these rows in the hole table",
        )
    room = read_room(request.query_params, USUAL_PX)
    values = map_values(assembly, asked, room)
    return show(request, "map.html", assembly=assembly, asked=asked, **values)


def map_values(
    assembly: Assembly, asked: Asked, room_px: tuple[int, int]
) -> dict[str, Any]:
    """What the map's template needs."""
    if asked.face == UNPLACED:
        return {"face": None, "picture": None, "sides": [], "room": room_px}
    worked_plan = assembly.worked_plan
    _, face = find_face(worked_plan.worked.plan, asked.face)
    picture = map_picture(
        worked_plan, face.name, mirror=asked.mirror, turns=asked.turn, room_px=room_px
    )
    lie = sides(worked_plan, face, asked)
    return {"face": face, "picture": picture, "sides": lie, "room": room_px}


def sides(worked_plan: WorkedPlan, face: Face, asked: Asked) -> list[tuple[str, str]]:
    """Which named edge lies where as the map is turned: top, right, bottom, left."""
    look = Look(mirror=asked.mirror, quarter_turns=asked.turn)
    view, _ = face_view(worked_plan, face.name, look)
    names = face.edge_names
    where = {view.position(side): names.get(side, side) for side in SIDES}
    return [(place, where[place]) for place in ("left", "right", "top", "bottom")]


def face_tabs(assembly: Assembly, asked: Asked) -> list[FaceTab]:
    """Every face of the assembly, and the rows that lie on none."""
    worked_plan = assembly.worked_plan
    faces = [(face.name, face.title) for face in worked_plan.worked.plan.faces]
    if bool((worked_plan.worked.holes.face < 0).any()):
        faces.append((UNPLACED, ""))
    made = []
    for name, title in faces:
        holes = holes_of_face(worked_plan, name)
        here = set(holes)
        worst = next(
            (f.severity for f in worked_plan.findings if here.intersection(f.holes)),
            None,
        )
        address = asked.address(
            assembly, face=name, hole="", lit="", turn=0, mirror=False
        )
        made.append(FaceTab(name, title, len(holes), worst, address))
    return made


def answers_of(request: Request, assembly: Assembly) -> list[Answered]:
    """Answers to findings that were recorded for an assembly."""
    workshop: Workshop = request.app.state.workshop
    with workshop.lock:
        plan = assembly.worked_plan.worked.plan
        return list(workshop.state().assembly(plan.id).answers)


def said_heads(request: Request, assembly: Assembly, name: str) -> list[HeadLineWords]:
    """The heads that a hole had, in words."""
    hole = assembly.worked_plan.worked.holes.index(name)
    lines = heads_of_hole(request.app.state.workshop, assembly, hole)
    return [say_line(one, system_of(assembly.worked_plan)) for one in lines]


def position_of(request: Request) -> int:
    """How far the record goes that this page shows; -1 where none was begun."""
    workshop: Workshop = request.app.state.workshop
    return workshop.position() if workshop.has_record else -1


@router.post("/assembly/{key}/answer")
def answer_take(
    request: Request,
    key: str,
    finding: Annotated[list[str], Form()],
    answer: Annotated[str, Form()],
    by: Annotated[str, Form()],
    saw: Annotated[int, Form()],
    document: Annotated[str, Form()] = "",
) -> Response:
    """Record who answered for a finding."""
    _, assembly = opened_assembly(request, key)
    workshop: Workshop = request.app.state.workshop
    known = {
        finding_key(assembly.worked_plan, one): one
        for one in assembly.worked_plan.findings
    }
    for name in finding:
        if name not in known:
            raise NotFound(
                asked=f"answer the finding {name}",
                found="no such finding now",
                allowed="a finding of this plan",
                do="load the page again",
            )
    for name in finding:
        done = answer_finding(
            workshop,
            sender_of(request),
            known[name],
            answer=answer,
            by=by,
            document=document,
            saw=saw,
        )
        for _, refusal in done.refused:
            raise refusal
    first = known[finding[0]]
    face = first.worked.holes.row_of(first.holes[0]).face
    return RedirectResponse(assembly_address(key, face=face), status_code=303)


def finding_groups(
    assembly: Assembly, asked: Asked, answers: Sequence[Answered] = ()
) -> list[FindingGroup]:
    """Every finding; those of several rows that read the same stand together."""
    worked_plan = assembly.worked_plan
    holes, system = worked_plan.worked.holes, system_of(worked_plan)
    groups: dict[object, list[Finding]] = {}
    for finding in worked_plan.findings:
        words = say_finding(finding, system)
        groups.setdefault((finding.code, words), []).append(finding)
    return [
        FindingGroup(
            first := findings[0],
            say_finding(first, system),
            why_address(assembly.key, holes.name(first.holes[0]), first.quantity),
            tuple(found_holes(assembly, asked, finding) for finding in findings),
            tuple(
                one
                for one in answers
                if any(one in answers_to(finding, (one,)) for finding in findings)
            ),
            all(worked_plan.is_answered(f) for f in findings),
        )
        for findings in groups.values()
    ]


def found_holes(assembly: Assembly, asked: Asked, finding: Finding) -> FoundHoles:
    """Where a finding lies: its holes are all of one row."""
    worked_plan = assembly.worked_plan
    face = worked_plan.worked.holes.row_of(finding.holes[0]).face or UNPLACED
    key = finding_key(worked_plan, finding)
    address = asked.address(
        assembly, face=face, lit=key, hole="", wanted={}, turn=0, mirror=False
    )
    ranges = [str(one) for one in hole_ranges(worked_plan, finding.holes)]
    return FoundHoles(key, face, ", ".join(ranges), " ".join(ranges), address)


def strips(worked_plan: WorkedPlan, tables: list[RowTable]) -> list[Markup]:
    """Pictures of the rows whose holes have no place on the map."""
    return [
        strip_picture(worked_plan, table.row) for table in tables if not table.is_placed
    ]

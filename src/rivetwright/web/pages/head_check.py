"""Heads at the bench: which are due, one checked, the answer, what was decided."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from anyio.to_thread import run_sync
from fastapi import APIRouter, Request, Response
from fastapi.responses import RedirectResponse
from starlette.datastructures import FormData

from rivetwright.bench.head_removal import gates_of
from rivetwright.bench.head_tools import SetWith, moved_since, set_with, usual_with
from rivetwright.bench.heads import Heads, JudgedHead, called_now
from rivetwright.bench.heads_due import due_heads
from rivetwright.bench.keep import Answer, keep_here
from rivetwright.bench.open import Assembly
from rivetwright.bench.workshop import Workshop
from rivetwright.engines.heads.called import Called
from rivetwright.engines.heads.sampling import sampling_plan
from rivetwright.record.fact import FACT_ID
from rivetwright.record.kinds import BLIND_LOOKS, GAUGE_SIDES, SOLID_LOOKS, Kind
from rivetwright.standards.shop_heads import limit_sets
from rivetwright.texts.head_card import say_cause, say_head, say_limits
from rivetwright.texts.head_words import look_words, say_gate, say_question
from rivetwright.texts.learning_words import say_alarm
from rivetwright.texts.say import System
from rivetwright.units.wording import show_length
from rivetwright.web.addresses import head_address, heads_due_address
from rivetwright.web.bench_view import fresh_id
from rivetwright.web.figures import system_of
from rivetwright.web.head_forms import (
    OF_BEFORE,
    OF_CARD,
    Entered,
    meant_fields,
    read_head,
)
from rivetwright.web.pages.api import workshop_of
from rivetwright.web.pages.show import show
from rivetwright.web.pictures import defect_picture
from rivetwright.web.senders import sender_of

router = APIRouter()
HOLDS = {True: "yes", False: "no", None: "unknown"}


@dataclass(frozen=True)
class AtHead:
    """One hole whose head is checked: plan, record, unit."""

    workshop: Workshop
    key: str
    assembly: Assembly
    heads: Heads
    hole: int
    system: System

    @property
    def name(self) -> str:
        """The hole as the plan names it."""
        return self.heads.ids.holes.name(self.hole)

    @property
    def hole_id(self) -> str:
        """Its permanent id."""
        return self.heads.ids.holes.id(self.hole)

    @property
    def callout(self) -> str:
        """The rivet that sits there, else the one that the plan asks for."""
        rivet = self.heads.now(self.hole).rivet
        return rivet.callout if rivet else str(self.heads.ids.holes.callout(self.hole))

    @property
    def called(self) -> Called | None:
        """What is called for, by the rivet that sits there."""
        rivet = self.heads.now(self.hole).rivet
        return called_now(self.heads.worked, self.hole, rivet.callout if rivet else "")

    def keep(self, request: Request, body: Kind, fact_id: str) -> Answer:
        """Take what a form says into the record.

        Raises:
            Refusal: it is not taken.
        """
        plan = self.heads.ids.holes.plan
        is_id = bool(FACT_ID.match(fact_id))
        answer = keep_here(
            self.workshop,
            sender_of(request),
            body,
            assembly=plan.id,
            revision=plan.revision,
            saw=self.workshop.position(),
            fact_id=fact_id if is_id else "",
        )
        for _, refusal in answer.refused:
            raise refusal
        return answer

    def page(self, request: Request, template: str, **values: Any) -> Response:
        """A page about this head."""
        return show(
            request,
            template,
            here="/bench",
            key=self.key,
            at=self,
            plan=self.heads.ids.holes.plan,
            now=self.heads.now(self.hole),
            fresh_id=fresh_id,
            look_words=look_words,
            say_question=say_question,
            defect=defect_picture,
            is_marking=sender_of(request).role != "reads",
            **values,
        )


def heads_of(workshop: Workshop, key: str) -> tuple[Assembly, Heads]:
    """The heads of an assembly as the record has them now.

    Raises:
        NotFound: no such assembly, or the record was not begun.
    """
    with workshop.lock:
        opened = workshop.now()
        assembly = opened.assembly(key)
        workshop.begun()
        shop = opened.project.shop
        return assembly, Heads(assembly.worked_plan, workshop.state(), shop)


def at_head(request: Request, key: str, name: str) -> AtHead:
    """The head that a page is about.

    Raises:
        NotFound: no such assembly or hole, or the record was not begun.
    """
    workshop = workshop_of(request)
    assembly, heads = heads_of(workshop, key)
    hole = heads.ids.holes.index(name)
    system = system_of(assembly.worked_plan)
    return AtHead(workshop, key, assembly, heads, hole, system)


@router.get("/bench/{key}/heads")
def heads_due_show(
    request: Request, key: str, hole: str = "", seen: str = ""
) -> Response:
    """The heads to measure now, those found wanting, and any other by its name."""
    assembly, heads = heads_of(workshop_of(request), key)
    if hole.strip():
        heads.ids.holes.index(hole.strip())
        return RedirectResponse(head_address(key, hole.strip()), status_code=303)
    wanting = [
        (one, tuple(look_words(word) for word in words))
        for one in heads.every()
        if one.is_there and (words := heads.wanting(one.hole))
    ]
    return show(
        request,
        "head_due.html",
        here="/bench",
        key=key,
        plan=assembly.worked_plan.worked.plan,
        due=due_heads(heads),
        wanting={one.name: words for one, words in wanting},
        stated=sampling_plan(),
        seen=seen,
    )


@router.get("/bench/{key}/head/{name}")
def check_show(request: Request, key: str, name: str) -> Response:
    """The form for checking one head."""
    at = at_head(request, key, name)
    return _form(request, at, {})


def _form(
    request: Request,
    at: AtHead,
    written: dict[str, str],
    entered: Entered | None = None,
    judged: JudgedHead | None = None,
) -> Response:
    """The form, with what was typed, what was refused, and what is asked about."""
    called = at.called
    choices = _choices(at)
    usual = usual_with(at.heads, choices, at.hole)
    key = written.get("with", usual.key if usual else "")
    moved = [one for one in choices if one.key == key and one.before_mm is not None]
    is_blind = at.heads.entered(at.hole, _nothing(at)).is_blind
    verdict = judged.verdict if judged else None
    questions = verdict.questions if verdict else ()
    return at.page(
        request,
        "head_check.html",
        status=409 if entered else 200,
        called=called,
        callout=at.callout,
        limits=say_limits(called, system=at.system) if called else None,
        limit_sets=limit_sets() if called else (),
        sides=GAUGE_SIDES,
        looks=BLIND_LOOKS if is_blind else SOLID_LOOKS,
        is_blind=is_blind,
        choices=choices,
        usual=usual.key if usual else "",
        gaps=[
            (name, show_length(gap_mm, system=at.system, with_unit=True))
            for one in moved
            for name, gap_mm in ((OF_BEFORE, one.before_mm), (OF_CARD, one.gap_mm))
            if gap_mm is not None
        ],
        written=written,
        ticked=set(entered.body.looks) if entered else set(),
        faults=entered.faults if entered else {},
        is_gauged=bool(entered and entered.body.gauge),
        questions=[
            (one, [(m, meant_fields(m, entered, at.system)) for m in one.meant])
            for one in questions
            if entered
        ],
        unit=at.system,
    )


def _choices(at: AtHead) -> tuple[SetWith, ...]:
    """What the head may have been set with; which of them the card has left."""
    choices = set_with(at.assembly.worked_plan, at.heads.shop, at.hole)
    return moved_since(at.heads, choices, at.hole)


def _nothing(at: AtHead) -> Any:
    """A look at which nothing was entered."""
    return read_head(FormData(), at.hole_id, at.system, None).body


@router.post("/bench/{key}/head/{name}")
async def check_take(request: Request, key: str, name: str) -> Response:
    """Judge what was entered; a doubtful size is asked about before it is kept."""
    form = await request.form()
    return await run_sync(_take, request, key, name, form)


def _take(request: Request, key: str, name: str, form: FormData) -> Response:
    at = at_head(request, key, name)
    choices = _choices(at)
    entered = read_head(form, at.hole_id, at.system, at.called, choices)
    judged = at.heads.entered(at.hole, entered.body)
    is_asked = judged.verdict is not None and judged.verdict.questions
    if entered.faults or is_asked:
        return _form(request, at, entered.written, entered, judged)
    kept = at.keep(request, entered.body, entered.written.get("id", ""))
    if judged.is_right_by_eye:
        address = f"{heads_due_address(key)}?seen={at.name}"
    else:
        address = head_address(key, at.name, "answer", check=kept.taken[0].id)
    return RedirectResponse(address, status_code=303)


@router.get("/bench/{key}/head/{name}/answer")
def answer_show(request: Request, key: str, name: str, check: str = "") -> Response:
    """What is to be said of a head, and the decision."""
    return answer_page(request, at_head(request, key, name), check)


def _warned(at: AtHead, judged: JudgedHead) -> tuple[str, ...]:
    """The alarm that the heads of the same dies raised, while it stands."""
    raised = at.workshop.now().heads.standing(judged.seen.fact)
    return say_alarm(raised.alarm, raised.since, at.system) if raised else ()


def answer_page(
    request: Request, at: AtHead, check: str, *, lacks_reason: str = ""
) -> Response:
    """The answer to one look; the last one where none is named."""
    looks = at.heads.of_hole(at.hole)
    found = [one for one in looks if one.seen.fact == check] or list(looks[-1:])
    if not found:
        return RedirectResponse(head_address(at.key, at.name), status_code=303)
    judged = found[-1]
    return at.page(
        request,
        "head_answer.html",
        status=409 if lacks_reason else 200,
        judged=judged,
        words=say_head(judged, at.system),
        older=[say_head(one, at.system) for one in looks if one is not judged],
        patterns=[say_cause(one, at.system) for one in at.heads.patterns()],
        look_at=_warned(at, judged),
        lacks_reason=lacks_reason,
        gates=[
            (HOLDS[one.holds], say_gate(one)) for one in gates_of(at.heads, at.hole)
        ],
    )

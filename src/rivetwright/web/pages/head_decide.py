"""What is done about a head: the decision, taking the rivet out, the empty hole."""

from __future__ import annotations

from anyio.to_thread import run_sync
from fastapi import APIRouter, Request, Response
from fastapi.responses import RedirectResponse
from starlette.datastructures import FormData

from rivetwright.bench.head_removal import empty_hole, removal_of
from rivetwright.bench.heads import JudgedHead
from rivetwright.engines.heads.decide import Action, Decision
from rivetwright.engines.heads.square import (
    WAYS_TO_MEASURE,
    OffSquare,
    lean_of_shift_deg,
    lean_of_tip_deg,
    off_square,
)
from rivetwright.errors import FactRefused, QuantityRefused, Refusal
from rivetwright.record.kinds import DECISIONS, HeadDecided, RivetRemoved
from rivetwright.texts.head_card import say_decision
from rivetwright.texts.head_words import say_reason, say_removal_step
from rivetwright.texts.say import Said, say_value
from rivetwright.units.length import parse_length_mm
from rivetwright.units.wording import show_number
from rivetwright.web.addresses import head_address
from rivetwright.web.pages.head_check import AtHead, answer_page, at_head

router = APIRouter()


@router.post("/bench/{key}/head/{name}/decide")
async def decision_take(request: Request, key: str, name: str) -> Response:
    """Take a decision about a head, or about an empty hole, into the record."""
    form = await request.form()
    return await run_sync(_decide, request, key, name, form)


def _decide(request: Request, key: str, name: str, form: FormData) -> Response:
    at = at_head(request, key, name)
    check, decision = str(form.get("check", "")), str(form.get("decision", ""))
    judged = next(
        (one for one in at.heads.of_hole(at.hole) if one.seen.fact == check), None
    )
    size_mm = _size_mm(at, str(form.get("size", "")))
    advised = judged.decision if judged else None
    if judged is None and size_mm is not None:
        advised = empty_hole(at.heads, at.hole, size_mm)
    if decision not in DECISIONS:
        raise _unknown(decision)
    reason = str(form.get("reason", "")).strip()
    if not reason and advised is not None and advised.action == decision:
        reason = "; ".join(_reasons(at, advised))
    if not reason and judged is not None:
        return answer_page(request, at, check, lacks_reason=decision)
    body = HeadDecided(
        (at.hole_id,),
        decision,
        reason,
        str(advised.action) if advised else "",
        check if judged else "",
        tuple(str(one.cause) for one in judged.causes) if judged else (),
        _sources(judged, advised),
        str(form.get("by", "")).strip()[:200],
        _shim_mm(advised) if decision == Action.SQUEEZE_AGAIN else None,
        size_mm,
    )
    at.keep(request, body, str(form.get("id", "")))
    return RedirectResponse(_next(at, decision, check), status_code=303)


def _next(at: AtHead, decision: str, check: str) -> str:
    """Where one goes from a decision."""
    if decision == Action.REPLACE and check:
        return head_address(at.key, at.name, "removal")
    page = "answer" if check else "hole"
    return head_address(at.key, at.name, page, check=check, kept="" if check else "yes")


def _unknown(decision: str) -> Refusal:
    """A decision by a word that is none."""
    return FactRefused(
        asked="record a decision about a head",
        found=decision[:80] or "no decision",
        allowed=", ".join(DECISIONS),
        do="go back and press one of the buttons",
    )


def _reasons(at: AtHead, advised: Decision) -> list[str]:
    """The advice's reasons in words."""
    return [say_reason(one, advised.not_again, at.system) for one in advised.reasons]


def _sources(judged: JudgedHead | None, advised: Decision | None) -> tuple[str, ...]:
    """What the advice rested on, each source once."""
    found = [one.source for one in advised.reasons if one.source] if advised else []
    if judged is not None:
        found += [one.source for one in judged.blind]
    return tuple(dict.fromkeys(str(one) for one in found))


def _shim_mm(advised: Decision | None) -> float | None:
    """How much more shim the advice asks for."""
    again = advised.again if advised else None
    return again.shim_more_mm.central if again else None


def _size_mm(at: AtHead, written: str) -> float | None:
    """A size of the page's address; None where nothing is written.

    Raises:
        QuantityRefused: it is not understood.
    """
    if not written.strip():
        return None
    return float(parse_length_mm(written, bare_unit=at.system, decimal_comma=True))


@router.get("/bench/{key}/head/{name}/removal")
def removal_show(request: Request, key: str, name: str) -> Response:
    """The card for taking the rivet out, with its cautions."""
    at = at_head(request, key, name)
    card = removal_of(at.heads, at.hole)
    settled = at.heads.now(at.hole).settled
    return at.page(
        request,
        "head_removal.html",
        steps=[(one, say_removal_step(one, at.system)) for one in card.steps]
        if card
        else [],
        source=card.source if card else "",
        reason=settled[-1].body.reason if settled else "",
    )


@router.post("/bench/{key}/head/{name}/out")
async def out_take(request: Request, key: str, name: str) -> Response:
    """The rivet is out: take it into the record, and measure the hole."""
    form = await request.form()
    return await run_sync(_out, request, key, name, form)


def _out(request: Request, key: str, name: str, form: FormData) -> Response:
    at = at_head(request, key, name)
    reason = str(form.get("reason", "")).strip()
    if not reason:
        raise FactRefused(
            asked="record a rivet taken out",
            found="no reason",
            allowed="a reason in a few words",
            do="go back and write why it came out",
        )
    at.keep(request, RivetRemoved((at.hole_id,), reason), str(form.get("id", "")))
    return RedirectResponse(head_address(key, at.name, "hole"), status_code=303)


@router.get("/bench/{key}/head/{name}/hole")
def empty_show(
    request: Request, key: str, name: str, size: str = "", kept: str = ""
) -> Response:
    """The hole whose rivet is out: measure it, and what goes in."""
    at = at_head(request, key, name)
    fault = None
    try:
        size_mm = _size_mm(at, size)
    except QuantityRefused as refusal:
        size_mm, fault = None, refusal
    decision = None if size_mm is None else empty_hole(at.heads, at.hole, size_mm)
    called = at.called
    most = say_value("most_mm", called.hole_mm.high, at.system) if called else Said("")
    return at.page(
        request,
        "head_hole.html",
        size=size,
        fault=fault,
        most=most,
        words=say_decision(decision, at.system) if decision else None,
        kept=kept,
        settled=[one for one in at.heads.now(at.hole).settled if not one.body.check],
    )


@router.get("/bench/{key}/head/{name}/square")
def square_show(
    request: Request,
    key: str,
    name: str,
    tip: str = "",
    out: str = "",
    shift: str = "",
) -> Response:
    """How to measure whether a hole is square, and what its lean does."""
    at = at_head(request, key, name)
    fault, found = None, None
    try:
        found = _square(at, tip, out, shift)
    except QuantityRefused as refusal:
        fault = refusal
    return at.page(
        request,
        "head_square.html",
        ways=WAYS_TO_MEASURE,
        tip=tip,
        out=out,
        shift=shift,
        fault=fault,
        found=found and _square_words(at, found),
    )


def _square(at: AtHead, tip: str, out: str, shift: str) -> OffSquare | None:
    """What the lean does, from a drill standing in the hole or from its far side."""
    called = at.called
    tip_mm, out_mm, shift_mm = (_size_mm(at, one) for one in (tip, out, shift))
    if called is None:
        return None
    if tip_mm is not None and out_mm is not None:
        lean = lean_of_tip_deg(tip_mm, out_mm)
    elif shift_mm is not None:
        lean = lean_of_shift_deg(shift_mm, called.grip_mm)
    else:
        return None
    sizes = called.shank_mm, called.hole_mm.central, called.grip_mm
    return off_square(*sizes, called.head_width_mm, lean)


def _square_words(at: AtHead, found: OffSquare) -> dict[str, str]:
    """The figures of a hole off square in words."""
    lengths = ("shift_mm", "wedge_mm", "left_mm", "feeler_mm")
    degrees = ("lean_deg", "tilt_deg", "forgives_deg")
    said = {
        name: str(say_value(name, getattr(found, name), at.system)) for name in lengths
    }
    said |= {
        name: show_number(getattr(found, name), digits=1, trim=True) + "°"
        for name in degrees
    }
    return said | {"needs_feeler": "yes" if found.needs_feeler else ""}

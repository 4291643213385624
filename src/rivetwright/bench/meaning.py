"""Whether the words of a mark mean something here: names, callouts, drills, days.

A word that nobody can read later is worth asking about now. What another revision
may have meant is not asked about: a mark against an older plan is what happened.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta

from rivetwright.bench.hours import zone_of
from rivetwright.bench.workshop import Workshop
from rivetwright.errors import (
    CodeRefused,
    FactRefused,
    OutsideTable,
    QuantityRefused,
    nearest_hint,
)
from rivetwright.model.plan import Plan
from rivetwright.record.fact import Fact
from rivetwright.record.kinds import (
    DECISIONS,
    GAUGE_SIDES,
    LOOKS,
    OPERATIONS,
    PART,
    STOCK,
    SUPPLIES,
    BulletinMet,
    Counted,
    Delivered,
    GateTicked,
    HeadChecked,
    HeadDecided,
    HolderMoved,
    HoldPut,
    HoleOpenedUp,
    HoleWorked,
    HoursBooked,
    Kind,
    LeftOpen,
    Ordered,
    Received,
    RivetRemoved,
    RivetsSet,
)
from rivetwright.record.order import corrected, read_utc
from rivetwright.record.state import State
from rivetwright.standards.codes import parse_rivet_code
from rivetwright.units.drills import drill
from rivetwright.units.length import parse_length_mm

DAY_MINUTES = 24 * 60
AT_HOLES = (
    *(HoleWorked, HolderMoved, RivetsSet, LeftOpen),
    *(HeadChecked, HeadDecided, RivetRemoved, HoleOpenedUp, HoldPut),
)
NAMED_MAX = 60  # names shown in a refusal; a plan may have hundreds
Supply = Ordered | Delivered | Received | Counted


@dataclass(frozen=True)
class Meaning:
    """What names mean something where a mark was made."""

    workshop: Workshop
    state: State
    fact: Fact

    @property
    def plans(self) -> list[Plan]:
        """Every revision of the mark's assembly in the folder; all where it is none."""
        found = [
            one.worked_plan.worked.plan
            for one in self.workshop.known().project.assemblies
        ]
        own = self.fact.assembly
        return [plan for plan in found if not own or plan.id == own]

    @property
    def is_of_unknown_revision(self) -> bool:
        """Whether the mark was made by an older plan that the folder has no more."""
        issued = self.state.assembly(self.fact.assembly).revision
        seen = self.fact.revision
        kept = {plan.revision for plan in self.plans}
        return 0 < seen < issued and seen not in kept


def see_to_words(workshop: Workshop, state: State, fact: Fact) -> None:
    """See that a mark says what somebody can read later.

    Raises:
        FactRefused: a word means nothing, or holes, minutes or a day cannot be so.
    """
    meaning = Meaning(workshop, state, fact)
    body = fact.body
    if isinstance(body, AT_HOLES) and not body.holes:
        raise _refused(
            f"record {body.name}",
            "no hole",
            "at least one hole",
            "name the holes, as A12:18-20",
        )
    _see_work(meaning, body)
    _see_names(meaning, body)
    if isinstance(body, HoursBooked):
        _see_hours(meaning, body)


def _see_work(meaning: Meaning, body: Kind) -> None:
    """What was done to holes, and with what."""
    match body:
        case HoleWorked():
            _one_of("operation", body.operation, OPERATIONS)
        case HeadChecked():
            for look in body.looks:
                _one_of("look of a head", look, LOOKS)
            for side, _, _ in body.gauge:
                _one_of("side of a gauge", side, GAUGE_SIDES)
        case HeadDecided():
            _see_decision(body)
        case HoleOpenedUp():
            _see_drill(body.drill, meaning)
        case RivetsSet():
            _see_callout(body.callout, meaning)
        case HoldPut() if body.callout:
            _see_callout(body.callout, meaning)
        case BulletinMet() if not (body.how.strip() and body.by.strip()):
            raise _refused(
                "record a bulletin as done",
                "no word of how it was done, or by whom",
                "both, in words",
                "write how and by whom",
            )
        case Ordered() | Delivered() | Received() | Counted():
            _see_supply(meaning, body)


def _see_decision(body: HeadDecided) -> None:
    """A decision by one of its words, with its reason."""
    _one_of("decision", body.decision, DECISIONS)
    if not body.reason.strip():
        raise _refused(
            "record a decision about a head",
            f"{body.decision}, without a reason",
            "a decision with its reason",
            "write why, in a few words",
        )


def _see_names(meaning: Meaning, body: Kind) -> None:
    """Part, step and people, by names that a plan or the shop has."""
    if isinstance(body, RivetsSet):
        shop = meaning.workshop.known().project.shop
        people = {one.id for one in shop.people} if shop else set()
        for person in body.people if people else ():
            _one_of("person", person, (*people, meaning.fact.person))
    if meaning.is_of_unknown_revision:
        return
    step = step_named(body)
    if step:
        names = [one.name for plan in meaning.plans for one in plan.steps]
        _one_of("step", step, names if meaning.fact.assembly else ())
    if isinstance(body, HoleWorked) and body.part:
        _one_of("part", body.part, parts_named(meaning.plans))


def step_named(body: Kind) -> str:
    """The step that a mark names, by itself or as that of a list; empty for none."""
    if isinstance(body, GateTicked):
        return body.gate.partition(":")[2]
    return str(getattr(body, "step", ""))


def parts_named(plans: Iterable[Plan]) -> list[str]:
    """Every part that plans name: drawn, waited for, or needed."""
    found: dict[str, None] = {}
    for plan in plans:
        stacks = [row.stack for row in plan.rows]
        stacks += [one.stack for one in plan.open_holes]
        needs = [need for step in plan.steps for need in step.needs]
        names = (
            *(part.name for part in plan.parts),
            *(sheet.part for stack in stacks for sheet in stack),
            *(one.part for one in plan.open_holes),
            *(need.name for need in needs if need.kind in (PART, "delivery")),
            *(one.part for one in plan.opening.deliveries),
        )
        found |= dict.fromkeys(filter(None, names))
    return list(found)


def _see_supply(meaning: Meaning, body: Supply) -> None:
    """A part that some plan knows, rivets by their code, or a tool by any name."""
    _one_of("kind of supply", body.what, SUPPLIES)
    if not body.named.strip():
        raise _refused(
            f"record {body.name}", "no name", f"the {body.what} by name", "name it"
        )
    if body.what == STOCK:
        _see_callout(body.named, meaning)
    elif body.what == PART:
        every = meaning.workshop.known().project.assemblies
        known = parts_named(one.worked_plan.worked.plan for one in every)
        told = [name for what, name in meaning.state.deliveries if what == PART]
        _one_of("part", body.named, (*known, *told))


def _see_callout(callout: str, meaning: Meaning) -> None:
    """A rivet code, a blind code of a plan, or a code that the shop has in stock."""
    blind = [one.code for plan in meaning.plans for one in plan.blind_codes]
    shop = meaning.workshop.known().project.shop
    stock = [one.code for one in shop.stock] if shop else []
    if callout in (*blind, *stock):
        return
    try:
        parse_rivet_code(callout)
    except CodeRefused as problem:
        own = f", or one of {', '.join(blind)}" if blind else ""
        raise _refused(
            "read a callout",
            callout or "no callout",
            f"{problem.allowed}{own}",
            "write the code as on the tin",
        ) from problem


def _see_drill(name: str, meaning: Meaning) -> None:
    """A drill of the number or letter series, or a diameter."""
    unit = next((plan.unit for plan in meaning.plans), "in")
    try:
        drill(name)
    except OutsideTable:
        try:
            parse_length_mm(name, bare_unit="mm" if unit == "mm" else "in")
        except QuantityRefused as problem:
            raise _refused(
                "read a drill",
                name or "no drill",
                "a drill of the number or letter series as No. 30, or its diameter "
                "as 1/8 or 3.3 mm",
                "write what stands on the shank",
            ) from problem


def _see_hours(meaning: Meaning, body: HoursBooked) -> None:
    """No day has more minutes than a day, and none that is to come is booked."""
    if body.minutes > DAY_MINUTES:
        raise _refused(
            "book hours",
            f"{body.minutes} min on {body.day or 'no day'}",
            f"at most {DAY_MINUTES} min, which is a whole day",
            "write the minutes that were worked; another day is booked by itself",
        )
    last = _own_day(meaning)
    if not body.day or date.fromisoformat(body.day) > last:
        raise _refused(
            "book hours",
            f"the day {body.day or 'left out'}",
            f"a day up to {last}, on which this is written",
            "write the day on which the work was done",
        )


def _own_day(meaning: Meaning) -> date:
    """The day of a mark on the clock beside it or in the shop; no wild clock's."""
    fact, workshop = meaning.fact, meaning.workshop
    at = min(read_utc(corrected(fact)), workshop.clock())
    ahead = max(-DAY_MINUTES, min(DAY_MINUTES, fact.offset_min))
    there = at.astimezone(zone_of(workshop.time_zone))
    return max((at + timedelta(minutes=ahead)).date(), there.date())


def _one_of(what: str, word: str, known: Iterable[str]) -> None:
    """See that a word is one of those that are known."""
    names = list(dict.fromkeys(known))
    if word in names:
        return
    shown = ", ".join(names[:NAMED_MAX]) or f"a {what} of the assembly it belongs to"
    more = f" and {len(names) - NAMED_MAX} more" if len(names) > NAMED_MAX else ""
    raise _refused(
        f"read the {what} of a mark",
        word or f"no {what}",
        f"one of {shown}{more}{nearest_hint(word, names)}",
        f"choose the {what} from these, or write it as a note",
    )


def _refused(asked: str, found: str, allowed: str, do: str) -> FactRefused:
    return FactRefused(asked=asked, found=found, allowed=allowed, do=do)

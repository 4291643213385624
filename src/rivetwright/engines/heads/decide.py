"""What to do about a head: leave, squeeze again, take it out, or ask, and why.

The hole is the dearest thing: a head inside its limits stays. What cannot be mended is
replaced; a second removal, several side by side, and joints that carry go to the
inspector. The drawing and the kit supplier decide over all of it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from enum import StrEnum

from rivetwright.engines.heads.again import RIGID, Again, NotAgain, squeeze_again
from rivetwright.engines.heads.blind import BlindRemark
from rivetwright.engines.heads.next_gates import Gate, Gated
from rivetwright.engines.heads.seen import Level
from rivetwright.engines.heads.suspect import Cause, Suspect
from rivetwright.engines.heads.verdict import HeadVerdict, Overall
from rivetwright.engines.heads.volume import metal_of
from rivetwright.standards.head_checks import head_check_figure, head_rule
from rivetwright.standards.source import Source, Status, weakest
from rivetwright.standards.spread import Spread
from rivetwright.units.tolerance import is_less

# From so much weight on a length is taken to be another than the one called for.
STRONG = 3
QUOTAS = (Gate.QUOTA, Gate.ADJACENT)


class Action(StrEnum):
    """What to do now."""

    LEAVE = "leave"
    MEASURE = "measure first"
    SQUEEZE_AGAIN = "squeeze again"
    REPLACE = "remove and replace"
    NEXT_SIZE = "next size"
    OVERSIZE_SHANK = "oversize shank, same head"
    ASK_SUPPLIER = "ask the supplier"
    ASK_INSPECTOR = "have the inspector see it"


@dataclass(frozen=True)
class Reason:
    """Why: a catalogue key, the rule it rests on where it has one, and about what.

    `about` is a look, or the key of why a head is not squeezed again.
    """

    key: str
    source: Source | None = None
    about: str = ""


@dataclass(frozen=True)
class History:
    """What the record and the plan say beside the head.

    `removed_count` rivets came out of this hole before, `squeezed_count` times this
    head was squeezed again, `adjacent_off` heads side by side with it are off too.
    `carries` marks a spar, hinge, control, engine, seat or tank joint.
    """

    removed_count: int = 0
    squeezed_count: int = 0
    adjacent_off: int = 0
    carries: bool = False


NO_HISTORY = History()


@dataclass(frozen=True)
class Decision:
    """What to do, why, what else would do, and what stands in the way.

    `again` belongs to squeezing again, `not_again` says why not; `blocks` are the
    needs of the next size that do not hold, `unknown` those that nobody knows.
    `asks_first` is who must say yes before it is done.
    """

    action: Action
    reasons: tuple[Reason, ...]
    alternatives: tuple[Action, ...] = ()
    again: Again | None = None
    not_again: NotAgain | None = None
    blocks: tuple[Gated, ...] = ()
    unknown: tuple[Gated, ...] = ()
    asks_first: Action | None = None

    @property
    def status(self) -> Status:
        """The weakest status that the decision rests on."""
        known = [one.source.status for one in self.reasons if one.source]
        return weakest(Status.JUDGEMENT, *known) if known else Status.JUDGEMENT


def decide(
    verdict: HeadVerdict,
    causes: Sequence[Suspect],
    history: History = NO_HISTORY,
    spring_mm_n: Spread = RIGID,
) -> Decision:
    """What to do about a head.

    Args:
        verdict: the head as judged.
        causes: its suspects, the likeliest first.
        history: what the record says beside it.
        spring_mm_n: how far one newton opens the yoke [mm/N].
    """
    plain = _plain(verdict, causes, spring_mm_n, history)
    limits = verdict.chosen.source
    if limits is not None and not verdict.questions:
        by = Reason("by the limits", limits)
        plain = replace(plain, reasons=(*plain.reasons, by))
    return _escalated(plain, history)


def _plain(
    verdict: HeadVerdict,
    causes: Sequence[Suspect],
    spring_mm_n: Spread,
    history: History,
) -> Decision:
    """The decision before anybody else is asked."""
    if verdict.overall is Overall.NOT_JUDGED:
        return Decision(Action.MEASURE, (Reason("answer the question"),))
    if any(one.level is Level.REPLACE for one in verdict.remarks):
        return _replace_seen(verdict)
    other_length = _is_other_length(causes)
    if verdict.overall is Overall.FAILS:
        again = squeeze_again(
            verdict.head,
            verdict.called,
            metal_of(verdict.head, verdict.called),
            spring_mm_n,
        )
        return _failed(verdict, again, other_length, history)
    if other_length:
        reasons = (Reason("legal head of another length"), _rule("ask the supplier"))
        return Decision(Action.ASK_SUPPLIER, reasons, (Action.REPLACE,))
    return _standing(verdict)


def _standing(verdict: HeadVerdict) -> Decision:
    """A head whose sizes do not fail: leave it, measure it, or ask."""
    if verdict.overall is Overall.MEASURE:
        return Decision(Action.MEASURE, (Reason("a measure is missing"),))
    if verdict.overall is Overall.ASK:
        asked = [one for one in verdict.remarks if one.level is Level.ASK]
        reasons = [Reason("asked about", one.source, one.look) for one in asked]
        if any(one.look == "cracked" for one in asked):
            reasons.append(_rule("cracked head"))
        if not reasons:
            reasons.append(Reason("no limits to judge by"))
        return Decision(Action.ASK_SUPPLIER, tuple(reasons), (Action.REPLACE,))
    reasons = [_rule("leave")]
    reasons += [Reason("allowed", one.source, one.look) for one in verdict.remarks]
    return Decision(Action.LEAVE, tuple(reasons))


def _replace_seen(verdict: HeadVerdict) -> Decision:
    """Something seen that no source lets stay."""
    out = [one for one in verdict.remarks if one.level is Level.REPLACE]
    reasons = [Reason("seen", one.source, one.look) for one in out]
    if any(one.look.startswith("gap") for one in out):
        reasons.append(_rule("gap under the head"))
    return Decision(
        Action.REPLACE,
        tuple(reasons),
        (Action.ASK_SUPPLIER,),
        not_again=NotAgain("out of shape or damaged"),
    )


def _failed(
    verdict: HeadVerdict,
    again: Again | NotAgain,
    other_length: bool,
    history: History,
) -> Decision:
    """Sizes outside the limits: mend them, or take the rivet out."""
    can = isinstance(again, Again)
    made = again if isinstance(again, Again) else None
    why_not = again if isinstance(again, NotAgain) else None
    if other_length:
        # Its head may be squeezed into the limits, but the drawing asks for another.
        reasons = (Reason("another length than drawn"), _rule("ask the supplier"))
        others = (Action.ASK_SUPPLIER, *((Action.SQUEEZE_AGAIN,) if can else ()))
        return Decision(Action.REPLACE, reasons, others, made, why_not)
    if verdict.has("too low"):
        reasons = (Reason("too low cannot be mended"), _rule("over-set"))
        low = NotAgain("already too low")
        return Decision(Action.REPLACE, reasons, (Action.ASK_SUPPLIER,), not_again=low)
    if verdict.has("too wide") and not verdict.has("too high"):
        reasons = (Reason("only too wide"), _rule("over-set"))
        return Decision(Action.ASK_SUPPLIER, reasons, (Action.LEAVE,))
    if can:
        more = (Reason("squeezed again before"),) if history.squeezed_count else ()
        mend = (Reason("metal is there"), _rule("under-set"), *more)
        return Decision(Action.SQUEEZE_AGAIN, mend, (Action.REPLACE,), made)
    assert why_not is not None
    is_treated = why_not.key == "heat-treated rivet"
    hard = (_rule("heat-treated"),) if is_treated else ()
    out = (Reason("not again", about=why_not.key), *hard)
    return Decision(Action.REPLACE, out, (Action.ASK_SUPPLIER,), not_again=why_not)


def _escalated(plain: Decision, history: History) -> Decision:
    """Hand to the inspector what one person should not settle alone."""
    reasons = []
    if plain.action is Action.REPLACE and history.removed_count >= 1:
        reasons.append(_rule("second removal"))
    is_off = plain.action not in (Action.LEAVE, Action.MEASURE)
    if is_off and history.adjacent_off + 1 > head_check_figure("several off"):
        reasons.append(_rule("several adjacent"))
    if history.carries and plain.action in (Action.REPLACE, Action.ASK_SUPPLIER):
        reasons.append(_rule("joint that carries"))
    if not reasons:
        return plain
    return Decision(
        Action.ASK_INSPECTOR,
        (*reasons, *plain.reasons),
        (plain.action, *plain.alternatives),
        plain.again,
        plain.not_again,
    )


def decide_blind(
    remarks: Sequence[BlindRemark], history: History = NO_HISTORY
) -> Decision:
    """What to do about a blind rivet; it is never pulled or squeezed a second time.

    Args:
        remarks: what the sources say of it.
        history: what the record says beside it.
    """
    worst = max((one.level for one in remarks), default=Level.FINE)
    about = [one for one in remarks if one.level is worst]
    key, action = BLIND[worst]
    reasons = [Reason(key, one.source, one.look) for one in about]
    if worst is Level.FINE:
        reasons.insert(0, _rule("leave"))
    others = (Action.ASK_SUPPLIER,) if worst is Level.REPLACE else ()
    return _escalated(Decision(action, tuple(reasons), others), history)


BLIND: dict[Level, tuple[str, Action]] = {
    Level.FINE: ("allowed", Action.LEAVE),
    Level.MEASURE: ("a measure is missing", Action.MEASURE),
    Level.ASK: ("asked about", Action.ASK_SUPPLIER),
    Level.REPLACE: ("seen", Action.REPLACE),
}


def decide_hole(
    hole_mm: float,
    hole_most_mm: float,
    gates: Sequence[Gated],
    *,
    is_flush: bool,
    history: History = NO_HISTORY,
) -> Decision:
    """What goes into a hole once its rivet is out.

    Args:
        hole_mm: the hole as measured [mm].
        hole_most_mm: most that it may be for the same rivet [mm].
        gates: what the next size needs there.
        is_flush: whether the head lies in a dimple or countersink.
        history: what the record says beside it.
    """
    if not is_less(hole_most_mm, hole_mm):
        same = Decision(Action.REPLACE, (Reason("hole still in size"),))
        return _escalated_hole(same, history)
    blocks = tuple(one for one in gates if one.holds is False)
    unknown = tuple(one for one in gates if one.holds is None)
    supplier = Action.ASK_SUPPLIER
    if is_flush and not any(one.gate in QUOTAS for one in blocks):
        others = (supplier,) if blocks or unknown else (Action.NEXT_SIZE, supplier)
        made = Decision(
            Action.OVERSIZE_SHANK,
            (Reason("hole too large"), _rule("oversize shank first")),
            others,
            blocks=blocks,
            unknown=unknown,
            asks_first=supplier,
        )
        return _escalated_hole(made, history)
    reasons = [Reason("hole too large"), _rule("next size")]
    if blocks or unknown:
        key = "next size is blocked" if blocks else "next size is not known to fit"
        reasons.append(Reason(key))
    action = supplier if blocks or unknown else Action.NEXT_SIZE
    made = Decision(
        action, tuple(reasons), (), blocks=blocks, unknown=unknown, asks_first=supplier
    )
    return _escalated_hole(made, history)


def _escalated_hole(made: Decision, history: History) -> Decision:
    """A hole out of which two rivets came is shown before a third goes in."""
    reasons = []
    if history.removed_count >= 2:
        reasons.append(_rule("second removal"))
    if history.carries and made.action is not Action.REPLACE:
        reasons.append(_rule("joint that carries"))
    if not reasons:
        return made
    return Decision(
        Action.ASK_INSPECTOR,
        (*reasons, *made.reasons),
        (made.action, *made.alternatives),
        blocks=made.blocks,
        unknown=made.unknown,
        asks_first=made.asks_first,
    )


def _is_other_length(causes: Sequence[Suspect]) -> bool:
    """Whether the likeliest cause is another length, and strongly so."""
    first = causes[0] if causes else None
    return (
        first is not None
        and first.cause is Cause.WRONG_LENGTH
        and first.points >= STRONG
    )


def _rule(name: str) -> Reason:
    """A rule of the table as a reason."""
    return Reason(name, head_rule(name).source)

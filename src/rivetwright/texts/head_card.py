"""A judged head in words: verdict in one line, limits, causes, working, decision."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import isnan

from rivetwright.bench.heads import JudgedHead
from rivetwright.engines.heads.blind import BlindRemark
from rivetwright.engines.heads.called import Called
from rivetwright.engines.heads.decide import Action, Decision
from rivetwright.engines.heads.seen import Level, Remark
from rivetwright.engines.heads.suspect import Suspect
from rivetwright.engines.heads.verdict import Against, HeadVerdict, Overall, Standing
from rivetwright.engines.heads.volume import Metal
from rivetwright.errors import OutsideTable
from rivetwright.standards.source import Source, Status, weakest
from rivetwright.standards.spread import Spread
from rivetwright.texts.catalogue import catalogue
from rivetwright.texts.head_words import (
    look_words,
    say_against,
    say_broken,
    say_evidence,
    say_gate,
    say_reason,
)
from rivetwright.texts.say import System, say_value
from rivetwright.units.wording import show_number

CARD = "head_card"
# What a verdict asks for, as the pages' signs have it.
TONES = {
    Overall.PASSES: "fine",
    Overall.MEASURE: "check",
    Overall.ASK: "check",
    Overall.FAILS: "stop",
    Overall.NOT_JUDGED: "check",
}
LEVELS = {
    Level.FINE: Overall.PASSES,
    Level.MEASURE: Overall.MEASURE,
    Level.ASK: Overall.ASK,
    Level.REPLACE: Overall.FAILS,
}


@dataclass(frozen=True)
class Because:
    """A sentence, its source and how that is known; empty where it has none."""

    words: str
    source: str = ""
    status: str = ""


@dataclass(frozen=True)
class CauseWords:
    """A likely cause with what speaks for and against it, and the next test."""

    title: str
    speaks_for: tuple[str, ...]
    speaks_against: tuple[str, ...]
    test: str


@dataclass(frozen=True)
class SetWords:
    """How the head stands against one set of limits; `limits` in words."""

    words: str
    standing: str
    limits: str
    source: str
    status: str


@dataclass(frozen=True)
class MetalRow:
    """One line of the working of the metal: what, the figure, how it came about."""

    name: str
    main: str
    how: str = ""


@dataclass(frozen=True)
class DecisionWords:
    """What is advised, why, what else would do; `more` is how, `cautions` beside it."""

    action: str
    title: str
    reasons: tuple[Because, ...]
    others: tuple[str, ...]
    more: tuple[str, ...]
    cautions: tuple[str, ...]
    status: str


@dataclass(frozen=True)
class HeadWords:
    """Everything said of one look at a head; `tone` is fine, check or stop."""

    name: str
    callout: str
    sizes: str
    verdict: str
    tone: str
    because: tuple[Because, ...]
    status: str
    sources: tuple[str, ...]
    sets: tuple[SetWords, ...]
    causes: tuple[CauseWords, ...]
    metal: tuple[MetalRow, ...]
    metal_says: str
    decision: DecisionWords | None


def _card(key: str, system: System = "in", **figures: float | str) -> str:
    """A sentence of the card with its figures put in."""
    said = {name: str(say_value(name, one, system)) for name, one in figures.items()}
    return catalogue().word(CARD, key).format(**said)


def say_head(one: JudgedHead, system: System = "in") -> HeadWords:
    """One look at a head, in words.

    Args:
        one: the head as judged.
        system: the project's unit, in or mm.
    """
    overall, because = _overall(one), tuple(_because(one, system))
    verdict = one.verdict
    is_sized = verdict is not None and not one.is_by_eye
    statuses = [Status(said.status) for said in because if said.status]
    return HeadWords(
        name=one.name,
        callout=one.seen.callout or (str(one.called.code) if one.called else ""),
        sizes=_sizes(one, system),
        verdict=_verdict_line(one, overall, because),
        tone=TONES[overall],
        because=because,
        status=str(weakest(Status.READ, *statuses)) if statuses else "",
        sources=tuple(dict.fromkeys(said.source for said in because if said.source)),
        sets=tuple(_sets(verdict, system)) if verdict and is_sized else (),
        causes=tuple(say_cause(cause, system) for cause in one.causes),
        metal=tuple(_metal_rows(one, system)),
        metal_says=catalogue().word("head_metal", one.metal.amount)
        if one.metal
        else "",
        decision=say_decision(one.decision, system) if one.decision else None,
    )


def _overall(one: JudgedHead) -> Overall:
    """The head as a whole; by eye alone only what was seen counts."""
    if one.is_blind:
        return max((LEVELS[r.level] for r in one.blind), default=Overall.PASSES)
    if one.is_right_by_eye:
        return Overall.PASSES
    return one.verdict.overall if one.verdict else Overall.MEASURE


def _verdict_line(
    one: JudgedHead, overall: Overall, because: tuple[Because, ...]
) -> str:
    """The verdict and its first reasons in one line."""
    words = catalogue()
    if one.is_right_by_eye:
        return words.word(CARD, "right_by_eye")
    said = words.word("head_overall", overall.name)
    why = "; ".join(one.words for one in because)
    broken = one.verdict.chosen if one.verdict and not one.is_by_eye else None
    if broken and broken.broken:
        why = f"{why} ({broken.limit_set})"
    whole = _card("whole", overall=said, why=why) if why else said
    return whole[:1].upper() + whole[1:]


def _because(one: JudgedHead, system: System) -> Iterator[Because]:
    """What the verdict rests on: broken limits, looks that count, or being inside."""
    if one.is_right_by_eye:
        return
    verdict = one.verdict
    if one.is_blind:
        yield from (_remark(remark, system) for remark in one.blind)
        return
    if verdict is None:
        yield Because(_card("unknown_figures"))
        return
    sized = list(_of_sizes(one, verdict, system))
    # What is against it stands first.
    against = [remark for remark in verdict.remarks if remark.level >= Level.ASK]
    fine = [remark for remark in verdict.remarks if remark.level < Level.ASK]
    if verdict.chosen.broken:
        yield from sized
    yield from (_remark(remark, system) for remark in against)
    if not verdict.chosen.broken:
        yield from sized
    yield from (_remark(remark, system) for remark in fine)
    eye = set(catalogue().section("head_by_eye"))
    yield from (Because(look_words(look)) for look in one.body.looks if look in eye)


def _of_sizes(
    one: JudgedHead, verdict: HeadVerdict, system: System
) -> Iterator[Because]:
    """How the sizes stand against the chosen limits."""
    chosen = verdict.chosen
    source = (str(chosen.source), str(chosen.source.status)) if chosen.source else ()
    if verdict.questions or one.is_by_eye:
        return
    if chosen.broken:
        for broken in chosen.broken:
            yield Because(say_broken(broken, system), *source)
    elif chosen.standing is Standing.PASSES:
        yield Because(_card("inside", limit_set=chosen.limit_set), *source)
    elif chosen.standing is Standing.CANNOT_TELL:
        sides = ", ".join(chosen.unknown)
        yield Because(_card("not_decided", sides=sides), *source)
    else:
        yield Because(say_against(chosen, system), *source)


def _remark(remark: Remark | BlindRemark, system: System) -> Because:
    """One thing seen, with what was found and is allowed."""
    look = look_words(remark.look)
    if remark.allowed_mm is None:
        words = look
    elif remark.found_mm is None:
        words = _card("allowed", system, look=look, allowed_mm=remark.allowed_mm)
    else:
        figures = {"found_mm": remark.found_mm, "allowed_mm": remark.allowed_mm}
        words = _card("found_allowed", system, look=look, **figures)
    return Because(words, str(remark.source), str(remark.source.status))


def _sizes(one: JudgedHead, system: System) -> str:
    """Width and height as measured."""
    sizes = {"wide": one.body.width_mm, "high": one.body.height_mm}
    return ", ".join(
        _card(key, system, size_mm=size) for key, size in sizes.items() if size
    )


def say_limits(called: Called, limit_set: str = "", system: System = "in") -> Because:
    """What a set of limits asks of the shop head; empty where it prints nothing."""
    try:
        looked = called.limits(limit_set)
    except OutsideTable:
        return Because("")
    limits = looked.value
    least, low = limits.width_least_mm, limits.height_least_mm
    high = limits.height_most_mm
    if least is None or low is None:
        return Because("", str(looked.source), str(looked.status))
    figures = {"least_mm": float(least), "low_mm": float(low)}
    if high is None:
        words = _card("wanted_least", system, **figures)
    elif high == low:
        words = _card("wanted_target", system, **figures)
    else:
        words = _card("wanted", system, **figures, high_mm=float(high))
    return Because(words, str(looked.source), str(looked.status))


def _sets(verdict: HeadVerdict, system: System) -> Iterator[SetWords]:
    """The chosen set and all others."""
    for one in (verdict.chosen, *verdict.others):
        yield _set_words(one, verdict.called, system)


def _set_words(against: Against, called: Called, system: System) -> SetWords:
    """How a head stands against a set."""
    source = against.source
    return SetWords(
        say_against(against, system),
        against.standing.name.lower(),
        say_limits(called, against.limit_set, system).words,
        str(source) if source else "",
        str(source.status) if source else "",
    )


def say_cause(suspect: Suspect, system: System = "in") -> CauseWords:
    """A likely cause with its evidence and its test."""
    words = catalogue()
    return CauseWords(
        words.word("head_cause", suspect.cause),
        tuple(say_evidence(one, system) for one in suspect.speaks_for),
        tuple(say_evidence(one, system) for one in suspect.speaks_against),
        words.word("head_test", suspect.test),
    )


def _d3(volume: float) -> str:
    """Metal in D cubed."""
    return f"{show_number(volume, digits=3)} D³"


def _metal_rows(one: JudgedHead, system: System) -> Iterator[MetalRow]:
    """The working of the metal, line by line."""
    metal, called = one.metal, one.called
    if metal is None or called is None:
        return
    word = catalogue().word

    def length(length_mm: float) -> str:
        return str(say_value("length_mm", length_mm, system))

    how = word("head_found_how", "found").format(
        width_mm=length(one.body.width_mm or 0.0),
        height_mm=length(one.body.height_mm or 0.0),
        shank_mm=str(say_value("shank_diameter_mm", called.shank_mm, system)),
    )
    yield MetalRow(word("head_metal", "found"), _d3(metal.found), how)
    how = word("head_found_how", "called").format(
        tail_mm=length(called.tail_mm),
        low=_d3(metal.called.low),
        high=_d3(metal.called.high),
    )
    yield MetalRow(word("head_metal", "called"), _d3(metal.called.central), how)
    off = abs(metal.found - metal.called.central)
    yield MetalRow(word("head_metal", "off"), _d3(off))
    yield MetalRow(word("head_metal", "tolerance"), _d3(metal.tolerance))
    yield from _like_rows(metal, called, length)


def _like_rows(metal: Metal, called: Called, length: object) -> Iterator[MetalRow]:
    """What would explain the metal: other lengths, a hole, a gap."""
    assert callable(length)
    word = catalogue().word
    yield MetalRow(word("head_metal", "like"), length(metal.like_length_mm))
    for one in metal.lengths[:2]:
        code = called.code.with_length(one.length_16ths)
        title = word("head_metal", "length").format(length_16ths=str(code))
        yield MetalRow(title, _d3(one.volume))
    if metal.like_hole_mm is not None:
        yield MetalRow(word("head_metal", "hole"), length(metal.like_hole_mm))
    if metal.like_gap_mm is not None:
        yield MetalRow(word("head_metal", "gap"), length(metal.like_gap_mm))


def say_decision(decision: Decision, system: System = "in") -> DecisionWords:
    """What is advised, with its reasons and what else would do."""
    words = catalogue()
    return DecisionWords(
        str(decision.action),
        words.word("head_action", decision.action),
        tuple(
            Because(
                say_reason(one, decision.not_again, system), *_source_of(one.source)
            )
            for one in decision.reasons
        ),
        tuple(str(one) for one in decision.alternatives),
        tuple(_more(decision, system)),
        tuple(_cautions(decision)),
        str(decision.status),
    )


def _cautions(decision: Decision) -> Iterator[str]:
    """What is said beside the advice where a wrong step can hurt."""
    if decision.action is Action.SQUEEZE_AGAIN:
        yield _card("eyes")
        yield _card("check_cracks")
    if decision.action in (Action.REPLACE, Action.ASK_SUPPLIER):
        yield _card("carries")


def _source_of(source: Source | None) -> tuple[str, str]:
    """A source and its status in words."""
    return (str(source), str(source.status)) if source else ("", "")


def _more(decision: Decision, system: System) -> Iterator[str]:
    """How it is done, and what stands in the way."""
    again = decision.again
    if again is not None and decision.action is not Action.SQUEEZE_AGAIN:
        yield _card("could_again")
    if again is not None:
        yield _shim(again.shim_more_mm, system)
        sizes = {"target_mm": again.target_mm, "width_mm": again.width_mm}
        yield _card("to_height", system, **sizes)
        if not isnan(again.force_n):
            yield _card("force", system, force_n=again.force_n)
    if decision.asks_first not in (None, decision.action):
        first = catalogue().word("head_action", str(decision.asks_first))
        yield _card("asks_first", action=first)
    yield from (_card("blocks", gate=say_gate(one)) for one in decision.blocks)
    yield from (_card("unknown", gate=say_gate(one)) for one in decision.unknown)


def _shim(more_mm: Spread, system: System) -> str:
    """How much more shim, as a range where the yoke's spring is not known."""
    shown = [
        str(say_value("shim_mm", one, system)) for one in (more_mm.low, more_mm.high)
    ]
    if shown[0] == shown[1]:
        return _card("more_shim", system, shim_mm=more_mm.central)
    return _card("more_shim_range", system, low_mm=more_mm.low, high_mm=more_mm.high)

"""The card of a set-up, line by line, for screen, paper and terminal."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from rivetwright.bench.dimple_set_ups import DimpleCard
from rivetwright.bench.set_up_card import SetUpCard
from rivetwright.engines.plan import WorkedPlan
from rivetwright.engines.reach.fit import FIT_WORDS, NO, TIGHT, ToolFit, limit_written
from rivetwright.engines.squeeze.first_rivet import CAUTIONS
from rivetwright.engines.squeeze.opening import Engaged, Opening
from rivetwright.engines.squeeze.set_up import SetUp, Stall, Verdict
from rivetwright.engines.squeeze.taught import Basis, Taught
from rivetwright.standards.source import Status
from rivetwright.texts.catalogue import catalogue
from rivetwright.texts.learning_words import say_alarm, say_wear
from rivetwright.texts.say import System, say_value
from rivetwright.texts.set_up_words import (
    CAUTION,
    CHANGE,
    PEDAL,
    STEP,
    Fact,
    buy_words,
    change_words,
    in_a_line,
    length,
    put_in,
    said,
    said_range,
    say_in,
    severity_of,
    told_words,
    word,
)


@dataclass(frozen=True)
class CardWords:
    """A card in words; `severity` is stop, check or empty, `in_short` its pieces.

    `makes` are gap, head and what they should be, `needs` force, air and
    room; `reach` says where the yoke is tight or does not get there. `look_at` is what
    measured heads warn of, first.
    """

    name: str
    callout: str
    tool: str
    yoke: str
    verdict: str
    severity: str
    do: str
    in_short: str
    put_in: tuple[Fact, ...]
    makes: tuple[Fact, ...]
    needs: tuple[Fact, ...]
    reach: str
    changes: tuple[str, ...]
    steps: tuple[str, ...]
    pedal: tuple[str, ...]
    cautions: tuple[str, ...]
    trust: str
    status: Status
    look_at: tuple[str, ...] = ()


def system_of(worked_plan: WorkedPlan) -> System:
    """The plan's own unit."""
    return "mm" if worked_plan.worked.plan.unit == "mm" else "in"


def say_set_up(card: SetUpCard, worked_plan: WorkedPlan) -> CardWords:
    """The card of a rivet's set-up in words."""
    system, one = system_of(worked_plan), card.set_up
    changes = [say_in(CHANGE, "bare")] if card.now is None else []
    if card.change is not None and card.now is not None:
        changes = change_words(card.change, one.yoke.id, system)
    return CardWords(
        name=card.name,
        callout=card.callout,
        tool=tool_words(one.squeezer.title, one.yoke.id, one.yoke.title),
        yoke=one.yoke.id,
        verdict=verdict_words(one.verdict),
        severity=severity_of(one.verdict),
        do=_do(one, system),
        in_short=in_a_line(one.pieces, system) if one.pieces else "",
        put_in=_put_in(one, system),
        makes=tuple(_makes(one, worked_plan, card.hole, system)),
        needs=tuple(_needs(one, system)),
        reach=fit_words(card.fit, system),
        changes=tuple(changes) if one.pieces else (),
        steps=tuple(_steps(card, system)),
        pedal=tuple(told_words(PEDAL, told, system) for told in card.pedal),
        cautions=tuple(say_in(CAUTION, key) for key in CAUTIONS),
        trust=_trust(card, system),
        status=one.status,
        look_at=tuple(_look_at(card, system)),
    )


def _trust(card: SetUpCard, system: System) -> str:
    """How far the figures can be trusted, and what they would be by physics alone."""
    one, words = card.set_up, []
    if one.head_mm is not None and not one.is_range_in_band and not one.taught.is_own:
        words.append(word("past_limits"))
    words += _rests_on(one, system)
    if card.physics is not None and card.physics.pieces is not None:
        pieces = in_a_line(card.physics.pieces, system)
        gap = length(card.physics.gap_mm or 0.0, system)
        words.append(word("by_physics_alone", pieces=pieces, gap=gap))
    return " ".join(words)


def _rests_on(one: SetUp, system: System) -> list[str]:
    """What the head rests on: physics, the yoke's spring, or so many own heads."""
    taught, head = one.taught, one.head_mm
    if not taught.is_own or head is None:
        key = "by_yoke" if taught.basis is Basis.YOKE else "by_physics"
        return [word(key, offset=length(one.offset_spread_mm, system))]
    low, high = length(head.low, system).rpartition(" ")[0], length(head.high, system)
    by_mm = head.central - ((one.gap_mm or 0.0) - one.under_mm)
    key = "from_heads" if by_mm >= 0 else "from_heads_thinner"
    by = length(abs(by_mm), system)
    words = [word(key, heads=heads_words(taught), low=low, high=high, by=by)]
    if taught.slips_count:
        words.append(word("heads_slips", count=taught.slips_count))
    return words


def heads_words(taught: Taught) -> str:
    """How many own heads something rests on."""
    key = "one_head" if taught.heads_count == 1 else "some_heads"
    return word(key, count=taught.heads_count)


def rests_words(taught: Taught) -> str:
    """What a set-up rests on, in a few words for a list."""
    if taught.is_own:
        return word("rests_heads", heads=heads_words(taught))
    return word("rests_yoke" if taught.basis is Basis.YOKE else "rests_physics")


def _look_at(card: SetUpCard, system: System) -> Iterator[str]:
    """What the heads warn of: a change that stands, dies that wear or fill up."""
    raised, wear = card.told.standing, card.told.wear
    if raised is not None:
        yield from say_alarm(raised.alarm, raised.since, system)
    if wear is not None and (wear.is_wearing or wear.is_filling):
        one = card.set_up
        middle_mm = one.head_mm.central if one.head_mm else one.band.aim_mm
        yield say_wear(wear, max(one.band.most_mm - middle_mm, 0.0), system)


def verdict_words(verdict: Verdict) -> str:
    """What comes of a set-up, in a few words."""
    return catalogue().word("set_up_verdict", verdict)


def do_words(verdict: Verdict) -> str:
    """What to do about a verdict; nothing where the set-up holds."""
    if verdict is Verdict.IN_BAND:
        return ""
    return catalogue().word("set_up_do", verdict)


def tool_words(squeezer: str, yoke: str, title: str) -> str:
    """Squeezer and yoke: `pneumatic squeezer, yoke Y2, deep`."""
    named = f"{squeezer}, {word('yoke').lower()} {yoke}"
    return f"{named}, {title}" if title else named


def _do(one: SetUp, system: System) -> str:
    """What to do where a set-up does not hold."""
    words = do_words(one.verdict)
    if one.verdict is Verdict.BAND_LOST:
        return f"{words} {buy_words(one.buy, system)}"
    return words


def _put_in(one: SetUp, system: System) -> tuple[Fact, ...]:
    """Pieces, and how deep the dies sit."""
    if one.pieces is None:
        return ()
    engaged = (_engaged(e, system) for e in one.engaged)
    return (*put_in(one.pieces, system), *engaged)


def _engaged(engaged: Engaged, system: System) -> Fact:
    """How deep a die sits in its seat."""
    name = word(f"engaged_{engaged.where}")
    if engaged.engaged_mm is None or engaged.least_mm is None:
        return Fact(name, word("engaged_unknown"))
    main, least = (length(x, system) for x in (engaged.engaged_mm, engaged.least_mm))
    return Fact(name, main, note=word("at_least", length=least))


def _makes(
    one: SetUp, worked_plan: WorkedPlan, hole: int, system: System
) -> list[Fact]:
    """Gap, head height and width with what they should be."""
    facts = []
    wanted = said_range("gap_mm", one.wanted_mm, system).main
    if one.gap_mm is not None:
        gap = said("gap_mm", one.gap_mm, system)
        note = word("wanted", range=wanted)
        facts.append(Fact(word("gap"), gap.main, gap.other, note))
    if one.head_mm is not None:
        low, high = (length(end, system) for end in (one.band.min_mm, one.band.most_mm))
        keep = word("range", low=low.rpartition(" ")[0], high=high)
        likely = word("likely", length=length(one.head_mm.central, system))
        made = said_range("head_mm", one.head_mm, system)
        note = f"{word('keep', range=keep)}; {likely}"
        facts.append(Fact(word("height"), made.main, made.other, note))
    if one.width_mm is not None:
        made = said_range("width_mm", one.width_mm, system)
        least = float(worked_plan.worked.at("head_width_min_mm", hole))
        note = word("at_least", length=length(least, system)) if least == least else ""
        facts.append(Fact(word("width"), made.main, made.other, note))
    return facts


def fit_words(fit: ToolFit | None, system: System) -> str:
    """How the yoke gets there, where it is tight or does not; else nothing."""
    if fit is None or fit.fit not in (FIT_WORDS[TIGHT], FIT_WORDS[NO]):
        return ""
    written = limit_written(fit.tool.id, fit.limit, fit.has_mm, fit.needs_mm)
    why = say_value("in_the_way", written, system).main if written else fit.tool.id
    return word("tight" if fit.fit == FIT_WORDS[TIGHT] else "no_way", why=why)


def _needs(one: SetUp, system: System) -> list[Fact]:
    """Force, air, the hand, where it stalls, and what it opens over."""
    force = one.force
    facts = []
    if force.needed_n is not None:
        needed = said_range("force_n", force.needed_n, system)
        notes = []
        if force.available_n is not None:
            gives = said("gives_n", force.available_n, system).main
            notes.append(word("gives", force=gives))
        if not force.is_measured:
            notes.append(word("force_wide"))
        facts.append(Fact(word("force"), needed.main, needed.other, "; ".join(notes)))
    if force.least_pressure_kpa is not None:
        least = said_range("pressure_kpa", force.least_pressure_kpa, system)
        rated = one.squeezer.pressure_kpa
        note = ""
        if rated is not None:
            note = word("rated", pressure=said("rated_kpa", rated, system).main)
        facts.append(Fact(word("pressure"), least.main, least.other, note))
    if force.hand_n is not None:
        pull = said_range("hand_n", force.hand_n, system)
        has = one.squeezer.hand_force_n
        note = word("hand_has", force=said("has_n", has, system).main) if has else ""
        facts.append(Fact(word("hand"), pull.main, pull.other, note))
    return facts + _stroke(one, system)


def _stroke(one: SetUp, system: System) -> list[Fact]:
    """Whether the ram reaches its end, where it meets the rivet, what it opens over."""
    facts = []
    if one.force.stall is not None:
        facts.append(Fact(word("stall"), _stall(one.force.stall, system)))
    if one.met is not None:
        left = length(one.met.left_mm, system)
        facts.append(Fact(word("met"), word("met_left", left=left)))
    if one.opening is not None:
        facts += _opening(one.opening, system)
    return facts


def _stall(stall: Stall, system: System) -> str:
    """Whether the ram stops short, and which head that leaves."""
    if stall.is_stalled:
        left, head = length(stall.left_mm, system), length(stall.head_mm, system)
        return word("stall_yes", left=left, head=head)
    if stall.may_stall:
        left = length(stall.left_high_mm, system)
        return word("stall_may", left=left, head=length(stall.head_high_mm, system))
    return word("stall_no")


def _opening(opening: Opening, system: System) -> list[Fact]:
    """What the jaws open over: the rivet, and the flange if there is one."""

    def of(key: str, has_mm: float, needs_mm: float) -> str:
        has, needs = length(has_mm, system), length(needs_mm, system)
        return word(key, has=has, needs=needs)

    over = of("opens_over", opening.has_mm, opening.needs_over_rivet_mm)
    facts = [Fact(word("opens"), over)]
    needs = opening.needs_over_flange_mm
    if needs > 0:
        key, has = "flange_no", opening.has_mm
        if opening.is_over_flange:
            key = "flange_passes"
        elif opening.is_over_flange_bare:
            key, has = "flange_bare", opening.without_ram_die_mm
        facts.append(Fact(word("flange"), of(key, has, needs)))
    return facts


def _steps(card: SetUpCard, system: System) -> list[str]:
    """The first rivet, step by step."""
    first = card.first
    if first is None:
        return []
    yoke = card.set_up.yoke.id
    wide = in_a_line(first.wide, system) if first.wide else ""
    close = change_words(first.close_in, yoke, system) if first.close_in else []
    change = " ".join([say_in(CHANGE, "safety"), *close]) if close else ""
    return [
        told_words(STEP, told, system, pieces=wide, change=change)
        for told in first.steps
    ]


def say_dimple(card: DimpleCard, worked_plan: WorkedPlan) -> CardWords:
    """The card of a dimpling set-up in words."""
    system, one = system_of(worked_plan), card.set_up
    is_lost = one.verdict is Verdict.BAND_LOST
    do = do_words(one.verdict)
    sheet = said("sheet_mm", one.sheet_mm, system)
    makes = [Fact(word("sheet"), f"{card.part}  {sheet.main}", sheet.other)]
    if one.gap_mm is not None:
        key = "bare_past" if one.gap_mm < 0 else "bare_short"
        bare = word(key, length=length(abs(one.gap_mm), system))
        ends = {
            "past": length(-one.low_mm, system),
            "short": length(one.high_mm, system),
        }
        makes.append(Fact(word("bare"), bare, note=word("bare_range", **ends)))
    needs = []
    if one.press_n is not None:
        press = said_range("press_n", one.press_n, system)
        needs.append(Fact(word("press"), press.main, press.other))
    keys = ("touch", "pilot", "scrap", "hold")
    return CardWords(
        name=card.name,
        callout=card.callout,
        tool=tool_words(one.squeezer.title, one.yoke.id, one.yoke.title),
        yoke=one.yoke.id,
        verdict=verdict_words(one.verdict),
        severity=severity_of(one.verdict),
        do=f"{do} {buy_words(one.buy, system)}" if is_lost else do,
        in_short=in_a_line(one.pieces, system) if one.pieces else "",
        put_in=tuple(put_in(one.pieces, system)) if one.pieces else (),
        makes=tuple(makes),
        needs=tuple(needs),
        reach=fit_words(card.fit, system),
        changes=(),
        steps=tuple(say_in("set_up_dimple", key) for key in keys),
        pedal=(),
        cautions=tuple(say_in(CAUTION, key) for key in CAUTIONS),
        trust="",
        status=one.status,
    )

"""Where sheet holders go before riveting, and whether there are enough, in words."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from rivetwright.bench.holders import HolderUse
from rivetwright.engines.order.holders import MATCH_DRILLING, HolderCount, HolderPlan
from rivetwright.engines.plan import WorkedPlan
from rivetwright.texts.catalogue import catalogue
from rivetwright.texts.order_card import places_of_rows
from rivetwright.texts.order_words import (
    holder_size,
    say_held_rows,
    say_holder_use,
)

SECTION = "holder_plan"


@dataclass(frozen=True)
class SizeLine:
    """One size of a holder plan, as a line of a table; `is_short`: not enough."""

    size: str
    wanted: str
    placed: str
    owned: str
    elsewhere: str
    free: str
    verdict: str
    is_short: bool


@dataclass(frozen=True)
class HolderLines:
    """A holder plan in words: what it is for, its sizes, where holders go."""

    purpose: str
    steps: str
    sizes: tuple[SizeLine, ...]
    rows: tuple[str, ...]
    is_short: bool


def say_holder_plan(worked_plan: WorkedPlan, plan: HolderPlan) -> HolderLines:
    """A holder plan in words."""
    return HolderLines(
        purpose=purpose_words(plan),
        steps=", ".join(plan.steps),
        sizes=tuple(size_line(one) for one in plan.counts),
        rows=tuple(say_held_rows(*places_of_rows(worked_plan, plan.holes))),
        is_short=not plan.is_enough,
    )


def purpose_words(plan: HolderPlan) -> str:
    """What a holder plan is for: match-drilling, or the steps held together."""
    if plan.purpose == MATCH_DRILLING:
        return holder_word("match")
    if len(plan.steps) == 1:
        return holder_word("one", step=plan.steps[0])
    return holder_word("some", first=plan.steps[0], last=plan.steps[-1])


def say_uses(uses: Iterable[HolderUse]) -> list[str]:
    """Where holders are that are in other assemblies."""
    return [say_holder_use(one) for one in uses]


def holder_word(key: str, **values: object) -> str:
    """Words about a holder plan, filled in."""
    return catalogue().word(SECTION, key).format_map(values)


def size_line(one: HolderCount) -> SizeLine:
    """One size of a holder plan in words."""
    known = one.owned is not None
    unknown = holder_word("not_said")
    if not known:
        verdict = unknown
    elif one.short:
        verdict = holder_word("short", count=one.short)
    else:
        verdict = holder_word("enough")
    return SizeLine(
        size=holder_size(one.diameter_32nds),
        wanted=str(one.wanted),
        placed=str(one.placed),
        owned=str(one.owned) if known else unknown,
        elsewhere=str(one.elsewhere),
        free=str(one.free) if known else unknown,
        verdict=verdict,
        is_short=bool(one.short),
    )

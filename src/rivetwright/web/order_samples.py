"""A setup card nobody works by, for the page of patterns: all of it is INVENTED."""

from __future__ import annotations

from dataclasses import dataclass

from rivetwright.engines.order.holders import (
    ASSEMBLY,
    MATCH_DRILLING,
    HolderCount,
    HolderPlan,
)
from rivetwright.engines.order.said import EVERY, FREED, OUT, RIG, SET, Pattern
from rivetwright.engines.order.stage import BARE
from rivetwright.texts.bench_words import count_words
from rivetwright.texts.holder_words import HolderLines, purpose_words, size_line
from rivetwright.texts.order_card import OrderCard, PressWords
from rivetwright.texts.order_words import say_in, say_leaves, say_minutes, say_run
from rivetwright.web.holder_lines import PlanLine
from rivetwright.web.order_lines import CardLine

ROW, CODE, REACH = "P1", "MS20470AD4-4.5", "3.0 in"
HELD, OPENED = (1, 3, 5, 7, 9), (2, 4, 6, 8)


def sample_order() -> CardLine:
    """A card with every kind of press that follows a set-up."""
    tool = "pneumatic squeezer, Y1"
    presses = (
        _press(1, RIG, (), f"{tool}: {CODE}", "rig", 240.0, row=""),
        _press(2, SET, OPENED, _words(SET, OPENED), "middle", 70.0),
        _press(3, OUT, HELD, _words(OUT, HELD), "held", 20.0),
        _press(4, SET, HELD, say_run(SET, (Pattern(FREED),), 5), "between", 80.0),
    )
    card = OrderCard(1, tool, CODE, "P", say_minutes(410), 9, (), presses, None, BARE)
    return CardLine(card, "", "")


def sample_holders() -> list[PlanLine]:
    """Two holder plans: enough of one size, too few of another."""
    few = (HolderCount(3, 37, 39, 80, 12), HolderCount(4, 32, 35, 40, 12))
    plans = (
        HolderPlan(MATCH_DRILLING, (), few, ()),
        HolderPlan(ASSEMBLY, ("panel-2", "panel-3"), few[:1], ()),
    )
    return [
        PlanLine(
            HolderLines(
                purpose_words(one), "", tuple(map(size_line, one.counts)), (), False
            ),
            step,
            "#sample",
        )
        for step, one in zip(("", "panel-2"), plans, strict=True)
    ]


@dataclass(frozen=True)
class SampleMarking:
    """A page that nothing is recorded from."""

    key: str = "sample"
    revision: int = 1
    position: int = 1
    step: str = "panel-2"


def _words(kind: str, places: tuple[int, ...]) -> str:
    """Every second place of a row."""
    pattern = Pattern(EVERY, places[0], places[-1], 2, places=places)
    return say_run(kind, (pattern,), len(places))


def _press(
    number: int,
    kind: str,
    places: tuple[int, ...],
    words: str,
    reason: str,
    time_s: float,
    row: str = ROW,
) -> PressWords:
    """One press of the sample row."""
    names = tuple(f"{ROW}:{place}" for place in places)
    return PressWords(
        number=number,
        kind=kind,
        row=count_words(row, "inboard") if row else "",
        words=words,
        leave=say_leaves((10,)) if kind == SET else "",
        reason=say_in("order_reason", reason, reach=REACH),
        minutes=say_minutes(time_s),
        holes=", ".join(names),
        names=names,
        face="P",
        against="",
    )

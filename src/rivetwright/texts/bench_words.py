"""What is next, said so that a person finds it on metal that carries no numbers."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass

from rivetwright.bench.open_now import HOLD, Waiting
from rivetwright.bench.runs import Run, StopHere
from rivetwright.bench.second_person import Card
from rivetwright.texts.catalogue import catalogue
from rivetwright.texts.counting import ordinal
from rivetwright.texts.order_words import say_holes, say_leaves

RUN, WAITS, SECOND = "run", "waits", "second_person"
NAMED_ENDS = ("end", "edge", "side")


def _say(section: str, key: str, **values: object) -> str:
    return catalogue().word(section, key).format_map(values)


def row_words(run: Run) -> str:
    """The row, and the end from which its holes are counted."""
    return count_words(run.row, run.from_end)


def count_words(row: str, from_end: str) -> str:
    """A row, and the end from which its holes are counted."""
    return _say(RUN, "row", row=row, counted=_counted_from(from_end))


def place_words(run: Run, place: str) -> str:
    """One hole of a run by its place in the row: the 3rd of 7, from the front end."""
    one = _say(RUN, "one", first=place, of=run.row_count)
    return _say(RUN, "place", place=one, counted=_counted_from(run.from_end))


def _counted_from(from_end: str) -> str:
    end, _, at = from_end.partition(", ")
    if not end:
        return _say(RUN, "by_drawing")
    if at:
        return _say(RUN, "from_side_at", end=end, at=at)
    if end.startswith("at "):
        return _say(RUN, "from_end_at", end=end)
    is_named = end.split()[-1] in NAMED_ENDS
    return _say(RUN, "from_named" if is_named else "from_side", end=end)


def hole_words(run: Run) -> str:
    """The holes of a run, counted; whether to stop after them."""
    if run.patterns:
        words = say_holes(run.patterns, run.count)
        if not run.leaves:
            return words
        return _say(RUN, "leaving", holes=words, open=say_leaves(run.leaves))
    words = _counted(run)
    if 0 < run.holders < run.count:
        words = _say(RUN, "holders", holes=words)
    if run.stop_after:
        words = _say(RUN, "then_stop", holes=words)
    return words


def _counted(run: Run) -> str:
    of = run.row_count
    if run.is_whole_row:
        return _say(RUN, "only" if of == 1 else "whole", count=of)
    first, last = ordinal(run.first), ordinal(run.last)
    if run.count == 1:
        return _say(RUN, "one", first=first, of=of)
    if run.first == 1:
        return _say(RUN, "first", count=run.count)
    if run.last == of:
        return _say(RUN, "last", count=run.count, of=of)
    return _say(RUN, "between", first=first, last=last, of=of)


def say_stop(stop: StopHere) -> str:
    """Why a run stops: the hole counted from the same end, and what it waits for."""
    why = stop.why
    return _say(
        WAITS,
        _kind(why),
        hole=ordinal(stop.counted),
        reason=why.reason.rstrip("."),
        waits_for=why.waits_for,
        until=why.until,
    )


def _kind(why: Waiting) -> str:
    if why.kind != HOLD:
        return why.kind
    if not why.waits_for:
        return HOLD
    return "hold_until" if why.until else "hold_for"


def spoken_code(callout: str) -> str:
    """A callout so that a voice says it letter by letter."""
    words = {"-": "dash", ".": "point"}
    return " ".join(words.get(letter, letter) for letter in callout)


def spoken_run(run: Run) -> str:
    """A run for a voice: the callout letter by letter, then where."""
    row = row_words(run).replace(run.row, spoken_name(run.row), 1)
    code = spoken_code(run.callout)
    return _say(RUN, "spoken", callout=code, row=row, holes=hole_words(run))


def spoken_name(name: str) -> str:
    """A row's name with its letters and figures apart: A 12."""
    return " ".join(re.findall(r"[A-Za-z]|\d+", name)) or name


@dataclass(frozen=True)
class CardWords:
    """The second person's card in words; `calls` are the word said and when.

    `tools` are the ids of those planned.
    """

    title: str
    needed: str
    protect: str
    lines: tuple[str, ...]
    words: str
    calls: tuple[tuple[str, str], ...]
    tools: tuple[str, ...] = ()


def say_card(card: Card) -> CardWords:
    """What the second person does and says, for one way of setting."""
    both: Mapping[str, str] = catalogue().section(SECOND)
    own = catalogue().section(SECOND)[card.way]
    needed = ""
    if card.is_needed:
        needed = _say(SECOND, "needed_for" if card.why else "needed", why=card.why)
    return CardWords(
        own["title"],
        needed,
        both["protect"],
        tuple(own["lines"].values()),
        both["words"],
        (*own["calls"].items(), (both["stop_say"], both["stop"])),
        card.tools,
    )

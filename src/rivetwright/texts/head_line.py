"""One look at a head as a line of a table, for screen, paper and terminal."""

from __future__ import annotations

from dataclasses import dataclass

from rivetwright.bench.head_table import HeadLine
from rivetwright.texts.catalogue import catalogue
from rivetwright.texts.head_card import say_head
from rivetwright.texts.head_group_words import say_tool
from rivetwright.texts.head_words import look_words
from rivetwright.texts.say import Said, System, say_value

DAY_LETTERS = 10
NOT_TAKEN = Said("-")


@dataclass(frozen=True)
class HeadLineWords:
    """A line of the table of heads; `tone` is fine, check or stop.

    `seen` is what was ticked, `decided` what was decided and why, `became` that its
    rivet was taken out; empty where there is none.
    """

    name: str
    day: str
    rivet: str
    tool: str
    width: Said
    height: Said
    seen: str
    verdict: str
    tone: str
    decided: str
    became: str
    note: str


def say_line(line: HeadLine, system: System = "in") -> HeadLineWords:
    """One look at a head in the words of a table.

    Args:
        line: the look, judged.
        system: the project's unit, in or mm.
    """
    made, seen = line.made, line.made.seen
    words = say_head(line.judged, system)
    became = catalogue().word("heads_line", "out") if made.is_out else ""
    return HeadLineWords(
        name=made.name,
        day=seen.at[:DAY_LETTERS],
        rivet=seen.callout or words.callout,
        tool=say_tool(made.made_by),
        width=_size(seen.width_mm, system),
        height=_size(seen.height_mm, system),
        seen=", ".join(look_words(look) for look in seen.looks),
        verdict=words.verdict,
        tone=words.tone,
        decided=_decided(line),
        became=became,
        note=seen.note,
    )


def _size(size_mm: float | None, system: System) -> Said:
    """A size, with the other unit beside it."""
    return NOT_TAKEN if size_mm is None else say_value("size_mm", size_mm, system)


def _decided(line: HeadLine) -> str:
    """What was decided about the head, and why."""
    settled = line.judged.settled
    if settled is None:
        return ""
    decision = catalogue().word("head_action", settled.body.decision)
    key = "decided" if settled.body.reason else "decided_bare"
    words = catalogue().word("heads_line", key)
    return words.format(decision=decision, reason=settled.body.reason)

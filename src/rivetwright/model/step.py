"""A step of the kit's manual: what is done, what it needs, what it closes."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Need:
    """What must be there before a step: a step, part, tool, person, or quiet hours.

    `kind` is one of step, part, tool, delivery (what comes from outside and is no
    part of this plan, such as another kit), helper, inspector, quiet.
    """

    kind: str
    name: str = ""
    note: str = ""


@dataclass(frozen=True)
class Step:
    """One numbered line of the instructions.

    `text_sets` is what the words of the manual tell the builder to set, written
    as hole ranges (`A12:1-37`), so that text and drawing can be compared.
    `closes` names faces that can no longer be reached from behind afterwards.
    """

    name: str
    title: str
    needs: tuple[Need, ...] = ()
    closes: tuple[str, ...] = ()
    text: str = ""
    text_sets: tuple[str, ...] = ()
    drawing_note: str = ""
    kit_minutes: float | None = None
    is_inspection: bool = False

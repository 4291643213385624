"""Figures of a hole as a page shows them: both units, and the name of the working."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from rivetwright.bench.hole import Quantity
from rivetwright.engines.plan import WorkedPlan
from rivetwright.standards.source import Status
from rivetwright.texts.say import Said, System, say_title, say_value


@dataclass(frozen=True)
class Figure:
    """One figure: quantity, title, how it is written, and its weakest status."""

    name: str
    title: str
    main: str
    other: str
    status: Status | None = None


def system_of(worked_plan: WorkedPlan) -> System:
    """The plan's own unit."""
    return "mm" if worked_plan.worked.plan.unit == "mm" else "in"


@lru_cache(maxsize=20_000)
def said(name: str, value: float | str, system: System) -> Said:
    """A figure in words; a table asks for the same few over and over."""
    return say_value(name, value, system)


def figure_at(worked_plan: WorkedPlan, hole: int, name: str) -> Figure:
    """A figure read from its column."""
    value = worked_plan.worked.at(name, hole)
    held = value if isinstance(value, str) else float(value)
    words = said(name, held, system_of(worked_plan))
    return Figure(name, say_title(name), words.main, words.other)


def figure_of(worked_plan: WorkedPlan, quantity: Quantity) -> Figure:
    """A figure of a hole card, with its status."""
    words = said(quantity.name, quantity.value, system_of(worked_plan))
    title = say_title(quantity.name)
    return Figure(quantity.name, title, words.main, words.other, quantity.status)

"""Figures of a hole as a page shows them: both units, and the name of the working."""

from __future__ import annotations

from dataclasses import dataclass

from rivetwright.bench.hole import Quantity
from rivetwright.engines.plan import WorkedPlan
from rivetwright.standards.source import Status
from rivetwright.texts.say import System, say_title, say_value


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


def figure_at(worked_plan: WorkedPlan, hole: int, name: str) -> Figure:
    """A figure read from its column."""
    value = worked_plan.worked.at(name, hole)
    held = value if isinstance(value, str) else float(value)
    said = say_value(name, held, system_of(worked_plan))
    return Figure(name, say_title(name), said.main, said.other)


def figure_of(worked_plan: WorkedPlan, quantity: Quantity) -> Figure:
    """A figure of a hole card, with its status."""
    said = say_value(quantity.name, quantity.value, system_of(worked_plan))
    title = say_title(quantity.name)
    return Figure(quantity.name, title, said.main, said.other, quantity.status)

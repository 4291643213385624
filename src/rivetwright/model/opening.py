"""What had already happened when the plan was first written down.

An `opening:` block is read once; with a record it becomes facts.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date


@dataclass(frozen=True)
class Hold:
    """A reason holes must wait: a question, a delivery, a tool, a bulletin.

    `kind` is one of question, part, tool, bulletin, other; `until` the date it
    is expected to lift, where one is known. `stack` and `callout` are what is
    expected to be set then, as text, where that differs from the drawing.
    """

    id: str
    holes: tuple[str, ...]
    reason: str
    kind: str = "other"
    name: str = ""
    until: date | None = None
    stack: str = ""
    callout: str = ""


@dataclass(frozen=True)
class Question:
    """A question to the kit supplier or an inspector, and its answer."""

    id: str
    holes: tuple[str, ...]
    text: str
    asked: date | None = None
    answer: str = ""


@dataclass(frozen=True)
class Delivery:
    """Whether a part is here: on hand, on order, back order, comes with a step."""

    part: str
    state: str
    due: date | None = None
    note: str = ""


@dataclass(frozen=True)
class HoursEntry:
    """Minutes at one operation on one day."""

    day: date
    operation: str
    minutes: int
    count: int | None = None
    counted: str = ""
    note: str = ""


@dataclass(frozen=True)
class MeasuredHead:
    """A shop head as measured, what was seen on it, and how far it was off.

    `offset_mm` is how far it stands off centre, `proud_mm` how far the manufactured
    head stands up; None where it was not measured.
    """

    hole: str
    width_mm: float
    height_mm: float
    note: str = ""
    day: date | None = None
    looks: tuple[str, ...] = ()
    offset_mm: float | None = None
    proud_mm: float | None = None


@dataclass(frozen=True)
class StepState:
    """How far a step is."""

    step: str
    state: str
    note: str = ""


@dataclass(frozen=True)
class WorkDone:
    """Work on holes that had been done: which operation, on which day, by whom.

    `operation` is drilled, deburred, dimpled, countersunk, primed, set or removed;
    `part` names the sheet it was done to (empty: every sheet). `by` are ids of
    people. `callout` is what was really set, where it was not the row's.
    """

    operation: str
    holes: tuple[str, ...]
    day: date | None = None
    part: str = ""
    by: tuple[str, ...] = ()
    setup: str = ""
    callout: str = ""
    note: str = ""


@dataclass(frozen=True)
class BulletinIn:
    """A bulletin that came in, and when."""

    id: str
    day: date | None = None
    title: str = ""


@dataclass(frozen=True)
class Opening:
    """Everything that had happened by `day`."""

    day: date | None = None
    set_holes: tuple[str, ...] = ()
    drilled: tuple[str, ...] = ()
    holds: tuple[Hold, ...] = ()
    questions: tuple[Question, ...] = ()
    deliveries: tuple[Delivery, ...] = ()
    steps: tuple[StepState, ...] = ()
    hours: tuple[HoursEntry, ...] = ()
    heads: tuple[MeasuredHead, ...] = ()
    done: tuple[WorkDone, ...] = ()
    bulletins: tuple[BulletinIn, ...] = ()

"""The fields of an `opening:` block: what had already happened."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field

from rivetwright.intake.fields import (
    Day,
    HoleText,
    Minutes,
    Name,
    OrText,
    Size,
    SomeHoles,
    Text,
    Title,
)
from rivetwright.intake.shape import Form, Kept

HoldKind = Literal["question", "part", "tool", "bulletin", "other"]
HeadLook = Literal[
    "cracked",
    "gap under the manufactured head",
    "gap under the shop head",
    "tool mark",
    "tool mark, shallow to the eye",
    "sheets open",
    "leans",
    "tail bent over",
    "stepped",
    "off centre",
    "manufactured head proud",
    "loose",
    "head cut",
    "low",
    "high",
]


class HoldForm(Form):
    """A reason holes must wait."""

    holes: SomeHoles
    reason: Text
    kind: HoldKind = "other"
    name: Title = Field(default="", description="of the question, part or tool")
    until: Day | None = None
    stack: Title = Field(default="", description="what is expected then, in words")
    callout: Title = ""


class QuestionForm(Form):
    """A question to the kit supplier or an inspector."""

    holes: SomeHoles = ()
    text: Text
    asked: Day | None = None
    answer: Text = ""


def _state_alone(written: Any) -> Any:
    """Take one word for the state alone."""
    return {"state": written} if isinstance(written, str) else written


class DeliveryForm(Form):
    """Whether a part is here."""

    state: Title
    due: Day | None = None
    note: Text = ""


class StepStateForm(Form):
    """How far a step is."""

    state: Literal["not started", "under way", "waiting", "done"]
    note: Text = ""


OneDelivery = Annotated[DeliveryForm, BeforeValidator(_state_alone), OrText()]
OneState = Annotated[StepStateForm, BeforeValidator(_state_alone), OrText()]


class HoursForm(Form):
    """Minutes at one operation on one day."""

    day: Day
    operation: Title
    minutes: Minutes
    counted: Title = Field(default="", description="how many of what: 172 holes")
    note: Text = ""


class HeadForm(Form):
    """A shop head as measured."""

    hole: HoleText
    width: Size
    height: Size
    day: Day | None = None
    looks: tuple[HeadLook, ...] = Field(default=(), description="what was seen on it")
    offset: Size | None = Field(default=None, description="how far off centre")
    proud: Size | None = Field(
        default=None, description="how far the manufactured head stands up"
    )
    note: Text = ""


class DoneForm(Form):
    """Work on holes that had been done."""

    operation: Literal[
        "drilled", "deburred", "dimpled", "countersunk", "primed", "set", "removed"
    ]
    holes: SomeHoles
    day: Day | None = None
    part: Title = Field(default="", description="the sheet; left out, every sheet")
    by: tuple[Name, ...] = ()
    setup: Title = ""
    callout: Title = Field(default="", description="really set, where not the row's")
    note: Text = ""


class BulletinInForm(Form):
    """A bulletin that came in."""

    day: Day | None = None
    title: Title = ""


class OpeningForm(Form):
    """Everything that had happened by a day."""

    day: Day | None = None
    drilled: SomeHoles = ()
    set: SomeHoles = ()
    holds: dict[Name, Kept[HoldForm]] = Field(default={})
    questions: dict[Name, Kept[QuestionForm]] = Field(default={})
    deliveries: dict[Title, Kept[OneDelivery]] = Field(default={})
    steps: dict[Name, Kept[OneState]] = Field(default={})
    hours: tuple[Kept[HoursForm], ...] = ()
    heads: tuple[Kept[HeadForm], ...] = ()
    done: tuple[Kept[DoneForm], ...] = ()
    bulletins: dict[Name, Kept[BulletinInForm]] = Field(default={})

"""The fields of a shop file, with what each of them means."""

from __future__ import annotations

import re
from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field, PlainValidator, WithJsonSchema

from rivetwright.errors import Refusal
from rivetwright.intake.fields import (
    Count,
    Day,
    Diameter,
    Hours,
    Name,
    OrText,
    Ratio,
    Size,
    Text,
    Title,
    Whole,
    refuse,
)
from rivetwright.intake.opening_forms import HoursForm
from rivetwright.intake.shape import Form, Kept
from rivetwright.units.force import parse_force_n, parse_pressure_kpa

SHOP_FORMAT = "rivetwright shop 1"


def _force(written: Any) -> float:
    """Read a force [N]."""
    try:
        return float(parse_force_n(written))
    except Refusal as why:
        raise refuse(written, why.allowed, why.do) from None


def _pressure(written: Any) -> float:
    """Read a pressure [kPa]."""
    try:
        return float(parse_pressure_kpa(written))
    except Refusal as why:
        raise refuse(written, why.allowed, why.do) from None


def _clock(written: Any) -> str:
    """Read a time of day."""
    if isinstance(written, str) and re.fullmatch(r"([01]\d|2[0-3]):[0-5]\d", written):
        return written
    raise refuse(written, "a time of day as 21:00", "Write hours and minutes")


def _spare(written: Any) -> Any:
    """Take `10 %` for .10."""
    if isinstance(written, str) and (match := re.fullmatch(r"(\d+) ?%", written)):
        return str(int(match[1]) / 100)
    return written


Force = Annotated[
    float,
    PlainValidator(_force),
    WithJsonSchema({"type": ["string", "number"], "description": "3000 lbf, 13 kN"}),
]
Pressure = Annotated[
    float,
    PlainValidator(_pressure),
    WithJsonSchema({"type": ["string", "number"], "description": "90 psi, 6 bar"}),
]
Clock = Annotated[
    str,
    PlainValidator(_clock),
    WithJsonSchema({"type": "string", "pattern": r"^\d\d:\d\d$"}),
]


class PersonForm(Form):
    """Somebody who works on the aircraft."""

    name: Title
    role: Literal["builder", "helper", "inspector", "reader"] = "builder"
    note: Text = ""


class ToolForm(Form):
    """A yoke, bar, back-rivet plate or puller; a size left out limits nothing."""

    kind: Literal["yoke", "bar", "back-rivet", "puller"]
    title: Title = ""
    reach: Size | None = None
    gap: Size | None = None
    nose: Size | None = None
    half_width: Size | None = None
    largest: Diameter | None = Field(default=None, description="largest rivet")
    closed_height: Size | None = Field(
        default=None, description="between die seats, ram fully out"
    )
    jumps_flange: Size | None = None
    state: Literal["owned", "on order"] = "owned"
    due: Day | None = None
    note: Text = ""


class SqueezerForm(Form):
    """A squeezer that takes the yokes."""

    title: Title
    force: Force | None = None
    pressure: Pressure | None = None
    stroke: Size | None = None
    largest: Diameter | None = None
    note: Text = ""


class DieForm(Form):
    """A die: working length from its seat to the face that touches."""

    kind: Literal["flat", "cup", "dimple", "countersink"]
    length: Size
    fits: Diameter | None = None
    count: Count = 1


class WorkTimeForm(Form):
    """When the shop works."""

    day: Title
    hours: Hours
    note: Text = ""


class ShopOpeningForm(Form):
    """Stock counted, and hours that belong to no one assembly."""

    day: Day | None = None
    stock: dict[Title, Whole] = Field(default={}, description="rivet code: count")
    hours: tuple[Kept[HoursForm], ...] = ()


class ShopForm(Form):
    """What the builder owns and who works there."""

    format: Title
    id: Name
    name: Title
    unit: Literal["in", "mm"]
    time_zone: Title = ""
    people: dict[Name, Kept[PersonForm]] = Field(default={})
    calendar: tuple[Kept[WorkTimeForm], ...] = ()
    quiet_after: Clock = ""
    noisy: tuple[Title, ...] = ()
    tools: dict[Name, Kept[ToolForm]] = Field(default={})
    squeezers: tuple[Kept[SqueezerForm], ...] = ()
    dies: tuple[Kept[DieForm], ...] = ()
    shims: tuple[Size, ...] = ()
    holders: dict[Diameter, Whole] = Field(
        default={}, description="sheet holders owned, by size"
    )
    reorder_days: Whole | None = None
    order_count_min: Whole | None = None
    spare: Annotated[Ratio, BeforeValidator(_spare), OrText()] = Field(
        default=0.10, description="share kept spare: 10 % or .10"
    )
    spare_count_min: Whole = 5
    also_owned: tuple[Title, ...] = ()
    storage: tuple[Title, ...] = ()
    note: Text = ""
    opening: Kept[ShopOpeningForm] = None

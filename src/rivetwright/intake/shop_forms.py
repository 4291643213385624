"""The fields of a shop file, with what each of them means."""

from __future__ import annotations

import re
from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field, PlainValidator, WithJsonSchema

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
    YesNo,
    refuse,
)
from rivetwright.intake.opening_forms import HoursForm
from rivetwright.intake.quantities import (
    CylinderBore,
    DeadBand,
    DieLength,
    FaceSize,
    Flow,
    FlowCoefficient,
    Force,
    HoseBore,
    LeverRatio,
    PinLength,
    Pressure,
    Run,
    ShimSize,
    Stiffness,
    Stroke,
    Volume,
    Weight,
)
from rivetwright.intake.shape import Form, Kept

SHOP_FORMAT = "rivetwright shop 1"


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
    jaw_is_die: YesNo = Field(default=False, description="the fixed jaw is the die")
    stiffness: Stiffness | None = Field(
        default=None, description="force that springs the yoke open"
    )
    weight: Weight | None = None
    state: Literal["owned", "on order"] = "owned"
    due: Day | None = None
    note: Text = ""


class SqueezerForm(Form):
    """A squeezer that takes the yokes: pneumatic, or worked by hand."""

    title: Title
    kind: Literal["pneumatic", "hand"] = "pneumatic"
    force: Force | None = Field(default=None, description="rated, at the pressure")
    pressure: Pressure | None = None
    stroke: Stroke | None = Field(default=None, description="travel of the ram")
    full_force_within: Stroke | None = Field(
        default=None, description="the last travel, where it has its rated force"
    )
    bore: CylinderBore | None = Field(default=None, description="of the air cylinder")
    cylinder_stroke: Stroke | None = None
    hand_force: Force | None = Field(default=None, description="at the handles")
    lever_ratio: LeverRatio | None = None
    largest: Diameter | None = None
    note: Text = ""


class DieForm(Form):
    """A die: working length from its seat to the face that touches."""

    kind: Literal["flat", "cup", "male", "female"]
    length: DieLength
    length_max: DieLength | None = Field(
        default=None, description="of a threaded holder turned out"
    )
    fits: Diameter | None = None
    count: Count = 1
    face: FaceSize | None = Field(default=None, description="across the face")
    engaged: DieLength | None = Field(
        default=None, description="shank or thread in its seat, without shims"
    )
    engaged_min: DieLength | None = None
    note: Text = ""


class GunForm(Form):
    """A rivet gun."""

    title: Title
    largest: Diameter | None = None
    note: Text = ""


class GunSetForm(Form):
    """A set for the rivet gun: cupped, flush, or for back-riveting."""

    kind: Literal["cup", "flush", "back-rivet"]
    fits: Diameter | None = None
    face: FaceSize | None = Field(default=None, description="across the face")
    note: Text = ""


class CompressorForm(Form):
    """The compressor: what it gives, its tank, when it starts and stops."""

    title: Title = ""
    tank: Volume | None = None
    free_air: Flow | None = None
    starts: Pressure | None = None
    stops: Pressure | None = None


class AirPieceForm(Form):
    """One piece of the air line."""

    kind: Literal["regulator", "hose", "pipe", "coupler", "pedal"]
    title: Title = ""
    set: Pressure | None = Field(default=None, description="what it is set to")
    dead_band: DeadBand | None = Field(
        default=None, description="least drop from in to out"
    )
    bore: HoseBore | None = None
    length: Run | None = None
    count: Count = 1
    cv: FlowCoefficient | None = None


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
    shims: tuple[ShimSize, ...] = ()
    pins: tuple[PinLength, ...] = Field(
        default=(), description="ram pins, by how much longer than the shortest"
    )
    guns: tuple[Kept[GunForm], ...] = ()
    gun_sets: tuple[Kept[GunSetForm], ...] = ()
    compressor: Kept[CompressorForm] = None
    air_line: tuple[Kept[AirPieceForm], ...] = Field(
        default=(), description="in order from the tank to the tool"
    )
    holders: dict[Diameter, Whole] = Field(
        default={}, description="sheet holders owned, by size"
    )
    costs: dict[Title, Title] = Field(
        default={}, description="own figures for the order of work, by name"
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

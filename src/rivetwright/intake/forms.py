"""The fields of a plan file and of a bulletin, with what each of them means."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field, WithJsonSchema

from rivetwright.intake.fields import (
    Count,
    Day,
    Degrees,
    Diameter,
    Exact,
    Gap,
    Minutes,
    Name,
    OrText,
    Place,
    Point,
    Size,
    SomeGaps,
    SomeHoles,
    SomeNames,
    SomeTitles,
    Text,
    Thickness,
    Title,
    Whole,
    YesNo,
)
from rivetwright.intake.opening_forms import OpeningForm
from rivetwright.intake.quantities import FilmSize, WorkTime
from rivetwright.intake.shape import Form, Kept
from rivetwright.standards.flush import DEFAULT_COUNTERSINK_SET
from rivetwright.standards.holes import DEFAULT_HOLE_SET
from rivetwright.standards.lengths import DEFAULT_ROUNDING
from rivetwright.standards.shop_heads import DEFAULT_LIMIT_SET

PLAN_FORMAT = "rivetwright plan 1"
BULLETIN_FORMAT = "rivetwright bulletin 1"

OTHERS = "others"

Points = tuple[Point, ...]

Preparation = Literal["plain", "dimple", "countersink"]


def _for_others(written: Any) -> Any:
    """Take one preparation for that of all parts."""
    return {OTHERS: written} if isinstance(written, str) else written


PreparationByPart = Annotated[
    dict[Title, Preparation], BeforeValidator(_for_others), OrText()
]

Span = Annotated[
    tuple[Place, Place],
    WithJsonSchema(
        {
            "type": "array",
            "items": {"type": ["string", "number"]},
            "minItems": 2,
            "maxItems": 2,
            "description": "from and to along one axis",
        }
    ),
]


class ProjectForm(Form):
    """The aircraft the plan belongs to."""

    id: Title = Field(description="permanent uuid of the project")
    name: Title
    note: Text = ""


class AssemblyForm(Form):
    """The assembly the plan is about."""

    id: Name = Field(description="permanent id of the assembly")
    name: Title


class RulesForm(Form):
    """Which named rule sets are followed."""

    head_limits: Title = DEFAULT_LIMIT_SET
    length_rounding: Title = DEFAULT_ROUNDING
    drills: Title = DEFAULT_HOLE_SET
    countersink: Title = DEFAULT_COUNTERSINK_SET
    whole_lengths: tuple[Diameter, ...] = Field(
        default=(), description="diameters the kit supplies in whole lengths only"
    )
    oversize_shanks: dict[Title, Exact] = Field(
        default={}, description="shank of oversize-shank rivets, by kind: NAS1241AD4"
    )
    holders: dict[Title, Title] = Field(
        default={}, description="distances the drawing gives: held within: 2 in"
    )


class BlindCodeForm(Form):
    """A blind rivet code of the kit's own."""

    head: Literal["dome", "flush"] = "dome"
    diameter: Exact
    grip: tuple[Exact, Exact] = Field(description="from and to")
    head_height: Exact | None = None


class PartForm(Form):
    """A part as the drawing names it."""

    title: Title = ""
    thickness: Thickness
    material: Title = ""
    bend_radius: Size | None = None
    quantity: Count = 1
    size: Title = ""
    flanges: Title = ""
    standard: YesNo = Field(default=False, description="a standard part")


class CutOutForm(Form):
    """A hole cut out of a part: round, or with corners."""

    centre: Point | None = None
    radius: Size | None = None
    corners: Points | None = None
    note: Title = ""


class LegForm(Form):
    """A flange or leg that stands up along a bend of a part."""

    side: Name = Field(description="the bend it stands on, as `bends` names it")
    height: Size = Field(description="from the sheet's face to its free edge")
    stands: Literal["away", "toward"] = Field(
        default="away", description="away from the side seen, or toward it"
    )


class LayerForm(Form):
    """A part as it lies in a face: a rectangle, or corners."""

    part: Name
    u: Span | None = None
    v: Span | None = None
    corners: Points | None = None
    bends: tuple[Name, ...] = Field(
        default=(),
        description="sides that are bends: u0 u1 v0 v1, or the numbers of sides",
    )
    legs: tuple[LegForm, ...] = Field(
        default=(), description="flanges and legs that stand up along bends"
    )
    cut_outs: tuple[CutOutForm, ...] = ()
    from_step: Name = Field(default="", alias="from")
    for_open: Name = Field(default="", alias="for")


class FaceForm(Form):
    """A flat or unrolled surface in which parts lie over each other."""

    title: Title = ""
    axis_u: Title = ""
    axis_v: Title = ""
    side_seen: Title = ""
    edges: dict[Literal["u0", "u1", "v0", "v1"], Title] = Field(default={})
    taper: tuple[tuple[Place, Gap], ...] = Field(
        default=(), description="free depth behind a flange: [v, gap] pairs"
    )
    opposite: Name = Field(
        default="", description="face on the other side of that depth, same u and v"
    )
    layers: tuple[Kept[LayerForm], ...] = Field(
        default=(), description="from the side seen to the far side"
    )


class ArcForm(Form):
    """Holes on a circle."""

    centre: Point
    radius: Size
    start: Degrees
    end: Degrees


class ExtraForm(Form):
    """A hole of a row that its pattern does not give."""

    number: Count
    at: Point | None = None


class SealantForm(Form):
    """Sealant between the sheets of a row."""

    work_time: WorkTime = Field(description="how long a mix can be worked")
    thickness: FilmSize | None = Field(
        default=None, description="all layers together, once clamped; counts as grip"
    )


class RowForm(Form):
    """A row of holes: places, stack, callout, step."""

    id: Title = ""
    face: Name = ""
    at: Point | None = Field(default=None, description="the first hole")
    by: Point | None = Field(default=None, description="step from hole to hole")
    start: Point | None = Field(default=None, description="first of two ends")
    end: Point | None = Field(default=None, description="second of two ends")
    pitch: Size | None = None
    arc: ArcForm | None = None
    along: Points | None = Field(default=None, description="a line with corners")
    points: Points | None = Field(default=None, description="every hole")
    count: Count | None = None
    skip: tuple[Count, ...] = ()
    extra: tuple[ExtraForm, ...] = Field(
        default=(), description="holes the pattern does not give"
    )
    places: Title = "dimensioned"
    stack: tuple[Title, ...] = Field(
        default=(), description="manufactured-head side first: `502 dimple`"
    )
    preparation: PreparationByPart = Field(
        default={},
        description="where the stack comes from the outlines: for all, or by part",
    )
    callout: Title
    head: Literal["near", "far"] = "near"
    step: Name
    drill: Size | None = None
    sealant: SealantForm | None = None
    was: SomeNames = Field(default=(), description="older names, oldest first")
    changed_by: Title = Field(
        default="", description="bulletin that gave the row its present form"
    )
    note: Text = ""


class AccessForm(Form):
    """What stands round some rows at their step."""

    rows: SomeNames
    entry: SomeGaps = Field(
        default=(), description="one for the worst hole, or one for each hole"
    )
    throat_flange: Gap = 0.0
    gap_behind: Title = Field(
        default="open", description="open, closed, taper, or a length"
    )
    wall_shop: Gap | None = None
    wall_head: Gap | None = None
    both_sides: YesNo = True
    tools: SomeNames = ()


class StepForm(Form):
    """A step of the kit's manual."""

    title: Title = ""
    needs: SomeTitles = ()
    closes: SomeNames = ()
    text: Text = ""
    text_sets: SomeHoles = Field(
        default=(), description="holes the words tell one to set"
    )
    drawing_note: Text = ""
    kit_minutes: Minutes | None = None
    inspection: YesNo = False


class OpenHolesForm(Form):
    """Holes left open for a later part or step."""

    holes: SomeHoles
    reason: Text
    step: Name = ""
    part: Name = ""
    stack: tuple[Title, ...] = ()
    callout: Title = ""


class PlanForm(Form):
    """One assembly."""

    format: Title
    project: Kept[ProjectForm]
    assembly: Kept[AssemblyForm]
    unit: Literal["in", "mm"]
    drawing: Title = ""
    revision: Count = 1
    based_on: Whole = 0
    issued: Day | None = None
    note: Text = ""
    rules: Kept[RulesForm] = None
    blind_codes: dict[Name, Kept[BlindCodeForm]] = Field(default={})
    parts: dict[Name, Kept[PartForm]] = Field(default={})
    faces: dict[Name, Kept[FaceForm]] = Field(default={})
    steps: dict[Name, Kept[StepForm]] = Field(default={})
    rows: dict[Name, Kept[RowForm]] = Field(default={})
    access: tuple[Kept[AccessForm], ...] = ()
    open_holes: dict[Name, Kept[OpenHolesForm]] = Field(default={})
    opening: Kept[OpeningForm] = None


class AddedLayerForm(LayerForm):
    """A layer a bulletin puts into a face."""

    face: Name
    before: Name = ""


class BulletinForm(Form):
    """A service bulletin or a changed drawing."""

    format: Title
    id: Name
    title: Title
    assembly: Name
    based_on: Count
    unit: Literal["in", "mm"] | None = None
    day: Day | None = None
    text: Text = ""
    kit: Title = ""
    kit_contents: dict[Title, Count] = Field(default={})
    parts: dict[Name, Kept[PartForm]] = Field(default={})
    layers: tuple[Kept[AddedLayerForm], ...] = ()
    steps: dict[Name, Kept[StepForm]] = Field(default={})
    rows: dict[Name, Kept[RowForm]] = Field(default={})
    access: tuple[Kept[AccessForm], ...] = ()

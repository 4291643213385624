"""The plan of one assembly: what the drawings say, as frozen values."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date
from fractions import Fraction

from rivetwright.model.opening import Opening
from rivetwright.model.outline import Face
from rivetwright.model.pattern import Pattern, Point
from rivetwright.model.step import Step
from rivetwright.standards.blind import KitBlindCode
from rivetwright.standards.codes import RivetCode
from rivetwright.standards.flush import DEFAULT_COUNTERSINK_SET
from rivetwright.standards.holes import DEFAULT_HOLE_SET
from rivetwright.standards.lengths import DEFAULT_ROUNDING
from rivetwright.standards.shop_heads import DEFAULT_LIMIT_SET

Callout = RivetCode | KitBlindCode

PLAIN, DIMPLE, COUNTERSINK = "plain", "dimple", "countersink"
PREPARATIONS = (PLAIN, DIMPLE, COUNTERSINK)
NEAR, FAR = "near", "far"
DIMENSIONED, MEASURED, PICTURE, SKETCHED = (
    "dimensioned",
    "measured",
    "picture",
    "sketched",
)
PLACE_KINDS = (DIMENSIONED, MEASURED, PICTURE, SKETCHED)


@dataclass(frozen=True)
class Part:
    """What the drawing names: one kind of sheet, angle, bracket or standard part."""

    name: str
    title: str
    thickness_mm: float
    material: str = ""
    bend_radius_mm: float | None = None
    quantity: int = 1
    size: str = ""
    flanges: str = ""
    is_standard: bool = False


@dataclass(frozen=True)
class Sheet:
    """One sheet of a stack as written: which part, and how its hole is prepared."""

    part: str
    preparation: str = PLAIN


@dataclass(frozen=True)
class ExtraHole:
    """A hole of a row that the pattern does not give."""

    number: int
    place_mm: Point | None = None


@dataclass(frozen=True)
class Access:
    """What stands round a row at its step, entered by hand; kept for the tools part.

    `None` means open (nothing in the way). `gap_behind` is "number" (with
    `gap_behind_mm`), "open", "closed" or "taper" (see the taper of the face).
    `entry_mm` is that of the worst hole; `entry_by_hole_mm` where each differs.
    """

    entry_mm: float | None = None
    entry_by_hole_mm: tuple[float, ...] = ()
    throat_flange_mm: float = 0.0
    gap_behind_mm: float | None = None
    gap_behind: str = "open"
    wall_shop_mm: float | None = None
    wall_head_mm: float | None = None
    both_sides: bool = True
    tools: tuple[str, ...] = ()


@dataclass(frozen=True)
class Sealant:
    """Wet between the sheets: how long it can be worked, how thick it is in all."""

    work_s: float
    thickness_mm: float = 0.0


@dataclass(frozen=True)
class Row:
    """A row of holes: places, callout, stack as written, step.

    `id` is permanent; `name` is a label. Holes keep the number of their
    position in the pattern, so a skipped position leaves a gap in the numbers.
    `stack` is written manufactured-head side first; empty: from the outlines,
    prepared as `preparation` says (by part name; "*" for all others).
    `changed_by` names the bulletin that gave the row its present form.
    """

    id: str
    name: str
    callout: Callout
    pattern: Pattern
    step: str
    face: str = ""
    stack: tuple[Sheet, ...] = ()
    preparation: tuple[tuple[str, str], ...] = ()
    head_side: str = NEAR
    skip: tuple[int, ...] = ()
    extra: tuple[ExtraHole, ...] = ()
    places: str = DIMENSIONED
    place_tolerance_mm: float = 0.0
    drill_mm: float | None = None
    sealant: Sealant | None = None
    access: Access | None = None
    was: tuple[str, ...] = ()
    changed_by: str = ""
    note: str = ""


@dataclass(frozen=True)
class HoleRange:
    """Holes of one row by number: `A12:18-20` is row A12, 18 to 20."""

    row: str
    first: int
    last: int

    def __str__(self) -> str:
        """As the trade writes it."""
        tail = "" if self.first == self.last else f"-{self.last}"
        return f"{self.row}:{self.first}{tail}"


@dataclass(frozen=True)
class OpenHoles:
    """Holes left open for a later part or step, and what is set there then.

    `stack` and `callout` say what is set *then*; empty and None: as the row.
    """

    id: str
    holes: tuple[HoleRange, ...]
    reason: str
    step: str = ""
    part: str = ""
    stack: tuple[Sheet, ...] = ()
    callout: Callout | None = None


@dataclass(frozen=True)
class Project:
    """The aircraft this plan belongs to; `id` is permanent."""

    id: str
    name: str
    note: str = ""


@dataclass(frozen=True)
class RuleSets:
    """Which published rule is followed where they disagree; names of sets.

    `whole_lengths_32nds`: diameters (1/32 in) supplied in whole lengths only.
    `oversize_shanks_mm`: shank of each kind of oversize-shank rivet, by part number
    without length, as the user measured it or read it on its standard sheet.
    `held_mm`: distances between what is fast that the drawing gives, by their names
    among the figures of the order of work.
    """

    head_limits: str = DEFAULT_LIMIT_SET
    length_rounding: str = DEFAULT_ROUNDING
    drills: str = DEFAULT_HOLE_SET
    countersink: str = DEFAULT_COUNTERSINK_SET
    whole_lengths_32nds: tuple[int, ...] = ()
    oversize_shanks_mm: tuple[tuple[str, Fraction], ...] = ()
    held_mm: tuple[tuple[str, float], ...] = ()


@dataclass(frozen=True)
class Plan:
    """One assembly, one revision."""

    id: str
    name: str
    project: Project
    unit: str
    parts: tuple[Part, ...]
    faces: tuple[Face, ...]
    rows: tuple[Row, ...]
    steps: tuple[Step, ...]
    open_holes: tuple[OpenHoles, ...] = ()
    blind_codes: tuple[KitBlindCode, ...] = ()
    rule_sets: RuleSets = field(default_factory=RuleSets)
    opening: Opening = field(default_factory=Opening)
    revision: int = 1
    based_on: int = 0
    drawing: str = ""
    issued: date | None = None
    note: str = ""
    file: str = ""

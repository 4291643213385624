"""Everything known of one hole, in the order a builder asks for it."""

from __future__ import annotations

from dataclasses import dataclass

from rivetwright.bench.verdicts import verdict_at
from rivetwright.engines.checks import Finding
from rivetwright.engines.edge import EdgeWitness, edge_witness
from rivetwright.engines.plan import WorkedPlan
from rivetwright.engines.rules import REGISTRY
from rivetwright.engines.worked import Working, working
from rivetwright.model.opening import Hold
from rivetwright.model.plan import OpenHoles, Sheet
from rivetwright.standards.source import Status

# What a hole card shows, group by group; every name is a rule's output.
GROUPS: tuple[tuple[str, tuple[str, ...]], ...] = (
    ("stack", ("used_stack", "drawn_stack", "grip_mm", "later_part")),
    (
        "length",
        (
            "callout_length_16ths",
            "handbook_length_mm",
            "wanted_length_16ths",
            "legal_length_codes",
            "window_low_mm",
            "window_high_mm",
            "protrusion_mm",
            "stand_off_mm",
            "blind_grip_mm",
            "blind_grip_min_mm",
            "blind_grip_max_mm",
            "wanted_blind_code",
        ),
    ),
    (
        "head",
        (
            "head_height_aim_mm",
            "head_width_mm",
            "head_width_low_mm",
            "head_width_high_mm",
            "head_width_min_mm",
            "head_height_min_mm",
            "head_height_max_mm",
        ),
    ),
    (
        "hole",
        (
            "drill_name",
            "hole_diameter_mm",
            "drill_low_mm",
            "drill_high_mm",
            "hole_high_mm",
            "preparation_words",
            "countersunk_thickness_mm",
            "countersink_min_sheet_mm",
            "nested_width_mm",
            "nested_depth_mm",
            "nested_land_mm",
        ),
    ),
    (
        "place",
        (
            "place_u_mm",
            "place_v_mm",
            "place_tolerance_mm",
            "edge_distance_mm",
            "edge_ratio",
            "pitch_mm",
            "pitch_ratio",
            "row_distance_mm",
            "flat_distance_mm",
            "step_distance_head_mm",
            "step_distance_shop_mm",
        ),
    ),
    (
        "next size",
        (
            "next_diameter_mm",
            "next_drill_name",
            "next_length_16ths",
            "next_edge_ratio",
            "next_pitch_ratio",
        ),
    ),
)


@dataclass(frozen=True)
class Quantity:
    """One figure of a hole; its working opens under its name."""

    name: str
    value: float | str
    unit: str
    status: Status

    @property
    def is_known(self) -> bool:
        """Whether there is a figure at all: not NaN and not an empty word."""
        return self.value == self.value and self.value != ""


@dataclass(frozen=True)
class SheetAtHole:
    """One sheet of the stack with its thickness and its own edge distance."""

    sheet: Sheet
    thickness_mm: float
    material: str
    edge: EdgeWitness | None


@dataclass(frozen=True)
class HoleCard:
    """One hole; `groups` hold only the figures that are known."""

    hole: int
    name: str
    id: str
    row: str
    face: str
    callout: str
    head_side: str
    step: str
    state: str
    verdict: str
    sheets: tuple[SheetAtHole, ...]
    groups: tuple[tuple[str, tuple[Quantity, ...]], ...]
    open_holes: OpenHoles | None
    hold: Hold | None
    findings: tuple[Finding, ...]
    status: Status


def quantity(worked_plan: WorkedPlan, hole: int, name: str) -> Quantity:
    """One figure with the weakest status it rests on.

    Raises:
        NotFound: no rule puts out that name.
    """
    opened = working(worked_plan.worked, name, hole)
    value = opened.value if isinstance(opened.value, str) else float(opened.value)
    return Quantity(name, value, REGISTRY[name].unit, opened.status)


def open_working(worked_plan: WorkedPlan, hole: int, name: str) -> Working:
    """How one figure came about, down to what the drawing gives.

    Raises:
        NotFound: no rule puts out that name.
    """
    return working(worked_plan.worked, name, hole)


def _sheets(worked_plan: WorkedPlan, hole: int) -> tuple[SheetAtHole, ...]:
    """The stack sheet by sheet, manufactured-head side first."""
    worked = worked_plan.worked
    stacks = worked.stacks
    parts = {part.name: part for part in worked.plan.parts}
    found = []
    one = stacks.classes[stacks.class_of[hole]]
    for sheet, layer in zip(one.sheets, stacks.layer[hole], strict=False):
        part = parts[sheet.part]
        edge = None
        if layer >= 0 and not part.is_standard and not worked.holes.is_sketched[hole]:
            edge = edge_witness(worked, hole, stacks.layers[layer].layer)
        found.append(SheetAtHole(sheet, part.thickness_mm, part.material, edge))
    return tuple(found)


def hole_card(worked_plan: WorkedPlan, hole: int) -> HoleCard:
    """Everything known of one hole."""
    worked = worked_plan.worked
    holes, plan = worked.holes, worked.plan
    row = holes.row_of(hole)
    groups = []
    for title, names in GROUPS:
        figures = [quantity(worked_plan, hole, name) for name in names]
        known = tuple(figure for figure in figures if figure.is_known)
        # How well a place is known says nothing of a hole that has none.
        if any(figure.name != "place_tolerance_mm" for figure in known):
            groups.append((title, known))
    statuses = [figure.status for _, figures in groups for figure in figures]
    opened, held = int(holes.open_holes[hole]), int(holes.hold[hole])
    step = int(holes.step[hole])
    return HoleCard(
        hole=hole,
        name=holes.name(hole),
        id=holes.id(hole),
        row=row.name,
        face=row.face,
        callout=str(holes.callout(hole)),
        head_side=row.head_side,
        step=plan.steps[step].name if step >= 0 else "",
        state=holes.state(hole),
        verdict=verdict_at(worked_plan, hole),
        sheets=_sheets(worked_plan, hole),
        groups=tuple(groups),
        open_holes=plan.open_holes[opened] if opened >= 0 else None,
        hold=plan.opening.holds[held] if held >= 0 else None,
        findings=tuple(f for f in worked_plan.findings if hole in f.holes),
        status=max(statuses, key=lambda status: status.rank, default=Status.READ),
    )

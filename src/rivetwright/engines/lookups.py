"""Look-ups: one value per kind of callout, from the named tables.

Nothing is read beyond a table: where it has no row, the value stays empty (NaN)
and the check TABLE-01 says which figure is missing.
"""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from functools import lru_cache
from operator import attrgetter
from typing import Any

import numpy as np

from rivetwright.engines.rules import CLASS, TABLE, Column, Witness, formula, rule
from rivetwright.engines.stacks import Kind
from rivetwright.engines.worked import Worked
from rivetwright.errors import OutsideTable
from rivetwright.model.plan import RuleSets
from rivetwright.standards import flush, forming, heads, holes, shop_heads, spacing
from rivetwright.standards.blind import KitBlindCode
from rivetwright.standards.codes import DIAMETER_32NDS_MOST, RivetCode
from rivetwright.standards.rework import next_diameter_32nds
from rivetwright.standards.source import Looked, Source, Status

TABLES = Source("a named table; its row is given", "", Status.READ)
HOLE_GROWTH = Source(
    "builder's measurement in a public forum",
    "a #40 hole passed a #37 (0.104) after dimpling; other sizes in like measure",
    Status.SECOND_HAND,
    "measure before dimpling",
)

Look = Callable[[Kind, RuleSets], Looked[Any] | None]
Part = Callable[[Any], Any]
_LOOKS: dict[str, Look] = {}
# The tables do not change while the program runs, and callouts are few.
ANSWERS_KEPT = 4096


@lru_cache(maxsize=ANSWERS_KEPT)
def _answer(look: Look, kind: Kind, sets: RuleSets) -> tuple[Looked[Any] | None, bool]:
    """What a table gives for one kind, and whether it lacks a row that is needed."""
    try:
        return look(kind, sets), False
    except OutsideTable:
        return None, True


def _ask(look: Look, kind: Kind, sets: RuleSets) -> Looked[Any] | None:
    """Look up for one kind; None where the table has no row or none is wanted."""
    return _answer(look, kind, sets)[0]


def found_row(found: Looked[Any] | None) -> Witness | None:
    """The table row behind a figure, as a witness.

    Source: the row's own.
    """
    if found is None:
        return None
    return Witness("table row", {"row": found.row}, found.source)


def _table_rule(
    output: str,
    title: str,
    look: Look,
    part: Part = lambda value: value,
    *,
    unit: str = "mm",
    inputs: tuple[str, ...] = ("shank_diameter_mm",),
    is_needed: bool = True,
) -> None:
    """Register a rule that looks a figure up for every class.

    `part` takes the wanted figure out of what the table gives. With `is_needed`
    a missing figure is told by TABLE-01.
    """

    def run(worked: Worked, *_: Column) -> Column:
        sets, kinds = worked.plan.rule_sets, worked.stacks.kinds
        found = [_ask(look, kind, sets) for kind in kinds.kinds]
        values = [None if one is None else part(one.value) for one in found]
        if unit == "text":
            column = np.array([value or "" for value in values], dtype=object)
        else:
            column = np.array([np.nan if v is None else float(v) for v in values])
        return column[kinds.of_class]

    def witness(worked: Worked, hole: int) -> Witness | None:
        kind = worked.stacks.kind(hole)
        return found_row(_ask(look, kind, worked.plan.rule_sets))

    run.__doc__ = title
    if is_needed:
        _LOOKS[output] = look
    register = rule(
        output,
        inputs=inputs,
        formula="looked up",
        unit=unit,
        source=TABLES,
        level=CLASS,
        kind=TABLE,
        witness=witness,
    )
    register(run)


def _solid(look: Callable[[RivetCode, RuleSets], Looked[Any] | None]) -> Look:
    """A look-up for solid rivets alone."""

    def solid(kind: Kind, sets: RuleSets) -> Looked[Any] | None:
        is_solid = isinstance(kind.callout, RivetCode)
        return look(kind.callout, sets) if is_solid else None  # type: ignore[arg-type]

    return solid


def _hole(kind: Kind, sets: RuleSets) -> Looked[holes.Hole]:
    """The hole of a rivet by the project's drill set."""
    callout = kind.callout
    if isinstance(callout, KitBlindCode):
        return holes.blind_hole(callout.diameter_mm)
    return holes.rivet_hole(callout.nominal_diameter_mm, hole_set=sets.drills)


def _drill_range(kind: Kind, sets: RuleSets) -> Looked[tuple[Fraction, Fraction]]:
    """Least and most hole: printed limits where there are some, else the drill."""
    found = _hole(kind, sets)
    size = found.value.size_mm
    try:
        callout = kind.callout
        if isinstance(callout, RivetCode):
            return holes.hole_limits(callout.nominal_diameter_mm)
    except OutsideTable:
        pass
    low = found.value.least_mm or size
    high = found.value.most_mm or size
    return Looked((low, high), found.row, found.source)


def _head(callout: RivetCode, _: RuleSets) -> Looked[heads.ManufacturedHead]:
    """Manufactured head of a solid rivet."""
    return heads.manufactured_head(callout.standard, callout.nominal_diameter_mm)


def _blind_head_height(kind: Kind, _: RuleSets) -> Looked[Fraction] | None:
    """Height of a blind rivet's head: as the kit declares it, else the flush head."""
    callout = kind.callout
    if not isinstance(callout, KitBlindCode) or not callout.is_flush:
        return None
    if callout.head_height_mm is not None:
        declared = Source("the kit's own blind codes", callout.code, Status.READ)
        return Looked(callout.head_height_mm, callout.code, declared)
    found = heads.manufactured_head("MS20426", callout.diameter_mm)
    return Looked(found.value.height_mm, found.row, found.source)


def _limits(callout: RivetCode, sets: RuleSets) -> Looked[shop_heads.HeadLimits]:
    """Shop-head limits by the project's set."""
    return shop_heads.shop_head_limits(
        callout.nominal_diameter_mm,
        limit_set=sets.head_limits,
        material=callout.material,
    )


def _countersink(kind: Kind, sets: RuleSets) -> Looked[Fraction] | None:
    """Least sheet for a machine countersink, where the stack has one."""
    if not kind.is_countersunk:
        return None
    callout = kind.callout
    if isinstance(callout, RivetCode):
        d = callout.nominal_diameter_mm
    else:
        d = callout.diameter_mm
    return flush.countersink_sheet_least_mm(d, rule_set=sets.countersink)


def _next_size(callout: RivetCode, _: RuleSets) -> Looked[int] | None:
    """The next size up [1/32 in]; None where no larger rivet is made."""
    larger = next_diameter_32nds(callout.diameter_32nds)
    return larger if larger.value <= DIAMETER_32NDS_MOST else None


def _alloy_force(callout: RivetCode, _: RuleSets) -> Looked[forming.AlloyForce]:
    """Force of the rivet's alloy against that of 2117-T4."""
    return forming.alloy_force(callout.material)


def _next_hole(callout: RivetCode, sets: RuleSets) -> Looked[holes.Hole] | None:
    """The hole of the next size up."""
    larger = _next_size(callout, sets)
    if larger is None:
        return None
    d = callout.with_diameter(larger.value).nominal_diameter_mm
    return holes.rivet_hole(d, hole_set=sets.drills)


_table_rule(
    "hole_diameter_mm",
    "Hole as drilled",
    _hole,
    lambda hole: hole.size_mm,
)
_table_rule("drill_name", "Drill", _hole, lambda hole: hole.drill, unit="text")
_table_rule("drill_low_mm", "Least hole", _drill_range, lambda pair: pair[0])
_table_rule("drill_high_mm", "Most hole", _drill_range, lambda pair: pair[1])
_table_rule(
    "head_diameter_mm",
    "Manufactured head, width",
    _solid(_head),
    lambda head: head.width_mm,
)
_table_rule(
    "head_height_mm",
    "Manufactured head, height",
    _solid(_head),
    lambda head: head.height_mm,
    is_needed=False,
)
_table_rule(
    "blind_head_height_mm",
    "Height of the blind rivet's flush head",
    _blind_head_height,
)
_table_rule(
    "head_width_min_mm",
    "Least width of the shop head",
    _solid(_limits),
    lambda limits: limits.width_least_mm,
)
_table_rule(
    "head_height_min_mm",
    "Least height of the shop head",
    _solid(_limits),
    lambda limits: limits.height_least_mm,
)
_table_rule(
    "head_height_max_mm",
    "Most height of the shop head",
    _solid(_limits),
    lambda limits: limits.height_most_mm,
    is_needed=False,
)
_table_rule(
    "countersink_min_sheet_mm",
    "Least sheet for a machine countersink",
    _countersink,
)
_table_rule(
    "land_min_mm",
    "Least land under a countersink",
    lambda *_: flush.countersink_land_least_mm(),
    inputs=(),
)
_table_rule(
    "dimple_max_sheet_mm",
    "Thickest sheet that dimples well",
    lambda *_: flush.dimple_sheet_most_mm(),
    inputs=(),
)
for _name, _title, _look in (
    ("edge_stop_ratio", "Edge distance below which to stop", spacing.edge_floor_d),
    ("edge_check_ratio", "Least edge distance", spacing.edge_least_d),
    ("edge_note_ratio", "Least edge distance, flush", spacing.flush_edge_least_d),
    ("pitch_min_ratio", "Least pitch", spacing.pitch_least_d),
    ("row_min_ratio", "Least row distance", spacing.row_distance_least_d),
):
    _table_rule(
        _name,
        _title,
        lambda *_, look=_look: look(),
        unit="D",
        inputs=(),
    )
_table_rule(
    "next_diameter_32nds",
    "Next size up",
    _solid(_next_size),
    unit="1/32 in",
    is_needed=False,
)
_table_rule(
    "next_hole_mm",
    "Hole of the next size",
    _solid(_next_hole),
    lambda hole: hole.size_mm,
    is_needed=False,
)
_table_rule(
    "next_drill_name",
    "Drill of the next size",
    _solid(_next_hole),
    lambda hole: hole.drill,
    unit="text",
    is_needed=False,
)
for _name, _title, _end in (
    ("force_factor_low", "Force of the alloy against 2117-T4, least", "low"),
    ("force_factor", "Force of the alloy against 2117-T4", "central"),
    ("force_factor_high", "Force of the alloy against 2117-T4, most", "high"),
):
    _table_rule(
        _name,
        _title,
        _solid(_alloy_force),
        attrgetter(_end),
        unit="number",
        is_needed=False,
    )
formula(
    "dimple_count",
    "Dimpled sheets",
    "sum_sheets(where(sheet_preparation == 1, 1.0, 0.0))",
    unit="count",
    source=Source("the drawing, as the plan file gives it", "", Status.READ),
)
formula(
    "hole_low_mm",
    "Smallest hole the rivet fills",
    "hole_diameter_mm",
    unit="mm",
    source=HOLE_GROWTH,
)
formula(
    "hole_high_mm",
    "Largest hole the rivet fills: 0.006 in more after dimpling, else 0.003 in",
    "hole_diameter_mm + where(dimple_count > 0, 0.1524, 0.0762)",
    unit="mm",
    source=HOLE_GROWTH,
)


@rule(
    "missing_figures",
    inputs=tuple(_LOOKS),
    formula="names of the figures above that no table gives for this rivet",
    unit="text",
    source=TABLES,
    level=CLASS,
    kind=TABLE,
)
def missing_figures(worked: Worked, *_: Column) -> Column:
    """Figures that no table gives.

    Source: the tables themselves.
    """
    sets, kinds = worked.plan.rule_sets, worked.stacks.kinds
    found = []
    for kind in kinds.kinds:
        missing = (
            name for name, look in _LOOKS.items() if _answer(look, kind, sets)[1]
        )
        found.append(" ".join(missing))
    return np.array(found, dtype=object)[kinds.of_class]

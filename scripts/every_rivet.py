"""A made-up plan with every rivet that a table may know, by every named rule set.

Worked out, it shows which table rows a quantity may come from.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction

from rivetwright.engines.plan import WorkedPlan, work_out
from rivetwright.model.pattern import Counted
from rivetwright.model.plan import (
    COUNTERSINK,
    DIMPLE,
    PLAIN,
    Callout,
    Part,
    Plan,
    Project,
    Row,
    RuleSets,
    Sheet,
)
from rivetwright.standards.blind import KitBlindCode
from rivetwright.standards.codes import rivet_code
from rivetwright.standards.flush import countersink_sets
from rivetwright.standards.holes import hole_sets
from rivetwright.standards.shop_heads import limit_sets

INCH_MM = Fraction(254, 10)
DIAMETERS_32NDS = range(2, 13)
SHEET_MM = 1.016
LONG_GRIP_MM = 60.0


def _callouts() -> Iterator[tuple[Callout, str]]:
    """Rivets with the preparation of their sheets."""
    for d in DIAMETERS_32NDS:
        yield rivet_code("MS20470", "AD", d, 6), PLAIN
        yield rivet_code("MS20426", "AD", d, 6), DIMPLE
        yield rivet_code("MS20426", "AD", d, 6), COUNTERSINK
    for d in (3, 4, 5, 6):
        grip_mm = (INCH_MM / 32, INCH_MM / 8)
        yield KitBlindCode(f"B{d}", "flush", INCH_MM * d / 32, *grip_mm), DIMPLE


def _rows() -> Iterator[Row]:
    """A row of one hole for each, in a thin and in a very thick stack."""
    for part in ("sheet", "block"):
        for k, (callout, asked) in enumerate(_callouts()):
            stack = (Sheet(part, asked), Sheet("sheet", asked))
            name = f"{part}-{k}"
            yield Row(name, name, callout, Counted(1), "", stack=stack)


def every_rivet() -> list[WorkedPlan]:
    """Each rivet there is, worked out by every named set of rules."""
    plan = Plan(
        id="every-rivet",
        name="every rivet",
        project=Project("", "made up"),
        unit="in",
        parts=(
            Part("sheet", "sheet", SHEET_MM, "2024-T3"),
            Part("block", "block", LONG_GRIP_MM, "2024-T3"),
        ),
        faces=(),
        rows=tuple(_rows()),
        steps=(),
    )
    chosen = RuleSets()
    sets = [
        chosen,
        *(replace(chosen, head_limits=name) for name in limit_sets()),
        *(replace(chosen, drills=name) for name in hole_sets()),
        *(replace(chosen, countersink=name) for name in countersink_sets()),
    ]
    return [work_out(replace(plan, rule_sets=one)) for one in dict.fromkeys(sets)]

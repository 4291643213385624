"""A worked-out plan as JSON: holes, findings, rules, units.

Every figure under a hole names, in `figures`, the quantity it was read from, so
that its working can be opened. Empty figures are null, never left out.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

import numpy as np

from rivetwright import __version__
from rivetwright.bench.result_form import (
    ALL_FIGURES,
    CODES,
    FIGURES,
    FORMAT,
    UNITS,
    WORDS,
    Place,
)
from rivetwright.bench.statuses import Statuses
from rivetwright.bench.verdicts import verdicts
from rivetwright.engines.checks import Finding
from rivetwright.engines.edge import governing_edges
from rivetwright.engines.plan import WorkedPlan
from rivetwright.engines.rules import CLASS, REGISTRY, Column, Rule
from rivetwright.model.plan import RuleSets
from rivetwright.standards.source import Status

Say = Callable[[Finding], Mapping[str, str]]
STATUSES = tuple(Status)


def _plain(column: Column) -> list[Any]:
    """A column's values as JSON has them; NaN and empty words as null."""
    if column.dtype == object:
        return [value or None for value in column]
    return [None if value != value else value for value in column.astype(float)]


def _of_classes(worked_plan: WorkedPlan, place: Place, name: str) -> list[Any]:
    """One figure, per class of equal holes or per hole as its rule has it."""
    values = _plain(worked_plan.worked[name])
    if place == CODES:
        return [[float(code) for code in (text or "").split()] for text in values]
    if place == WORDS:
        return [text.split(", ") if text else [] for text in values]
    return values


def _columns(worked_plan: WorkedPlan) -> dict[Place, list[Any]]:
    """Every figure of every hole, column by column; equal holes share their lists."""
    class_of = worked_plan.worked.stacks.class_of.tolist()
    found = {}
    for place, name in FIGURES.items():
        values = _of_classes(worked_plan, place, name)
        if REGISTRY[name].level == CLASS:
            values = [values[k] for k in class_of]
        found[place] = values
    return found


def _stacks(worked_plan: WorkedPlan) -> list[list[dict[str, Any]]]:
    """The sheets of each class of equal holes."""
    worked = worked_plan.worked
    thickness = worked["sheet_thickness_mm"].tolist()
    return [
        [
            {
                "part": sheet.part,
                "thickness_mm": mm,
                "preparation": sheet.preparation,
            }
            for sheet, mm in zip(one.sheets, sheets_mm, strict=False)
        ]
        for one, sheets_mm in zip(worked.stacks.classes, thickness, strict=True)
    ]


def weakest_statuses(worked_plan: WorkedPlan, statuses: Statuses) -> list[Status]:
    """The weakest status that the known figures of each hole rest on."""
    worked = worked_plan.worked
    weakest = np.zeros(len(worked.holes), dtype=np.int64)
    for name in FIGURES.values():
        column = worked.of_holes(name)
        is_known = column != "" if column.dtype == object else ~np.isnan(column)
        ranks = statuses.ranks(name)[worked.stacks.class_of]
        weakest = np.maximum(weakest, np.where(is_known, ranks, 0))
    return [STATUSES[rank] for rank in weakest.tolist()]


def _codes(worked_plan: WorkedPlan) -> list[list[str]]:
    """Codes of the findings at each hole, the gravest first."""
    found: list[list[str]] = [[] for _ in range(len(worked_plan.worked.holes))]
    for finding in worked_plan.findings:
        for hole in finding.holes:
            found[hole].append(finding.code)
    return found


def waits_because(worked_plan: WorkedPlan, hole: int) -> str:
    """Why a hole is on hold or left open; empty where it is neither."""
    holes, plan = worked_plan.worked.holes, worked_plan.worked.plan
    held, opened = int(holes.hold[hole]), int(holes.open_holes[hole])
    if held >= 0:
        return plan.opening.holds[held].reason
    return plan.open_holes[opened].reason if opened >= 0 else ""


def _facts(worked_plan: WorkedPlan, hole: int) -> dict[str, Any]:
    """What the plan itself says of a hole."""
    holes, plan = worked_plan.worked.holes, worked_plan.worked.plan
    row, step = holes.row_of(hole), int(holes.step[hole])
    return {
        "name": holes.name(hole),
        "id": holes.id(hole),
        "row": row.name,
        "face": row.face or None,
        "head_side": row.head_side,
        "places": row.places,
        "step": plan.steps[step].name if step >= 0 else None,
        "state": holes.state(hole),
        "waits_because": waits_because(worked_plan, hole) or None,
    }


def _holes(worked_plan: WorkedPlan, statuses: Statuses) -> list[dict[str, Any]]:
    """All holes as JSON objects."""
    worked = worked_plan.worked
    columns, stacks = _columns(worked_plan), _stacks(worked_plan)
    callouts = [str(one.callout) for one in worked.stacks.classes]
    edges = governing_edges(worked)
    neighbours = worked["pitch_neighbour"].tolist()
    said, codes = verdicts(worked_plan), _codes(worked_plan)
    weakest = weakest_statuses(worked_plan, statuses)
    found: list[dict[str, Any]] = []
    for k, class_of in enumerate(worked.stacks.class_of.tolist()):
        part, edge = edges[k]
        other = neighbours[k]
        one: dict[str, Any] = _facts(worked_plan, k) | {
            "callout": callouts[class_of],
            "verdict": said[k],
            "findings": codes[k],
            "status": str(weakest[k]),
            "stack": stacks[class_of],
            "edge": {"part": part or None, "edge": edge or None},
            "pitch": {"neighbour": worked.holes.name(other) if other >= 0 else None},
        }
        for place, column in columns.items():
            at = one.setdefault(place[0], {}) if len(place) > 1 else one
            at[place[-1]] = column[k]
        found.append(one)
    return found


def _rule(rule: Rule, statuses: Statuses) -> dict[str, Any]:
    """One rule as JSON, with the sources its figures have in this plan."""
    sources = statuses.sources(rule.output) or (rule.source,)
    weakest = statuses.ranks(rule.output).max(initial=rule.source.status.rank)
    return {
        "title": rule.title,
        "unit": rule.unit,
        "kind": rule.kind,
        "level": rule.level,
        "formula": rule.formula,
        "inputs": list(rule.inputs),
        "source": " | ".join(dict.fromkeys(str(one) for one in sources)),
        "note": " | ".join(dict.fromkeys(one.note for one in sources if one.note)),
        "status": str(STATUSES[weakest]),
    }


def _finding(worked_plan: WorkedPlan, finding: Finding, say: Say) -> dict[str, Any]:
    """One finding as JSON."""
    holes = worked_plan.worked.holes
    fields = {
        name: None if value == "" or value != value else value
        for name, value in finding.fields.items()
    }
    return {
        "code": finding.code,
        "severity": str(finding.severity),
        "holes": [holes.name(hole) for hole in finding.holes],
        "title": finding.check.title,
        "source": str(finding.source),
        "quantity": finding.quantity,
        "fields": fields,
        **say(finding),
    }


def _rule_sets(sets: RuleSets) -> dict[str, Any]:
    """The named choices that were followed, and what the kit supplies."""
    return {
        "head_limits": sets.head_limits,
        "length_rounding": sets.length_rounding,
        "drills": sets.drills,
        "countersink": sets.countersink,
        "whole_lengths_32nds": list(sets.whole_lengths_32nds),
        "oversize_shanks_mm": {
            kind: float(shank_mm) for kind, shank_mm in sets.oversize_shanks_mm
        },
        "held_mm": dict(sets.held_mm),
    }


def result(worked_plan: WorkedPlan, say: Say) -> dict[str, Any]:
    """The whole result, ready to be written as JSON.

    Args:
        worked_plan: the worked-out plan.
        say: gives `found`, `allowed` and `do` of a finding in words.
    """
    plan = worked_plan.worked.plan
    statuses = Statuses(worked_plan)
    return {
        "format": FORMAT,
        "made_by": f"rivetwright {__version__}",
        "advice": "This program does not approve anything.",
        "project": {"id": plan.project.id, "name": plan.project.name},
        "assembly": {"id": plan.id, "name": plan.name, "revision": plan.revision},
        "stops": worked_plan.stops,
        "units": UNITS,
        "figures": {".".join(place): name for place, name in ALL_FIGURES.items()},
        "rules": {rule.output: _rule(rule, statuses) for rule in REGISTRY},
        "rule_sets": _rule_sets(plan.rule_sets),
        "findings": [_finding(worked_plan, one, say) for one in worked_plan.findings],
        "holes": _holes(worked_plan, statuses),
    }

"""A worked-out plan as JSON: holes, findings, rules, units.

Every figure under a hole names, in `rules`, the quantity it was read from, so that
its working can be opened. Empty figures are null, never left out.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np

from rivetwright import __version__
from rivetwright.engines.checks import Finding
from rivetwright.engines.plan import WorkedPlan
from rivetwright.engines.rules import REGISTRY, Rule

FORMAT = "rivetwright result 1"

# Where each figure of a hole stands in the JSON, and the quantity it is read from.
FIGURES: dict[tuple[str, ...], str] = {
    ("x_mm",): "place_u_mm",
    ("y_mm",): "place_v_mm",
    ("stack",): "used_stack",
    ("stack_from_outlines",): "drawn_stack",
    ("grip_mm",): "grip_mm",
    ("callout_length_code",): "callout_length_16ths",
    ("wanted_length_code",): "wanted_length_16ths",
    ("legal_length_codes",): "legal_length_codes",
    ("handbook_length_mm",): "handbook_length_mm",
    ("window_low_mm",): "window_low_mm",
    ("window_high_mm",): "window_high_mm",
    ("head", "width_mm"): "head_width_mm",
    ("head", "width_low_mm"): "head_width_low_mm",
    ("head", "width_high_mm"): "head_width_high_mm",
    ("head", "height_mm"): "head_height_aim_mm",
    ("head", "height_min_mm"): "head_height_min_mm",
    ("head", "height_max_mm"): "head_height_max_mm",
    ("head", "width_min_mm"): "head_width_min_mm",
    ("blind", "grip_mm"): "blind_grip_mm",
    ("blind", "wanted_code"): "wanted_blind_code",
    ("drill", "name"): "drill_name",
    ("drill", "hole_mm"): "hole_diameter_mm",
    ("drill", "hole_after_mm"): "hole_high_mm",
    ("preparation",): "preparation_words",
    ("edge", "distance_mm"): "edge_distance_mm",
    ("edge", "ratio"): "edge_ratio",
    ("pitch", "distance_mm"): "pitch_mm",
    ("pitch", "ratio"): "pitch_ratio",
    ("row_distance_mm",): "row_distance_mm",
    ("flat_mm",): "flat_distance_mm",
    ("next_size", "length_code"): "next_length_16ths",
    ("next_size", "drill"): "next_drill_name",
    ("next_size", "edge_ratio"): "next_edge_ratio",
    ("next_size", "pitch_ratio"): "next_pitch_ratio",
}

UNITS = {
    "_mm": "millimetre",
    "_code": "length code, sixteenths of an inch",
    "ratio": "rivet diameters",
}

Say = Callable[[Finding], dict[str, str]]


def _plain(value: Any) -> Any:
    """A column's value as JSON has it; NaN and empty words as null."""
    if isinstance(value, str):
        return value or None
    return None if np.isnan(value) else float(value)


def _columns(worked_plan: WorkedPlan) -> dict[tuple[str, ...], list[Any]]:
    """Every figure of every hole, column by column."""
    worked = worked_plan.worked
    found = {}
    for place, name in FIGURES.items():
        distinct = [_plain(value) for value in worked[name]]
        if REGISTRY[name].level == "class":
            distinct = [distinct[k] for k in worked.stacks.class_of]
        found[place] = distinct
    codes = ("legal_length_codes",)
    found[codes] = [(text or "").split() for text in found[codes]]
    return found


def _governing(worked_plan: WorkedPlan) -> tuple[list[str | None], list[str | None]]:
    """Part that governs the edge, and neighbour that governs the pitch, by hole."""
    worked = worked_plan.worked
    sheets, layers = worked["edge_sheet"], worked.stacks.layer
    others = worked["pitch_neighbour"]
    part_of = [placed.layer.part for placed in worked.stacks.layers]
    parts = [
        part_of[layers[hole, sheet]] if sheet >= 0 else None
        for hole, sheet in enumerate(sheets)
    ]
    neighbours = [worked.holes.name(k) if k >= 0 else None for k in others]
    return parts, neighbours


def _holes(worked_plan: WorkedPlan) -> list[dict[str, Any]]:
    """All holes as JSON objects."""
    holes, plan = worked_plan.worked.holes, worked_plan.worked.plan
    columns = _columns(worked_plan)
    parts, neighbours = _governing(worked_plan)
    found: list[dict[str, Any]] = []
    for k in range(len(holes)):
        row, step = holes.row_of(k), int(holes.step[k])
        one: dict[str, Any] = {
            "name": holes.name(k),
            "id": holes.id(k),
            "row": row.name,
            "face": row.face or None,
            "callout": str(holes.callout(k)),
            "head_side": row.head_side,
            "places": row.places,
            "step": plan.steps[step].name if step >= 0 else None,
            "state": holes.state(k),
            "edge": {"part": parts[k]},
            "pitch": {"neighbour": neighbours[k]},
        }
        for place, column in columns.items():
            at = one
            for key in place[:-1]:
                at = at.setdefault(key, {})
            at[place[-1]] = column[k]
        found.append(one)
    return found


def _rule(rule: Rule) -> dict[str, Any]:
    """One rule as JSON."""
    source = rule.source
    return {
        "title": rule.title,
        "unit": rule.unit,
        "kind": rule.kind,
        "formula": rule.formula,
        "inputs": list(rule.inputs),
        "source": str(source),
        "status": str(source.status),
        "note": source.note,
    }


def result(worked_plan: WorkedPlan, say: Say) -> dict[str, Any]:
    """The whole result, ready to be written as JSON.

    Args:
        worked_plan: the worked-out plan.
        say: gives `found`, `allowed` and `do` of a finding in words.
    """
    holes, plan = worked_plan.worked.holes, worked_plan.worked.plan
    return {
        "format": FORMAT,
        "made_by": f"rivetwright {__version__}",
        "advice": "This program does not approve anything.",
        "project": {"id": plan.project.id, "name": plan.project.name},
        "assembly": {"id": plan.id, "name": plan.name, "revision": plan.revision},
        "units": UNITS,
        "figures": {".".join(place): name for place, name in FIGURES.items()},
        "rules": {rule.output: _rule(rule) for rule in REGISTRY},
        "rule_sets": {
            "head_limits": plan.rule_sets.head_limits,
            "length_rounding": plan.rule_sets.length_rounding,
            "drills": plan.rule_sets.drills,
            "countersink": plan.rule_sets.countersink,
        },
        "findings": [
            {
                "code": finding.code,
                "severity": str(finding.severity),
                "holes": [holes.name(hole) for hole in finding.holes],
                "source": str(finding.source),
                "quantity": finding.quantity,
                "fields": {name: _plain(v) for name, v in finding.fields.items()},
                **say(finding),
            }
            for finding in worked_plan.findings
        ],
        "holes": _holes(worked_plan),
    }

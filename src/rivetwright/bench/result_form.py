"""The form of a worked-out plan as JSON, and its published JSON Schema.

Each figure of a hole stands here once, with the quantity it is read from, so that
its working can be opened from the JSON alone.
"""

from __future__ import annotations

from typing import Any

from rivetwright.bench.verdicts import VERDICTS
from rivetwright.engines.checks import CHECKS
from rivetwright.engines.plan import work_out  # noqa: F401  (registers the rules)
from rivetwright.engines.rules import (
    FORMULA,
    GEOMETRY,
    GIVEN,
    REGISTRY,
    SEARCH,
    TABLE,
)
from rivetwright.model.plan import FAR, NEAR, PLACE_KINDS, PREPARATIONS
from rivetwright.model.severity import Severity
from rivetwright.standards.source import Status

FORMAT = "rivetwright result 1"
DIALECT = "https://json-schema.org/draft/2020-12/schema"
KINDS = (GIVEN, FORMULA, TABLE, GEOMETRY, SEARCH)
STATES = ("planned", "drilled", "open", "hold", "set")

Place = tuple[str, ...]

# Where each figure of a hole stands in the JSON, and the quantity it is read from.
FIGURES: dict[Place, str] = {
    ("x_mm",): "place_u_mm",
    ("y_mm",): "place_v_mm",
    ("place_tolerance_mm",): "place_tolerance_mm",
    ("stack_in_words",): "used_stack",
    ("stack_from_outlines",): "drawn_stack",
    ("later_part",): "later_part",
    ("grip_mm",): "grip_mm",
    ("callout_length_code",): "callout_length_16ths",
    ("wanted_length_code",): "wanted_length_16ths",
    ("legal_length_codes",): "legal_length_codes",
    ("handbook_length_mm",): "handbook_length_mm",
    ("window_low_mm",): "window_low_mm",
    ("window_high_mm",): "window_high_mm",
    ("protrusion_mm",): "protrusion_mm",
    ("stand_off_mm",): "stand_off_mm",
    ("head", "width_mm"): "head_width_mm",
    ("head", "width_low_mm"): "head_width_low_mm",
    ("head", "width_high_mm"): "head_width_high_mm",
    ("head", "width_min_mm"): "head_width_min_mm",
    ("head", "height_mm"): "head_height_aim_mm",
    ("head", "height_min_mm"): "head_height_min_mm",
    ("head", "height_max_mm"): "head_height_max_mm",
    ("blind", "grip_mm"): "blind_grip_mm",
    ("blind", "grip_min_mm"): "blind_grip_min_mm",
    ("blind", "grip_max_mm"): "blind_grip_max_mm",
    ("blind", "wanted_code"): "wanted_blind_code",
    ("drill", "name"): "drill_name",
    ("drill", "hole_mm"): "hole_diameter_mm",
    ("drill", "hole_min_mm"): "drill_low_mm",
    ("drill", "hole_max_mm"): "drill_high_mm",
    ("drill", "hole_after_mm"): "hole_high_mm",
    ("preparation",): "preparation_words",
    ("countersink", "sheet_mm"): "countersunk_thickness_mm",
    ("countersink", "sheet_min_mm"): "countersink_min_sheet_mm",
    ("countersink", "nested_width_mm"): "nested_width_mm",
    ("countersink", "nested_depth_mm"): "nested_depth_mm",
    ("countersink", "nested_land_mm"): "nested_land_mm",
    ("edge", "distance_mm"): "edge_distance_mm",
    ("edge", "ratio"): "edge_ratio",
    ("pitch", "distance_mm"): "pitch_mm",
    ("pitch", "ratio"): "pitch_ratio",
    ("row_distance_mm",): "row_distance_mm",
    ("flat_mm",): "flat_distance_mm",
    ("step_beside", "head_side_mm"): "step_distance_head_mm",
    ("step_beside", "shop_side_mm"): "step_distance_shop_mm",
    ("next_size", "diameter_mm"): "next_diameter_mm",
    ("next_size", "length_code"): "next_length_16ths",
    ("next_size", "drill"): "next_drill_name",
    ("next_size", "edge_ratio"): "next_edge_ratio",
    ("next_size", "pitch_ratio"): "next_pitch_ratio",
}
# Figures written as lists: length codes, and one word or thickness for each sheet.
CODES: Place = ("legal_length_codes",)
WORDS: Place = ("preparation",)
THICKNESS: Place = ("stack", "thickness_mm")
ALL_FIGURES: dict[Place, str] = {**FIGURES, THICKNESS: "sheet_thickness_mm"}

UNITS = {
    "_mm": "millimetre",
    "_code": "length code, sixteenths of an inch; half sizes end in .5",
    "_codes": "length codes, as _code",
    "_16ths": "sixteenths of an inch",
    "_32nds": "thirty-seconds of an inch",
    "ratio": "multiples of the rivet's diameter D; of volumes see the rule's unit",
}

GROUPS = {
    "head": "The shop head to expect, and the limits it is judged by.",
    "blind": "Of a blind rivet: the grip it feels, and the range of its callout.",
    "drill": "Drill and hole.",
    "countersink": "Countersunk sheet, and what nested dimples leave of it.",
    "edge": "Edge distance, and the part and edge that govern it.",
    "pitch": "Pitch, and the neighbour that governs it.",
    "step_beside": "Parts that end beside a head, not under it.",
    "next_size": "What the next size up would need.",
}

TEXT: dict[str, Any] = {"type": "string"}
TEXT_OR_NONE: dict[str, Any] = {"type": ["string", "null"]}
NUMBER_OR_NONE: dict[str, Any] = {"type": ["number", "null"]}


def _exactly(properties: dict[str, Any], description: str = "") -> dict[str, Any]:
    """An object with all of these keys and no other."""
    told = {"description": description} if description else {}
    return {
        "type": "object",
        **told,
        "properties": properties,
        "required": list(properties),
        "additionalProperties": False,
    }


def _list(of: dict[str, Any], description: str = "") -> dict[str, Any]:
    """A list of one kind."""
    told = {"description": description} if description else {}
    return {"type": "array", **told, "items": of}


def _said(form: dict[str, Any], description: str) -> dict[str, Any]:
    """A form with what it means."""
    return {**form, "description": description}


def _choice(values: tuple[str, ...], description: str = "") -> dict[str, Any]:
    """One of some words."""
    told = {"description": description} if description else {}
    return {"enum": list(values), **told}


def _figure(place: Place, name: str) -> dict[str, Any]:
    """The form of one figure; what it means is its rule's title."""
    rule = REGISTRY[name]
    unit = "" if rule.unit == "text" else f" [{rule.unit}]"
    description = f"{rule.title}{unit}."
    if place == CODES:
        return _list({"type": "number"}, description)
    if place == WORDS:
        return _list(_choice(PREPARATIONS), "Preparation, sheet by sheet.")
    return _said(TEXT_OR_NONE if rule.unit == "text" else NUMBER_OR_NONE, description)


def _hole() -> dict[str, Any]:
    """The form of one hole."""
    groups: dict[str, dict[str, Any]] = {}
    own: dict[str, Any] = {
        "name": _said(TEXT, "row:number, such as A12:18."),
        "id": _said(TEXT, "Permanent: the row's id and the number."),
        "row": _said(TEXT, "The row's name."),
        "face": _said(TEXT_OR_NONE, "null where the plan gives no place."),
        "callout": _said(TEXT, "What is set there; an open hole's later callout."),
        "head_side": _choice((NEAR, FAR), "Side of the manufactured head."),
        "places": _choice(PLACE_KINDS, "How the place is known."),
        "step": _said(TEXT_OR_NONE, "Step in which it is set."),
        "state": _choice(STATES, "How it stands."),
        "waits_because": _said(TEXT_OR_NONE, "Why it is left open or on hold."),
        "verdict": _choice(VERDICTS, "On the callout's length or blind grip."),
        "findings": _list(TEXT, "Codes of the findings at this hole."),
        "status": _choice(tuple(Status), "Weakest status its figures rest on."),
        "stack": _list(
            _exactly(
                {
                    "part": _said(TEXT, "The part's name."),
                    "thickness_mm": _said({"type": "number"}, "Its thickness."),
                    "preparation": _choice(PREPARATIONS, "Of its hole."),
                }
            ),
            "Sheets, manufactured-head side first.",
        ),
    }
    for place, name in FIGURES.items():
        form = _figure(place, name)
        if len(place) == 1:
            own[place[0]] = form
        else:
            groups.setdefault(place[0], {})[place[1]] = form
    groups["edge"]["part"] = _said(TEXT_OR_NONE, "Sheet that governs.")
    groups["edge"]["edge"] = _said(TEXT_OR_NONE, "Its edge or cut-out that governs.")
    groups["pitch"]["neighbour"] = _said(TEXT_OR_NONE, "Hole that governs.")
    grouped = {name: _exactly(keys, GROUPS[name]) for name, keys in groups.items()}
    return _exactly(own | grouped)


def _finding() -> dict[str, Any]:
    """The form of one finding."""
    return _exactly(
        {
            "code": _choice(tuple(sorted(CHECKS)), "Page: docs/findings/CODE.md."),
            "severity": _choice(tuple(Severity), "How strongly it speaks."),
            "holes": _list(TEXT, "Names of the holes it stands at."),
            "title": _said(TEXT, "What is wrong, in one line."),
            "found": _said(TEXT, "What was found, in the plan's unit."),
            "allowed": _said(TEXT, "What is allowed."),
            "source": _said(TEXT, "Where the limit comes from, and its status."),
            "do": _said(TEXT, "What to do now."),
            "quantity": _said(TEXT, "The rule whose working explains it."),
            "fields": {
                "type": "object",
                "description": "The figures of its sentences, units in the names.",
                "additionalProperties": {"type": ["number", "string", "null"]},
            },
        }
    )


def _rule() -> dict[str, Any]:
    """The form of one rule."""
    return _exactly(
        {
            "title": _said(TEXT, "The quantity in words."),
            "unit": _said(TEXT, "Its unit; D is the rivet's diameter."),
            "kind": _choice(KINDS, "How it is worked out."),
            "level": _choice(("class", "hole"), "One value per class or per hole."),
            "formula": _said(TEXT, "As it is run, or in words."),
            "inputs": _list(TEXT, "Quantities it needs."),
            "source": _said(
                TEXT, "The rule's own, or those of its table rows in this plan."
            ),
            "note": _said(TEXT, "What to know about the source."),
            "status": _choice(tuple(Status), "Weakest it rests on in this plan."),
        }
    )


def _rule_sets() -> dict[str, Any]:
    """The form of the named choices."""
    number = {"type": "number"}
    return _exactly(
        {
            "head_limits": _said(TEXT, "Limits of the shop head."),
            "length_rounding": _said(TEXT, "How a length becomes a length code."),
            "drills": _said(TEXT, "Set of drills and holes."),
            "countersink": _said(TEXT, "Table of least sheets to countersink."),
            "whole_lengths_32nds": _list(
                {"type": "integer"}, "Diameters supplied in whole lengths only."
            ),
            "oversize_shanks_mm": {
                "type": "object",
                "description": "Shank of each oversize-shank rivet, as entered.",
                "additionalProperties": number,
            },
            "held_mm": {
                "type": "object",
                "description": "Distances between what is fast, from the drawing.",
                "additionalProperties": number,
            },
        },
        "Named choices that were followed.",
    )


def result_schema() -> dict[str, Any]:
    """The JSON Schema of a worked-out plan."""
    texts = {"type": "object", "additionalProperties": TEXT}
    whole = _exactly(
        {
            "format": _said({"const": FORMAT}, "Name and number of this form."),
            "made_by": _said(TEXT, "The program and its version."),
            "advice": _said(TEXT, "What the result is not."),
            "project": _exactly(
                {"id": _said(TEXT, "Permanent."), "name": _said(TEXT, "Its name.")},
                "The aircraft.",
            ),
            "assembly": _exactly(
                {
                    "id": _said(TEXT, "Its id in the project."),
                    "name": _said(TEXT, "Its name."),
                    "revision": _said({"type": "integer"}, "One more by bulletin."),
                },
                "What the plan describes.",
            ),
            "stops": _said({"type": "boolean"}, "Whether anything must not be set."),
            "units": _said(texts, "What the end of a key says about its unit."),
            "figures": _said(texts, "The rule behind each figure of a hole."),
            "rules": {"type": "object", "additionalProperties": _rule()},
            "rule_sets": _rule_sets(),
            "findings": _list(_finding(), "Stops first."),
            "holes": _list(_hole()),
        }
    )
    return {"$schema": DIALECT, "title": "A worked-out plan", **whole}

"""Flush work: countersinks, nested dimples, and the grip a blind rivet feels."""

from __future__ import annotations

import numpy as np

from rivetwright.engines.given import DRAWING, OWN_GEOMETRY
from rivetwright.engines.rules import CLASS, SEARCH, Column, Witness, formula, rule
from rivetwright.engines.worked import Worked
from rivetwright.standards.blind import KitBlindCode
from rivetwright.standards.source import Source, Status

NESTED = Source(
    "own geometry",
    "outside of the lowest dimple, offset by the thickness above it; head sizes "
    "FROM MEMORY",
    Status.FROM_MEMORY,
)
BLIND_GRIP = Source(
    "TM 10-5410-221-14/1 and TM 10-5410-223-24",
    "blind rivet selection chart: in double-dimpled sheets the head height is added",
    Status.READ,
)

formula(
    "countersunk_thickness_mm",
    "Thinnest countersunk sheet, standard parts left out",
    "least_sheet(where((sheet_preparation == 2) & (sheet_is_standard == 0),"
    " sheet_thickness_mm, nan))",
    unit="mm",
    source=DRAWING,
)
formula(
    "dimpled_sheet_mm",
    "Thickest dimpled sheet",
    "most_sheet(where(sheet_preparation == 1, sheet_thickness_mm, nan))",
    unit="mm",
    source=DRAWING,
)
formula(
    "nested_thickness_mm",
    "Dimpled sheets nested in the countersink, together",
    "most_sheet(where((sheet_preparation == 2) & (sheet_is_standard == 0),"
    " nested_above(sheet_thickness_mm, sheet_preparation), nan))",
    unit="mm",
    source=OWN_GEOMETRY,
)
formula(
    "nested_width_mm",
    "Width of the countersink that takes the nested dimples",
    "head_diameter_mm + 2 * nested_thickness_mm * (1 - sin_deg(50)) / cos_deg(50)",
    unit="mm",
    source=NESTED,
)
formula(
    "nested_depth_mm",
    "Depth of that countersink",
    "(nested_width_mm - hole_diameter_mm) / 2 / tan_deg(50)",
    unit="mm",
    source=NESTED,
)
formula(
    "nested_land_mm",
    "Metal left under that countersink",
    "where(nested_thickness_mm > 0, countersunk_thickness_mm - nested_depth_mm, nan)",
    unit="mm",
    source=NESTED,
)
formula(
    "blind_grip_mm",
    "Grip the blind rivet feels",
    "where(is_solid, nan, grip_mm + where(dimple_count > 1,"
    " max(blind_head_height_mm, 0.0), 0.0))",
    unit="mm",
    source=BLIND_GRIP,
)


def _kit_codes(worked: Worked, hole: int) -> Witness | None:
    """The kit's codes of the same head and diameter with their grip ranges."""
    callout = worked.stacks.classes[worked.stacks.class_of[hole]].callout
    if not isinstance(callout, KitBlindCode):
        return None
    codes = [code.code for code in _alike(worked, callout)]
    return Witness("candidates", {"codes": ", ".join(codes)})


def _alike(worked: Worked, callout: KitBlindCode) -> list[KitBlindCode]:
    """Kit codes with the same head and diameter."""
    key = (callout.head, callout.diameter_mm)
    return [c for c in worked.plan.blind_codes if (c.head, c.diameter_mm) == key]


@rule(
    "wanted_blind_code",
    inputs=("blind_grip_mm",),
    formula="the kit's code of that head and diameter whose range holds the grip",
    unit="text",
    source=DRAWING,
    level=CLASS,
    kind=SEARCH,
    witness=_kit_codes,
)
def wanted_blind_code(worked: Worked, grip_mm: Column) -> Column:
    """Blind code whose grip range holds the stack.

    Source: the kit's own blind codes; empty where none holds it.
    """
    found = []
    for one, grip in zip(worked.stacks.classes, grip_mm, strict=True):
        fits: list[str] = []
        if isinstance(one.callout, KitBlindCode):
            alike = _alike(worked, one.callout)
            fits = [code.code for code in alike if code.takes(float(grip))]
        found.append(fits[0] if fits else "")
    return np.array(found, dtype=object)

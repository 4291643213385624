"""What the drawing gives, as columns: the leaves of every working."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from rivetwright.engines.rules import CLASS, GIVEN, HOLE, Column, rule
from rivetwright.engines.stacks import StackClass
from rivetwright.engines.worked import Worked
from rivetwright.model.plan import COUNTERSINK, DIMPLE, PREPARATIONS
from rivetwright.standards.blind import KitBlindCode
from rivetwright.standards.codes import RivetCode
from rivetwright.standards.source import Source, Status

DRAWING = Source("the drawing, as the plan file gives it", "", Status.READ)
OWN_GEOMETRY = Source("own geometry", "", Status.DERIVED)

DIMPLED = PREPARATIONS.index(DIMPLE)
COUNTERSUNK = PREPARATIONS.index(COUNTERSINK)


def per_class(
    worked: Worked, value: Callable[[StackClass], float | bool | None]
) -> Column:
    """One value per class of equal holes; NaN where there is none."""
    found = [value(one) for one in worked.stacks.classes]
    if all(isinstance(one, bool) for one in found):
        return np.array(found, dtype=bool)
    return np.array([np.nan if one is None else float(one) for one in found])


def _per_sheet(worked: Worked, value: Callable[[str, str], float]) -> Column:
    """One value per sheet, shape (classes, sheets), NaN beyond the last sheet."""
    classes = worked.stacks.classes
    width = max([1, *(len(one.sheets) for one in classes)])
    column = np.full((len(classes), width), np.nan)
    for k, one in enumerate(classes):
        for s, sheet in enumerate(one.sheets):
            column[k, s] = value(sheet.part, sheet.preparation)
    return column


@rule(
    "sheet_thickness_mm",
    formula="thickness of each sheet, manufactured-head side first",
    unit="mm",
    source=DRAWING,
    level=CLASS,
    kind=GIVEN,
)
def sheet_thickness_mm(worked: Worked) -> Column:
    """Sheet thicknesses.

    Source: the drawing.
    """
    thickness = {part.name: part.thickness_mm for part in worked.plan.parts}
    return _per_sheet(worked, lambda part, _: thickness[part])


@rule(
    "sealant_mm",
    formula="thickness of the sealant between the sheets, all layers together",
    unit="mm",
    source=DRAWING,
    level=CLASS,
    kind=GIVEN,
)
def sealant_mm(worked: Worked) -> Column:
    """Sealant.

    Source: the drawing.
    """
    return per_class(worked, lambda one: one.sealant_mm)


@rule(
    "sheet_preparation",
    formula="0 plain, 1 dimpled, 2 countersunk, sheet by sheet",
    unit="kind",
    source=DRAWING,
    level=CLASS,
    kind=GIVEN,
)
def sheet_preparation(worked: Worked) -> Column:
    """Preparation of each sheet.

    Source: the drawing.
    """
    return _per_sheet(worked, lambda _, asked: float(PREPARATIONS.index(asked)))


@rule(
    "sheet_is_standard",
    formula="1 where the sheet is a standard part, 0 where it is not",
    unit="kind",
    source=DRAWING,
    level=CLASS,
    kind=GIVEN,
)
def sheet_is_standard(worked: Worked) -> Column:
    """Sheets that are standard parts.

    Source: the drawing.
    """
    standard = {part.name: float(part.is_standard) for part in worked.plan.parts}
    return _per_sheet(worked, lambda part, _: standard[part])


@rule(
    "is_solid",
    formula="whether the callout is a solid rivet",
    unit="yes/no",
    source=DRAWING,
    level=CLASS,
    kind=GIVEN,
)
def is_solid(worked: Worked) -> Column:
    """Solid rivet.

    Source: the drawing.
    """
    return per_class(worked, lambda one: isinstance(one.callout, RivetCode))


@rule(
    "is_flush",
    formula="whether the head lies in a dimple or countersink",
    unit="yes/no",
    source=DRAWING,
    level=CLASS,
    kind=GIVEN,
)
def is_flush(worked: Worked) -> Column:
    """Flush head.

    Source: the drawing.
    """
    return per_class(worked, lambda one: bool(one.callout.is_flush))


def _shank_mm(one: StackClass) -> float | None:
    """Shank diameter of a class; None where an oversize shank was not entered."""
    callout = one.callout
    if isinstance(callout, RivetCode) and callout.is_oversize and not callout.shank_mm:
        return None
    return float(callout.diameter_mm)


@rule(
    "shank_diameter_mm",
    formula="diameter named by the callout",
    unit="mm",
    source=DRAWING,
    level=CLASS,
    kind=GIVEN,
)
def shank_diameter_mm(worked: Worked) -> Column:
    """Shank diameter D.

    Source: the drawing; part-number grammar.
    """
    return per_class(worked, _shank_mm)


@rule(
    "length_mm",
    formula="length named by the callout: under the head, flush heads over all",
    unit="mm",
    source=DRAWING,
    level=CLASS,
    kind=GIVEN,
)
def length_mm(worked: Worked) -> Column:
    """Rivet length L.

    Source: the drawing; part-number grammar.
    """

    def length(one: StackClass) -> float | None:
        callout = one.callout
        return float(callout.length_mm) if isinstance(callout, RivetCode) else None

    return per_class(worked, length)


@rule(
    "blind_grip_min_mm",
    formula="least grip of the blind rivet, as the kit declares it",
    unit="mm",
    source=DRAWING,
    level=CLASS,
    kind=GIVEN,
)
def blind_grip_min_mm(worked: Worked) -> Column:
    """Least grip of the blind rivet.

    Source: the kit's own blind codes.
    """

    def least(one: StackClass) -> float | None:
        callout = one.callout
        if not isinstance(callout, KitBlindCode):
            return None
        return float(callout.grip_least_mm)

    return per_class(worked, least)


@rule(
    "blind_grip_max_mm",
    formula="most grip of the blind rivet, as the kit declares it",
    unit="mm",
    source=DRAWING,
    level=CLASS,
    kind=GIVEN,
)
def blind_grip_max_mm(worked: Worked) -> Column:
    """Most grip of the blind rivet.

    Source: the kit's own blind codes.
    """

    def most(one: StackClass) -> float | None:
        callout = one.callout
        if not isinstance(callout, KitBlindCode):
            return None
        return float(callout.grip_most_mm)

    return per_class(worked, most)


@rule(
    "place_tolerance_mm",
    formula="how far the true place may lie from the stated one",
    unit="mm",
    source=DRAWING,
    level=HOLE,
    kind=GIVEN,
)
def place_tolerance_mm(worked: Worked) -> Column:
    """Uncertainty of the place.

    Source: the plan file's row.
    """
    return worked.holes.place_tolerance_mm


@rule(
    "place_u_mm",
    formula="first coordinate of the hole in its face",
    unit="mm",
    source=DRAWING,
    level=HOLE,
    kind=GIVEN,
)
def place_u_mm(worked: Worked) -> Column:
    """Place along the face.

    Source: the drawing; NaN where it gives none.
    """
    return worked.holes.x_mm


@rule(
    "place_v_mm",
    formula="second coordinate of the hole in its face",
    unit="mm",
    source=DRAWING,
    level=HOLE,
    kind=GIVEN,
)
def place_v_mm(worked: Worked) -> Column:
    """Place across the face.

    Source: the drawing; NaN where it gives none.
    """
    return worked.holes.y_mm

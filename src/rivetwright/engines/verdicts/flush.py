"""Checks of flush work and of the hole itself."""

from __future__ import annotations

import numpy as np

from rivetwright.engines.checks import Mask, check
from rivetwright.engines.given import COUNTERSUNK, DIMPLED
from rivetwright.engines.rules import CLASS, HOLE
from rivetwright.engines.worked import Worked
from rivetwright.model.severity import Severity
from rivetwright.standards.source import Source, Status
from rivetwright.units.tolerance import TOLERANCE_MM

FIT = Source("nested sheets and heads must match", "", Status.COMMON_PRACTICE)


@check(
    "FLUSH-01",
    Severity.STOP,
    level=CLASS,
    quantity="countersunk_thickness_mm",
    limit="countersink_min_sheet_mm",
    fields=("shank_diameter_mm",),
    over=("FLUSH-02",),
)
def countersink_in_thin_sheet(worked: Worked) -> Mask:
    """A machine countersink is asked for in too thin a sheet.

    What is checked: the thinnest countersunk sheet of the stack (standard parts
    left out) against the named table of least sheets.

    Why it matters: the cone goes through, the hole grows a knife edge and the
    head pulls through.

    Example: a 3/32 countersink in 0.025 in; the least is 0.040 in.

    What to do: do not cut it. Thin sheets are dimpled; ask the kit supplier.

    How sure: two manuals print the same table.
    """
    thin = worked["countersunk_thickness_mm"]
    return np.asarray(thin < worked["countersink_min_sheet_mm"] - TOLERANCE_MM)


@check(
    "FLUSH-02",
    Severity.CHECK,
    level=CLASS,
    quantity="nested_land_mm",
    limit="land_min_mm",
    fields=("nested_width_mm", "nested_depth_mm"),
)
def little_left_under_nested_dimples(worked: Worked) -> Mask:
    """The countersink that receives dimples leaves too little metal under it.

    What is checked: width and depth of the countersink that takes the outside of
    the dimples nested above it, and what is left of the sheet.

    Why it matters: a countersink through the whole sheet has a knife edge and no
    land for the shank.

    Example: two 1/8 dimples, 0.052 in together, want a countersink 0.263 in wide
    and 0.056 in deep; a 0.060 leaf keeps 0.004 in, the least is 0.008 in.

    What to do: a question to the kit supplier, not proof; try it on scrap.

    How sure: own geometry; the land of 0.2 mm is second-hand.
    """
    left = worked["nested_land_mm"]
    return np.asarray(left < worked["land_min_mm"] - TOLERANCE_MM)


@check(
    "FLUSH-03",
    Severity.CHECK,
    level=CLASS,
    quantity="preparation_words",
    limit="is_flush",
    source=FIT,
)
def preparation_does_not_fit(worked: Worked) -> Mask:
    """Preparation and head do not go together.

    What is checked: a flush head needs its first sheet dimpled or countersunk; a
    universal head needs it plain; under a dimpled sheet the next one must be
    dimpled or countersunk too, so that the cone finds its seat; nothing dimpled
    lies under a countersunk or plain sheet.

    Why it matters: sheets with a cone between them never shut.

    Example: a dimpled skin over a plain rib flange.

    What to do: read the preparation on the drawing again, sheet by sheet.

    How sure: nested sheets must match; common practice.
    """
    prepared = worked["sheet_preparation"]
    flush = np.asarray(worked["is_flush"])
    first_plain = prepared[:, 0] == 0
    wrong = np.where(flush, first_plain, prepared[:, 0] > 0)
    for k in range(prepared.shape[1] - 1):
        above, below = prepared[:, k], prepared[:, k + 1]
        wrong |= (above == DIMPLED) & (below == 0)
        wrong |= (above != DIMPLED) & (below == DIMPLED)
        wrong |= (above == 0) & (below == COUNTERSUNK)
    return np.asarray(wrong)


@check(
    "FLUSH-04",
    Severity.NOTE,
    level=CLASS,
    quantity="dimpled_sheet_mm",
    limit="dimple_max_sheet_mm",
)
def dimple_in_thick_sheet(worked: Worked) -> Mask:
    """A dimple is asked for in a sheet thicker than dimpling works best.

    What is checked: the thickest dimpled sheet against 0.040 in.

    Why it matters: thick sheet cracks or springs back under hand tools.

    Example: a dimple in 0.050 in.

    What to do: try it on scrap; ask whether it may be countersunk.

    How sure: quoted from a handbook.
    """
    thick = worked["dimpled_sheet_mm"]
    return np.asarray(thick > worked["dimple_max_sheet_mm"] + TOLERANCE_MM)


@check(
    "HOLE-01",
    Severity.CHECK,
    level=HOLE,
    quantity="drawn_drill_mm",
    limit="hole_diameter_mm",
    fields=("drill_name", "shank_diameter_mm"),
)
def drill_differs(worked: Worked) -> Mask:
    """The drill on the drawing is not the one for this rivet.

    What is checked: the drill the plan states for the row against the named drill
    set and, where one is printed, the limits of the hole.

    Why it matters: a small hole does not take the rivet; a large one swallows the
    metal of the head.

    Example: No. 40 written for a 1/8 rivet, which wants No. 30.

    What to do: check the callout and the drill on the drawing.

    How sure: drill sizes of present practice are from memory.
    """
    drawn = worked["drawn_drill_mm"]
    low, high = worked.of_holes("drill_low_mm"), worked.of_holes("drill_high_mm")
    return np.asarray((drawn < low - TOLERANCE_MM) | (drawn > high + TOLERANCE_MM))


@check(
    "TABLE-01",
    Severity.CHECK,
    level=CLASS,
    quantity="missing_figures",
    limit="shank_diameter_mm",
)
def no_figure(worked: Worked) -> Mask:
    """A table has no figure for this rivet, so something was not judged.

    What is checked: whether every look-up this hole needs stands in its table.
    Nothing is read beyond a table.

    Why it matters: what has no figure has no verdict, and no verdict is not a
    pass.

    Example: head limits of a reduced flush head, which no source read gives.

    What to do: take the figure from the rivet's standard sheet or the drawing.

    How sure: it is what the tables hold.
    """
    return np.asarray(worked["missing_figures"] != "")

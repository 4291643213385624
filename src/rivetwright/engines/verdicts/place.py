"""Checks of place: edge distance, pitch, row distance, room for the heads."""

from __future__ import annotations

import numpy as np

from rivetwright.engines.checks import Mask, check
from rivetwright.engines.rules import CLASS, HOLE, Column
from rivetwright.engines.worked import Worked
from rivetwright.model.severity import Severity
from rivetwright.standards.source import Source, Status
from rivetwright.units.tolerance import TOLERANCE_MM

SHOP_SIDE = Source(
    "MIL-STD-40007",
    "para 5.3.3.4: shop head against the thicker, then the harder sheet",
    Status.SECOND_HAND,
    "quoted in a public forum, its list cut short",
)


def _below(value_mm: Column, limit_mm: Column) -> Mask:
    """Whether a length is under its limit by more than the one tolerance."""
    return np.asarray(value_mm < limit_mm - TOLERANCE_MM)


@check(
    "EDGE-01",
    Severity.STOP,
    level=HOLE,
    quantity="edge_distance_mm",
    limit="edge_stop_ratio",
    fields=("edge_ratio", "edge_stop_mm", "place_tolerance_mm"),
    over=("EDGE-02",),
)
def edge_far_too_small(worked: Worked) -> Mask:
    """The edge distance is under the least that any source allows.

    What is checked: hole centre to the nearest free edge or cut-out on every
    sheet of the stack. What the place may be off counts in the hole's favour.

    Why it matters: the sheet can tear out between hole and edge, and the next
    size up makes it worse.

    Example: a 1/8 hole 0.170 in from the end of an angle is 1.36 D.

    What to do: do not drill it further. Measure on the metal; if it is so, ask
    the kit supplier.

    How sure: 1.5 D is read as the least; under it bolts replace rivets in
    repairs.
    """
    edge = worked["edge_distance_mm"] + worked["place_tolerance_mm"]
    return _below(edge, worked.of_holes("edge_stop_mm"))


@check(
    "EDGE-02",
    Severity.CHECK,
    level=HOLE,
    quantity="edge_distance_mm",
    limit="edge_check_ratio",
    fields=("edge_ratio", "edge_check_mm", "place_tolerance_mm"),
    over=("EDGE-03",),
)
def edge_small(worked: Worked) -> Mask:
    """The edge distance is under the usual rule.

    What is checked: as EDGE-01, against the usual 2 D.

    Why it matters: there is no room for the next size if the hole is spoilt.

    Example: a 3/32 hole 0.16 in from an edge is 1.7 D.

    What to do: measure it on the metal, compare with the drawing, ask if both
    say so.

    How sure: 2 D is read in several manuals.
    """
    return _below(worked["edge_distance_mm"], worked.of_holes("edge_check_mm"))


@check(
    "EDGE-03",
    Severity.NOTE,
    level=HOLE,
    quantity="edge_distance_mm",
    limit="edge_note_ratio",
    fields=("edge_ratio", "edge_note_mm"),
)
def edge_small_for_flush(worked: Worked) -> Mask:
    """The edge distance of a flush rivet is under the handbook's figure.

    What is checked: as EDGE-02, against 2.5 D for flush heads.

    Why it matters: dimpling near an edge can bulge or crack it.

    Example: a 3/32 flush rivet 0.225 in from an edge is 2.4 D.

    What to do: look at the edge after dimpling.

    How sure: 2.5 D is from memory.
    """
    below = _below(worked["edge_distance_mm"], worked.of_holes("edge_note_mm"))
    return below & worked.of_holes("is_flush")


@check(
    "PITCH-01",
    Severity.CHECK,
    level=HOLE,
    quantity="pitch_mm",
    limit="pitch_min_ratio",
    fields=("pitch_ratio", "pitch_min_mm", "pitch_diameter_mm"),
)
def pitch_small(worked: Worked) -> Mask:
    """Two holes are closer than the least pitch.

    What is checked: the distance to every neighbour on the face, of any row,
    against 3 D of the larger rivet.

    Why it matters: the sheet between the holes is weakened, and dies strike the
    neighbour's dimple or head.

    Example: two 1/8 holes 0.35 in apart are at 2.8 D.

    What to do: measure on the metal; ask the kit supplier if the drawing has it
    so.

    How sure: 3 D for a single row is read.
    """
    pitch = worked["pitch_mm"] + worked["place_tolerance_mm"]
    return _below(pitch, worked["pitch_min_mm"])


@check(
    "PITCH-02",
    Severity.CHECK,
    level=HOLE,
    quantity="pitch_mm",
    limit="heads_apart_mm",
    fields=("pitch_ratio",),
    over=("PITCH-01",),
)
def heads_overlap(worked: Worked) -> Mask:
    """The heads of two rivets would overlap.

    What is checked: the distance to the governing neighbour against the two head
    circles, manufactured and shop.

    Why it matters: the second rivet cannot be set without striking the first.

    Example: two 1/8 universal heads need 0.250 in.

    What to do: check the coordinates of both rows; the same hole may be
    described twice.

    How sure: head sizes are from memory.
    """
    pitch = worked["pitch_mm"] + worked["place_tolerance_mm"]
    return _below(pitch, worked["heads_apart_mm"])


@check(
    "ROW-01",
    Severity.CHECK,
    level=HOLE,
    quantity="row_distance_mm",
    limit="row_min_ratio",
    fields=("row_distance_ratio", "row_min_mm"),
)
def rows_close(worked: Worked) -> Mask:
    """Two rows lie closer side by side than the least row distance.

    What is checked: the distance across between parallel rows of a face.

    Why it matters: rows too close make one weak strip of sheet.

    Example: two rows of 1/8 rivets 0.28 in apart are at 2.2 D.

    What to do: measure on the metal; ask the kit supplier if the drawing has it
    so.

    How sure: 2.5 D is read.
    """
    return _below(worked["row_distance_mm"], worked.of_holes("row_min_mm"))


@check(
    "CLEAR-01",
    Severity.CHECK,
    level=HOLE,
    quantity="flat_distance_mm",
    limit="head_circle_mm",
    fields=("head_radius_mm", "shop_circle_radius_mm"),
)
def head_on_a_bend(worked: Worked) -> Mask:
    """A head or its die would sit on the curve of a bend.

    What is checked: the flat metal between hole and bend against the larger of
    the manufactured head and the shop head.

    Why it matters: a head on a curve does not seat, and the die marks the bend.

    Example: a 1/8 universal head needs 0.125 in of flat.

    What to do: look at it with the part in hand; a smaller die or a filed set may
    be needed. Ask if the drawing leaves no flat.

    How sure: own geometry; a bend radius not given counts as nothing, so the
    flat may be less than said.
    """
    flat = worked["flat_distance_mm"] + worked["place_tolerance_mm"]
    return _below(flat, worked.of_holes("head_circle_mm"))


@check(
    "CLEAR-02",
    Severity.CHECK,
    level=HOLE,
    quantity="step_distance_head_mm",
    limit="head_radius_mm",
)
def head_on_a_step(worked: Worked) -> Mask:
    """The manufactured head would ride on the edge of a part beside the hole.

    What is checked: the nearest part that lies on the head side but not under
    the head, against the head's radius.

    Why it matters: the head tips and stands proud on one side.

    Example: a doubler that ends 0.08 in from a 1/8 universal head's centre.

    What to do: check both outlines; ask the kit supplier if they are right.

    How sure: own geometry; head sizes are from memory.
    """
    step = worked["step_distance_head_mm"] + worked["place_tolerance_mm"]
    return _below(step, worked.of_holes("head_radius_mm"))


@check(
    "CLEAR-03",
    Severity.CHECK,
    level=HOLE,
    quantity="step_distance_shop_mm",
    limit="shop_circle_radius_mm",
)
def die_on_a_step(worked: Worked) -> Mask:
    """The shop head or its die would strike the edge of a part beside the hole.

    What is checked: the nearest part that lies on the shop side but not under
    the shop head, against the circle the shop head needs.

    Why it matters: the head forms lopsided against the step.

    Example: a stiffener leg that ends 0.09 in from a 1/8 hole.

    What to do: check both outlines; ask the kit supplier if they are right.

    How sure: own geometry; the circle of 1.75 D is our judgement.
    """
    step = worked["step_distance_shop_mm"] + worked["place_tolerance_mm"]
    return _below(step, worked.of_holes("shop_circle_radius_mm"))


@check(
    "PLACE-01",
    Severity.CHECK,
    level=HOLE,
    quantity="is_sketched",
    limit="place_tolerance_mm",
)
def only_sketched(worked: Worked) -> Mask:
    """The place of these holes is only sketched: measure them.

    What is checked: rows whose places are marked as sketched.

    Why it matters: edge distance, pitch and room for the heads are not judged on
    a sketch; a mistake there would not be found.

    Example: a row placed by eye from a picture without dimensions.

    What to do: measure the first and the last hole on the part and write them in.

    How sure: it is what the plan says.
    """
    return np.asarray(worked["is_sketched"] == 1)


@check(
    "PLACE-02",
    Severity.NOTE,
    level=HOLE,
    quantity="place_u_mm",
    limit="place_tolerance_mm",
)
def no_places(worked: Worked) -> Mask:
    """The plan gives no places for these holes.

    What is checked: rows that have a count alone, without coordinates.

    Why it matters: edge distance, pitch and room for the heads are not judged;
    length, grip and preparation are.

    Example: a row of twelve rivets taken from the parts list.

    What to do: nothing, if the drawing gives no places; else write in the first
    and the last hole.

    How sure: it is what the plan says.
    """
    return np.asarray(np.isnan(worked["place_u_mm"]))


@check(
    "SHOP-01",
    Severity.NOTE,
    level=CLASS,
    quantity="last_thickness_mm",
    limit="first_thickness_mm",
    source=SHOP_SIDE,
)
def shop_head_on_the_thinner_sheet(worked: Worked) -> Mask:
    """The shop head forms on the thinner sheet.

    What is checked: the thickness of the outermost sheet on the shop-head side
    against that on the manufactured-head side.

    Why it matters: the forming head pulls a thin sheet up; the usual order puts
    it on the thicker or harder one.

    Example: head on a 0.040 doubler, shop head on a 0.025 web.

    What to do: set it as drawn; keep the sheets well shut.

    How sure: quoted from a military standard; the drawing may have its reason.
    """
    last, first = worked["last_thickness_mm"], worked["first_thickness_mm"]
    return np.asarray(_below(last, first) & worked["is_solid"])

"""Half sections of what holds the rivet: ram, pin, shims, dies and jaw.

Places are (x, z) in mm as in `profiles`; forms are simplified, lengths are true.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from rivetwright.drawing.profiles import HALF_ANGLE, cone_depth_mm
from rivetwright.model.pattern import Point

# A cup is drawn round the head down to this share of its height, clear of the sheet.
CUP_SHARE = 0.75
# How deep a broken edge swings, as a share of what is shown.
BREAK_SHARE = 0.25
# A dimple die's pilot enters the hole with this share of its radius to spare.
PILOT_SHARE = 0.96


def flat_die(top_mm: float, bottom_mm: float, half_mm: float) -> tuple[Point, ...]:
    """A flat die, pin or shim."""
    return (0.0, top_mm), (half_mm, top_mm), (half_mm, bottom_mm), (0.0, bottom_mm)


def cup_die(
    top_mm: float, head_mm: Sequence[Point], half_mm: float
) -> tuple[Point, ...]:
    """A cup that sits on a manufactured head, measured to its bottom.

    `head_mm` is the head's half section from its crown, above z = 0.
    """
    crown = head_mm[0][1]
    rim = crown * (1 - CUP_SHARE)
    inside = [place for place in head_mm if place[1] <= rim]
    return (
        (0.0, top_mm),
        (half_mm, top_mm),
        (half_mm, rim),
        (inside[-1][0], rim),
        *reversed(inside),
    )


def male_die(
    top_mm: float, cone_mm: float, hole_mm: float, pilot_end_mm: float, half_mm: float
) -> tuple[Point, ...]:
    """A male dimple die: flat face at z = 0, cone, and pilot through the hole.

    Radii of cone and hole, and where the pilot ends [mm].
    """
    pilot = hole_mm * PILOT_SHARE
    return (
        (0.0, top_mm),
        (half_mm, top_mm),
        (half_mm, 0.0),
        (cone_mm, 0.0),
        (pilot, cone_depth_mm(cone_mm, pilot)),
        (pilot, pilot_end_mm),
        (0.0, pilot_end_mm),
    )


def female_die(
    face_mm: float,
    bottom_mm: float,
    cone_mm: float,
    hole_mm: float,
    half_mm: float,
) -> tuple[Point, ...]:
    """A female dimple die under a sheet: its recess follows the sheet's cone.

    `face_mm` is the sheet's thickness where the face begins at z = 0 [mm].
    """
    under = cone_mm + face_mm * (1 - math.sin(HALF_ANGLE)) / math.cos(HALF_ANGLE)
    rim = hole_mm + math.cos(HALF_ANGLE) * face_mm
    depth = face_mm + cone_depth_mm(under, rim)
    return (
        (rim, bottom_mm),
        (half_mm, bottom_mm),
        (half_mm, face_mm),
        (under, face_mm),
        (rim, depth),
    )


def ram_end(end_mm: float, half_mm: float, shown_mm: float) -> tuple[Point, ...]:
    """The end of the ram, broken off above."""
    swing = shown_mm * BREAK_SHARE
    return (
        (0.0, end_mm - shown_mm),
        (half_mm / 2, end_mm - shown_mm - swing),
        (half_mm, end_mm - shown_mm + swing),
        (half_mm, end_mm),
        (0.0, end_mm),
    )


def jaw(seat_mm: float, half_mm: float, shown_mm: float) -> tuple[Point, ...]:
    """The fixed jaw under its die, broken off below."""
    swing = shown_mm * BREAK_SHARE
    return (
        (0.0, seat_mm),
        (half_mm, seat_mm),
        (half_mm, seat_mm + shown_mm - swing),
        (half_mm / 2, seat_mm + shown_mm + swing),
        (0.0, seat_mm + shown_mm),
    )

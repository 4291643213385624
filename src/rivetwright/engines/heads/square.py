"""A hole drilled off square: where it comes out, what opens under the head.

The rivet's play in the hole lets it stand up again by a little, so thin sheets forgive
what a spar does not. No limit in degrees was found for hand-drilled holes; the feeler
under the head decides.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import atan, degrees

from rivetwright.engines.forming import exit_shift_mm, free_tilt_deg, wedge_mm
from rivetwright.standards.head_checks import head_check
from rivetwright.standards.source import Source, Status
from rivetwright.units.tolerance import is_less

GEOMETRY = Source("own geometry", "", Status.DERIVED)
# How to find the lean at the bench; the words stand in the catalogue.
WAYS_TO_MEASURE = (
    "stand a drill in the hole",
    "square beside it both ways",
    "measure how far its tip leans",
    "or mark where it comes out",
    "feeler all round a loose rivet",
)


@dataclass(frozen=True)
class OffSquare:
    """What a lean does at one hole.

    `shift_mm` is how far the hole comes out beside its place, `wedge_mm` what opens
    under a head that follows the hole, `tilt_deg` what the play takes up and
    `left_mm` what is then left. `needs_feeler` says that the feeler may go in.
    `forgives_deg` is the lean from which on it may.
    """

    lean_deg: float
    shift_mm: float
    wedge_mm: float
    tilt_deg: float
    left_mm: float
    feeler_mm: float
    needs_feeler: bool
    forgives_deg: float
    source: Source = GEOMETRY


def off_square(
    shank_mm: float,
    hole_mm: float,
    grip_mm: float,
    head_width_mm: float,
    lean_deg: float,
) -> OffSquare:
    """What a hole off square does through the grip and under the head.

    Args:
        shank_mm: shank diameter [mm].
        hole_mm: hole diameter [mm].
        grip_mm: thickness of the stack [mm].
        head_width_mm: width of the manufactured head [mm].
        lean_deg: lean of the hole from square [deg].
    """
    feeler_mm = float(head_check("feeler").value)
    tilt = float(free_tilt_deg(shank_mm, hole_mm, grip_mm))
    left = float(wedge_mm(head_width_mm, lean_deg, tilt))
    return OffSquare(
        lean_deg,
        float(exit_shift_mm(grip_mm, lean_deg)),
        float(wedge_mm(head_width_mm, lean_deg)),
        tilt,
        left,
        feeler_mm,
        not is_less(left, feeler_mm),
        tilt + degrees(atan(feeler_mm / head_width_mm)),
    )


def lean_of_tip_deg(tip_mm: float, length_mm: float) -> float:
    """Lean of a hole from a drill standing in it.

    Args:
        tip_mm: how far its tip stands beside a square held to the sheet [mm].
        length_mm: how much of the drill stands out [mm].

    Returns:
        The lean [deg].
    """
    return degrees(atan(tip_mm / length_mm))


def lean_of_shift_deg(shift_mm: float, grip_mm: float) -> float:
    """Lean of a hole from how far it comes out beside its place.

    Args:
        shift_mm: the shift at the far side [mm].
        grip_mm: thickness of the stack [mm].

    Returns:
        The lean [deg].
    """
    return degrees(atan(shift_mm / grip_mm))

"""Half sections of sheets and rivets: outward from the axis, downward from the head.

Places are (x, z) in mm: x from the rivet's axis, z from the surface under a
universal head, or from the flush surface, into the stack.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from rivetwright.model.pattern import Point
from rivetwright.model.plan import COUNTERSINK, DIMPLE

# A 100-degree head: its cone leans 50 degrees from the axis.
HALF_ANGLE = math.radians(50.0)
ARC_STEPS = 16
WAIST = 0.86


@dataclass(frozen=True)
class SheetProfile:
    """One sheet's half section, from its rim at the hole out to `width_mm`."""

    outline_mm: tuple[Point, ...]
    top_mm: float
    bottom_mm: float


def cone_depth_mm(wide_mm: float, narrow_mm: float) -> float:
    """Depth in which a 100-degree cone narrows from one radius to another [mm].

    Source: own geometry.
    """
    return (wide_mm - narrow_mm) / math.tan(HALF_ANGLE)


def sheet_profiles(
    thickness_mm: Sequence[float],
    preparation: Sequence[str],
    *,
    hole_radius_mm: float,
    head_radius_mm: float,
    width_mm: float,
) -> list[SheetProfile]:
    """Half sections of the sheets of a stack, nested where they are dimpled.

    A dimpled sheet keeps its thickness across the cone, so the next sheet's
    cone begins further out by t (1 - sin 50) / cos 50.
    """
    profiles: list[SheetProfile] = []
    top, cone = 0.0, head_radius_mm
    for thickness, asked in zip(thickness_mm, preparation, strict=True):
        if asked == DIMPLE:
            outline = _dimpled(top, thickness, cone, hole_radius_mm, width_mm)
            lean = (1 - math.sin(HALF_ANGLE)) / math.cos(HALF_ANGLE)
            cone += thickness * lean
        elif asked == COUNTERSINK:
            outline = _countersunk(top, thickness, cone, hole_radius_mm, width_mm)
            through = cone - thickness * math.tan(HALF_ANGLE)
            cone = through if through > hole_radius_mm else head_radius_mm
        else:
            outline = _plain(top, thickness, hole_radius_mm, width_mm)
            cone = head_radius_mm
        profiles.append(SheetProfile(outline, top, top + thickness))
        top += thickness
    return profiles


def _plain(
    top: float, thickness: float, hole: float, width: float
) -> tuple[Point, ...]:
    """A flat sheet with a straight hole."""
    bottom = top + thickness
    return (width, top), (hole, top), (hole, bottom), (width, bottom)


def _dimpled(
    top: float, thickness: float, cone: float, hole: float, width: float
) -> tuple[Point, ...]:
    """A sheet pressed into a cone, its rim square to the cone."""
    depth = cone_depth_mm(cone, hole)
    across, down = math.cos(HALF_ANGLE) * thickness, math.sin(HALF_ANGLE) * thickness
    under = cone + thickness * (1 - math.sin(HALF_ANGLE)) / math.cos(HALF_ANGLE)
    return (
        (width, top),
        (cone, top),
        (hole, top + depth),
        (hole + across, top + depth + down),
        (under, top + thickness),
        (width, top + thickness),
    )


def _countersunk(
    top: float, thickness: float, cone: float, hole: float, width: float
) -> tuple[Point, ...]:
    """A flat sheet with a cone cut into it, through it where it is too thin."""
    bottom = top + thickness
    depth = cone_depth_mm(cone, hole)
    if depth >= thickness:
        edge = cone - thickness * math.tan(HALF_ANGLE)
        return (width, top), (cone, top), (edge, bottom), (width, bottom)
    return (
        (width, top),
        (cone, top),
        (hole, top + depth),
        (hole, bottom),
        (width, bottom),
    )


def flush_head(head_radius_mm: float, shank_radius_mm: float) -> tuple[Point, ...]:
    """A 100-degree head down to the shank."""
    depth = cone_depth_mm(head_radius_mm, shank_radius_mm)
    return (0.0, 0.0), (head_radius_mm, 0.0), (shank_radius_mm, depth)


def universal_head(
    head_radius_mm: float, height_mm: float, shank_radius_mm: float
) -> tuple[Point, ...]:
    """A rounded head standing on the sheet, down to the shank."""
    angles = (math.pi / 2 * (1 - k / ARC_STEPS) for k in range(ARC_STEPS + 1))
    # Raised to a power below one, the arc is flatter on top, as such heads are.
    arc = tuple(
        (head_radius_mm * math.cos(a) ** 0.7, -height_mm * math.sin(a) ** 0.7)
        for a in angles
    )
    return (*arc, (shank_radius_mm, 0.0))


def shop_head(start_mm: float, width_mm: float, height_mm: float) -> tuple[Point, ...]:
    """A barrel-shaped head, from the stack's far side to its flat end on the axis."""
    wide, waist = width_mm / 2, width_mm / 2 * WAIST
    bulge = [
        (
            waist + (wide - waist) * math.sin(math.pi * k / ARC_STEPS),
            start_mm + height_mm * k / ARC_STEPS,
        )
        for k in range(ARC_STEPS + 1)
    ]
    return (*bulge, (0.0, start_mm + height_mm))

"""The shop head by volume: what a rivet of this length can make in this stack.

The metal standing out beyond the stack, less what fills the hole, becomes the
head: volume / (pi/4 D^3) is a pure number, v. Tolerances of length, shank, hole
and dimple stand-off are combined as root sum of squares, each on its own side.
"""

from __future__ import annotations

from rivetwright.engines.given import OWN_GEOMETRY
from rivetwright.engines.rules import formula
from rivetwright.standards.source import Source, Status

# Chosen constants; their study is design/length_window.md.
LENGTH_TOLERANCE_MM = 0.127
SHANK_OVER_MM = 0.0762
SHANK_UNDER_MM = 0.0254
OVER_DRIVEN_D = 1.75

VOLUME_UNIT = "pi/4 D^3"
VOLUME = Source(
    "own geometry",
    "constant volume with hole fill",
    Status.DERIVED,
    "checked against printed heads; take the width as +-5 %",
)
STAND_OFF = Source(
    "own geometry",
    "cone of a 100-degree dimple; head sizes FROM MEMORY",
    Status.FROM_MEMORY,
    "measure it on scrap of the same stack",
)
TOLERANCES = Source(
    "judgement on the rivets of one lot",
    "length +-0.005 in; shank +0.003/-0.001 in FROM MEMORY",
    Status.FROM_MEMORY,
    "design/length_window.md",
)
OVER_DRIVEN = Source(
    "judgement",
    "over-driven beyond 1.75 D; height by the named head limits",
    Status.JUDGEMENT,
)

formula(
    "dimpled_thickness_mm",
    "Thickness of the dimpled sheets together",
    "sum_sheets(where(sheet_preparation == 1, sheet_thickness_mm, 0.0))",
    unit="mm",
    source=OWN_GEOMETRY,
)
formula(
    "stand_off_high_mm",
    "Most that a dimple cone stands proud under the shop head",
    "where(last_sheet(sheet_preparation) == 1,"
    " (head_diameter_mm - hole_diameter_mm) / 2 / tan_deg(50),"
    " where(is_solid, 0.0, nan))",
    unit="mm",
    source=STAND_OFF,
)
formula(
    "stand_off_low_mm",
    "Least that it stands proud, where the rim of the hole tips outward",
    "where(stand_off_high_mm < (1 - sin_deg(50)) * dimpled_thickness_mm, 0.0,"
    " stand_off_high_mm - (1 - sin_deg(50)) * dimpled_thickness_mm)",
    unit="mm",
    source=STAND_OFF,
)
formula(
    "stand_off_mm",
    "Dimple stand-off taken, the middle of the two",
    "(stand_off_low_mm + stand_off_high_mm) / 2",
    unit="mm",
    source=STAND_OFF,
)
formula(
    "filled_hole_mm",
    "Hole that the rivet fills, the middle of its range",
    "(hole_low_mm + hole_high_mm) / 2",
    unit="mm",
    source=OWN_GEOMETRY,
)
formula(
    "protrusion_mm",
    "Shank standing out before it is set",
    "length_mm - grip_mm - stand_off_mm",
    unit="mm",
    source=VOLUME,
)
formula(
    "hole_fill_ratio",
    "Metal that goes into the hole",
    "((filled_hole_mm / shank_diameter_mm) ** 2 - 1) * grip_mm / shank_diameter_mm",
    unit=VOLUME_UNIT,
    source=VOLUME,
)
formula(
    "head_volume_ratio",
    "Metal for the shop head",
    "protrusion_mm / shank_diameter_mm - hole_fill_ratio",
    unit=VOLUME_UNIT,
    source=VOLUME,
)


def _spread(shank_mm: float) -> str:
    """One side's spread: what length, stand-off, shank and hole may add to v."""
    return (
        f"sqrt(({LENGTH_TOLERANCE_MM} / shank_diameter_mm) ** 2"
        " + ((stand_off_mm - stand_off_low_mm) / shank_diameter_mm) ** 2"
        f" + (2 * (protrusion_mm + grip_mm) * {shank_mm}"
        " / shank_diameter_mm ** 2) ** 2"
        " + (2 * filled_hole_mm * (filled_hole_mm - hole_low_mm) * grip_mm"
        " / shank_diameter_mm ** 3) ** 2)"
    )


formula(
    "volume_over_ratio",
    "More metal that tolerances may give",
    _spread(SHANK_OVER_MM),
    unit=VOLUME_UNIT,
    source=TOLERANCES,
)
formula(
    "volume_under_ratio",
    "Less metal that tolerances may leave",
    _spread(SHANK_UNDER_MM),
    unit=VOLUME_UNIT,
    source=TOLERANCES,
)
formula(
    "volume_min_ratio",
    "Least metal that can make a legal head",
    "head_width_min_mm ** 2 * head_height_min_mm / shank_diameter_mm ** 3",
    unit=VOLUME_UNIT,
    source=VOLUME,
)
formula(
    "volume_max_ratio",
    "Most metal that still makes a head not over-driven",
    f"{OVER_DRIVEN_D} ** 2 * head_height_max_mm / shank_diameter_mm",
    unit=VOLUME_UNIT,
    source=OVER_DRIVEN,
)
for _end, _limit, _title in (
    ("low", "min", "Shortest rivet that can make a legal head"),
    ("high", "max", "Longest rivet that makes no over-driven head"),
):
    formula(
        f"window_{_end}_mm",
        _title,
        "grip_mm + stand_off_mm"
        f" + shank_diameter_mm * (volume_{_limit}_ratio + hole_fill_ratio)",
        unit="mm",
        source=VOLUME,
    )
formula(
    "head_height_aim_mm",
    "Shop-head height aimed at, the middle of the limits",
    "(head_height_min_mm + head_height_max_mm) / 2",
    unit="mm",
    source=OWN_GEOMETRY,
)
for _name, _volume, _title in (
    ("head_width_mm", "head_volume_ratio", "Shop-head width expected at that height"),
    (
        "head_width_low_mm",
        "(head_volume_ratio - volume_under_ratio)",
        "Shop-head width where tolerances leave less metal",
    ),
    (
        "head_width_high_mm",
        "(head_volume_ratio + volume_over_ratio)",
        "Shop-head width where tolerances give more metal",
    ),
):
    formula(
        _name,
        _title,
        f"shank_diameter_mm * sqrt(where({_volume} < 0, 0.0, {_volume})"
        " * shank_diameter_mm / head_height_aim_mm)",
        unit="mm",
        source=VOLUME,
    )

"""What the next size up would need at each hole, for when a hole is spoilt.

On flush holes a larger rivet wants a new dimple or countersink, so an
oversize-shank rivet with the same head comes first; the kit supplier decides.
"""

from __future__ import annotations

from rivetwright.engines.given import OWN_GEOMETRY
from rivetwright.engines.length import HANDBOOK, SUPPLIED, choose_lengths_16ths
from rivetwright.engines.rules import CLASS, HOLE, SEARCH, Column, formula, rule
from rivetwright.engines.worked import Worked
from rivetwright.standards.rework import next_diameter_32nds

formula(
    "next_diameter_mm",
    "Diameter of the next size",
    "next_diameter_32nds * 25.4 / 32",
    unit="mm",
    source=OWN_GEOMETRY,
)
formula(
    "next_handbook_length_mm",
    "Length the next size wants by the handbook rule",
    "grip_mm + 1.5 * next_diameter_mm + long_grip_mm",
    unit="mm",
    source=HANDBOOK,
)
formula(
    "next_edge_ratio",
    "Edge distance in diameters of the next size",
    "edge_distance_mm / next_diameter_mm",
    unit="D",
    source=OWN_GEOMETRY,
    level=HOLE,
)
formula(
    "next_pitch_ratio",
    "Pitch in diameters of the next size",
    "where(next_diameter_mm > 0,"
    " pitch_mm / max(next_diameter_mm, pitch_diameter_mm), nan)",
    unit="D",
    source=OWN_GEOMETRY,
    level=HOLE,
)


@rule(
    "next_length_16ths",
    inputs=("next_handbook_length_mm",),
    formula="supplied length nearest to next_handbook_length_mm, by the named rounding",
    unit="1/16 in",
    source=SUPPLIED,
    level=CLASS,
    kind=SEARCH,
)
def next_length_16ths(worked: Worked, asked_mm: Column) -> Column:
    """Length code of the next size.

    Source: the handbook rule over the lengths the kit supplies.
    """
    return choose_lengths_16ths(
        worked,
        asked_mm,
        lambda callout: next_diameter_32nds(callout.diameter_32nds).value,
    )

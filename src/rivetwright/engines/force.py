"""Force that squeezes each hole's rivet, step by step, as columns.

The same rule as `forming.squeeze_force_n`, taken at the height aimed at and the width
expected; a test holds the two equal. Empty outside the widths that were measured.
"""

from __future__ import annotations

from rivetwright.engines.forming import FRICTION, HARDENING, STRENGTH_KPA
from rivetwright.engines.head import VOLUME
from rivetwright.engines.rules import formula
from rivetwright.standards.forming import forming_constant
from rivetwright.standards.source import Source, Status

WIDTH_RATIO_LEAST = float(forming_constant("width ratio least").value)
WIDTH_RATIO_MOST = float(forming_constant("width ratio most").value)

FORCE_LAW = Source(
    "fit to measured forces of 2117-T4",
    "force_points.csv, series a2",
    Status.DERIVED,
    "slow squeeze, dry flat dies, rivets of 3.2 and 4.0 mm; other sizes by similarity",
)

formula(
    "head_width_ratio",
    "Shop-head width expected, in shank diameters",
    "head_width_mm / shank_diameter_mm",
    unit="D",
    source=VOLUME,
)
formula(
    "head_strain",
    "How far the metal of the head is worked",
    "where(head_width_ratio < 1, 0.0, 2 * log(head_width_ratio))",
    unit="number",
    source=VOLUME,
)
formula(
    "flow_stress_kpa",
    "Stress at which that metal flows",
    f"{STRENGTH_KPA} * head_strain ** {HARDENING}",
    unit="kPa",
    source=FORCE_LAW,
)
formula(
    "head_friction",
    "What friction of the head on the dies adds",
    f"1 + {FRICTION} * head_width_mm / (3 * head_height_aim_mm)",
    unit="number",
    source=FORCE_LAW,
)
formula(
    "force_of_2117_n",
    "Squeeze force if the rivet were 2117-T4",
    f"where((head_width_ratio >= {WIDTH_RATIO_LEAST})"
    f" & (head_width_ratio <= {WIDTH_RATIO_MOST}),"
    " flow_stress_kpa * pi / 4 * head_width_mm ** 2 * head_friction / 1000, nan)",
    unit="N",
    source=FORCE_LAW,
)
for _end, _title in (
    ("_low", "Squeeze force, least"),
    ("", "Squeeze force"),
    ("_high", "Squeeze force, most"),
):
    formula(
        f"squeeze_force{_end}_n",
        _title,
        f"force_factor{_end} * force_of_2117_n",
        unit="N",
        source=FORCE_LAW,
    )

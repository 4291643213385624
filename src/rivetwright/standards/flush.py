"""Flush work: least sheet for a countersink, land, dimples, cone geometry.

Refuses a diameter that a set does not print.  The cone formulas are own geometry and
hold for a sharp cone; real dimples have rounded edges.
"""

from __future__ import annotations

from fractions import Fraction
from math import radians, tan

from rivetwright.standards.source import Looked
from rivetwright.standards.table import (
    Row,
    chosen_set,
    read_table,
    row_of_length,
    sets_of,
)
from rivetwright.units.tolerance import Number

DEFAULT_COUNTERSINK_SET = "two manuals' table"
DEFAULT_DIMPLE_RULE = "thickest sheet to dimple"
WARTIME_DIMPLE_RULE = "thickest sheet to dimple, wartime"


def countersink_sets() -> tuple[str, ...]:
    """Name the sets of least sheets for a machine countersink.

    Returns:
        The names in printed order; the default first.

    Source:
        countersink_sheets.csv, status per row.
    """
    return sets_of(read_table("countersink_sheets"))


def countersink_sheet_least_mm(
    diameter_mm: Number, *, rule_set: str = DEFAULT_COUNTERSINK_SET
) -> Looked[Fraction]:
    """Look up the thinnest sheet that may be machine countersunk.

    Args:
        diameter_mm: nominal rivet diameter [mm].
        rule_set: a name of ``countersink_sets()`` [-].

    Returns:
        Least thickness [mm] with its table row.

    Raises:
        OutsideTable: the set does not print this diameter, or has no such name.

    Source:
        TM 9-2320-363-34-2 p. 22-18 Table 4; TM 9-2320-387-24-2 p. 33-9; READ; the
        other sets as marked; countersink_sheets.csv.
    """
    asked = f"look up the least sheet for a countersink in set {rule_set}"
    rows = chosen_set(read_table("countersink_sheets"), rule_set, asked=asked)
    row = rows[0]
    if row.cells["rivet_dia_in"] != "all":
        row = row_of_length(rows, diameter_mm, column="rivet_dia_in", asked=asked)
    return row.looked(row.inches_mm("sheet_min_in"))


def countersink_diameter_mm(diameter_mm: Number) -> Looked[tuple[Fraction, Fraction]]:
    """Look up the countersink of a 100 degree blind rivet.

    Args:
        diameter_mm: nominal rivet diameter [mm].

    Returns:
        Least and greatest width of the countersink [mm].

    Raises:
        OutsideTable: the table does not print this diameter.

    Source:
        TM 9-2320-363-34-2 Table 3; TM 9-2320-387-24-2 Table 33-3; READ;
        countersink_diameters.csv.
    """
    rows = read_table("countersink_diameters").rows
    asked = "look up the countersink of a blind rivet"
    row = row_of_length(rows, diameter_mm, column="rivet_dia_in", asked=asked)
    return row.looked((row.inches_mm("dia_min_in"), row.inches_mm("dia_max_in")))


def countersink_land_least_mm() -> Looked[Fraction]:
    """Give the straight land to leave under a countersink.

    Returns:
        Least depth of straight hole under the cone [mm].

    Source:
        German-language course note citing LN 9118; SECOND-HAND; flush_rules.csv.
    """
    return _rule_mm("land left under a countersink")


def dimple_sheet_most_mm(*, rule: str = DEFAULT_DIMPLE_RULE) -> Looked[Fraction]:
    """Give the thickest sheet that dimples well.

    Args:
        rule: ``DEFAULT_DIMPLE_RULE`` or ``WARTIME_DIMPLE_RULE`` [-].

    Returns:
        Greatest thickness [mm].

    Raises:
        OutsideTable: there is no such rule.

    Source:
        AC 65-15A ch. 5 as quoted; SECOND-HAND; wartime handbook para 10; READ;
        flush_rules.csv.
    """
    return _rule_mm(rule)


def knife_edge_sheet_mm() -> Looked[Fraction]:
    """Give the sheet in which a 3/32 countersink leaves a knife edge.

    Returns:
        Thickness never to be countersunk for 3/32 [mm].

    Source:
        MIL-HDBK-5F as quoted; SECOND-HAND; flush_rules.csv.
    """
    return _rule_mm("knife edge for 3/32")


def head_angle_deg() -> Looked[Fraction]:
    """Give the included angle of the flush heads in this project.

    Returns:
        Included angle [deg].

    Source:
        NAVEDTRA 14018 ch. 13; READ; flush_rules.csv.
    """
    row = _rule("head angle")
    return row.looked(row.number("value"))


def deburr_most_mm(thickness_mm: Number) -> Looked[Fraction]:
    """Give the deepest chamfer that deburring may leave.

    Args:
        thickness_mm: sheet thickness [mm].

    Returns:
        The lesser of 10 % of the sheet and 0.032 in [mm].

    Source:
        MIL-R-47196A, public summary; SECOND-HAND; flush_rules.csv.
    """
    share, most = _rule("deburr share of sheet"), _rule("deburr most")
    share_mm = share.number("value") * Fraction(thickness_mm)
    most_mm = most.inches_mm("value")
    return share.looked(share_mm) if share_mm <= most_mm else most.looked(most_mm)


def dimple_standoff_mm(diameter_mm: Number) -> Looked[tuple[Fraction, Fraction]]:
    """Look up how far a dimple's cone stands proud under the shop head.

    Args:
        diameter_mm: nominal rivet diameter [mm].

    Returns:
        Least and greatest stand-off [mm]; measure it on scrap of the same stack.

    Raises:
        OutsideTable: no figure is known for this diameter.

    Source:
        Own geometry on sizes FROM MEMORY; dimple_standoff.csv.
    """
    rows = read_table("dimple_standoff").rows
    asked = "look up the stand-off of a dimple"
    row = row_of_length(rows, diameter_mm, column="rivet_dia_in", asked=asked)
    return row.looked((row.inches_mm("least_in"), row.inches_mm("most_in")))


def cone_depth_mm(width_mm: Number, hole_mm: Number, *, angle_deg: Number) -> float:
    """Give the depth of a cone between its wide end and the hole.

    Args:
        width_mm: width at the surface [mm].
        hole_mm: width where the straight hole begins [mm].
        angle_deg: included angle [deg].

    Returns:
        Depth [mm].

    Source:
        Own geometry; DERIVED.
    """
    return float(width_mm - hole_mm) / 2 / tan(radians(float(angle_deg) / 2))


def cone_width_mm(depth_mm: Number, hole_mm: Number, *, angle_deg: Number) -> float:
    """Give the width at the surface of a cone of this depth over a hole.

    The inverse of ``cone_depth_mm``.

    Args:
        depth_mm: depth of the cone [mm].
        hole_mm: width where the straight hole begins [mm].
        angle_deg: included angle [deg].

    Returns:
        Width at the surface [mm].

    Source:
        Own geometry; DERIVED.
    """
    return float(hole_mm) + 2 * float(depth_mm) * tan(radians(float(angle_deg) / 2))


def _rule(name: str) -> Row:
    """Find one row of the flush rules."""
    return chosen_set(
        read_table("flush_rules"), name, asked="look up a rule of flush work"
    )[0]


def _rule_mm(name: str) -> Looked[Fraction]:
    """Look up one length of the flush rules."""
    row = _rule(name)
    return row.looked(row.inches_mm("value"))

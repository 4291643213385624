"""Edge distance, pitch and row distance, in multiples of the rivet diameter D.

First rule of every source: copy the original pattern; these minima are for when there
is none.  Sources disagree and are kept as named sets.  A printed row distance of 0.5 D
is a misprint and is never looked up.  Table file spacing.csv.
"""

from __future__ import annotations

from fractions import Fraction

from rivetwright.standards.source import Looked
from rivetwright.standards.table import Row, outside, read_table, row_of_length, sets_of
from rivetwright.units.tolerance import Number

EDGE_SET = "AC 43.13-1B"
EDGE_FLOOR_SET = "TM 1-1520-240-BD"
FLUSH_EDGE_SET = "FAA-H-8083-31"
PITCH_SET = "AC 43.13-1B"
DOUBLE_ROW_SET = "TM 9-2320-303-24-2"
ROW_DISTANCE_SET = "TM 10-5410-229-13&P"
USUAL_PITCH_SET = "NAVEDTRA 14018"

_ROWS = {1: "single row", 2: "double row", 3: "triple row"}


def spacing_sets() -> tuple[str, ...]:
    """Name the sets of spacing rules.

    Returns:
        The names in printed order.

    Source:
        spacing.csv, status per row.
    """
    return sets_of(read_table("spacing"))


def edge_floor_d(*, rule_set: str = EDGE_FLOOR_SET) -> Looked[Fraction]:
    """Give the edge distance below which a rivet has no place.

    Args:
        rule_set: set of rules [-].

    Returns:
        Hole centre to free edge, in diameters [D].

    Raises:
        OutsideTable: the set has no such rule.

    Source:
        TM 1-1520-240-BD p. 2-37 para 2-5; READ; spacing.csv.
    """
    return _least_d("edge floor", "repair", "any", rule_set)


def edge_least_d(*, rule_set: str = EDGE_SET) -> Looked[Fraction]:
    """Give the least edge distance of a row, protruding heads.

    Args:
        rule_set: set of rules [-].

    Returns:
        Hole centre to free edge, in diameters [D].

    Raises:
        OutsideTable: the set has no such rule.

    Source:
        FAA AC 43.13-1B para 4-57; READ; spacing.csv.
    """
    return _least_d("edge", "single row", "universal", rule_set)


def flush_edge_least_d(*, rule_set: str = FLUSH_EDGE_SET) -> Looked[Fraction]:
    """Give the least edge distance of a row of flush heads.

    Args:
        rule_set: set of rules [-].

    Returns:
        Hole centre to free edge, in diameters [D].

    Raises:
        OutsideTable: the set has no such rule.

    Source:
        FAA-H-8083-31 ch. 4; FROM MEMORY; spacing.csv.
    """
    return _least_d("edge", "single row", "flush", rule_set)


def pitch_least_d(
    *, rows: int = 1, head: str = "universal", rule_set: str | None = None
) -> Looked[Fraction]:
    """Give the least pitch within a row.

    Args:
        rows: rows side by side, 1 to 3 [-].
        head: "universal" or "flush" [-].
        rule_set: set of rules; AC 43.13-1B for one row and TM 9-2320-303-24-2 for
            more when not given [-].

    Returns:
        Centre to centre, in diameters [D].

    Raises:
        OutsideTable: the set has no such rule.

    Source:
        FAA AC 43.13-1B para 4-57; TM 9-2320-303-24-2 WP 0289; READ; spacing.csv.
    """
    default = PITCH_SET if rows == 1 else DOUBLE_ROW_SET
    case = _ROWS.get(rows, f"{rows} rows")
    return _least_d("pitch", case, head, rule_set or default)


def row_distance_least_d(
    *, rows: int | None = None, rule_set: str | None = None
) -> Looked[Fraction]:
    """Give the least distance between neighbouring rows.

    Args:
        rows: 2 or 3 for a staggered layout, None for rows of any kind [-].
        rule_set: set of rules; TM 10-5410-229-13&P for any rows and
            TM 9-2320-303-24-2 for staggered ones when not given [-].

    Returns:
        Row to row, in diameters [D].

    Raises:
        OutsideTable: the set has no such rule.

    Source:
        TM 10-5410-229-13&P p. 5-4; TM 9-2320-303-24-2 WP 0289; READ; spacing.csv.
    """
    default = ROW_DISTANCE_SET if rows is None else DOUBLE_ROW_SET
    case = "any" if rows is None else _ROWS.get(rows, f"{rows} rows")
    return _least_d("row distance", case, "any", rule_set or default)


def usual_pitch_d(
    *, rule_set: str = USUAL_PITCH_SET
) -> Looked[tuple[Fraction, Fraction]]:
    """Give the range of pitch that a source calls usual.

    Args:
        rule_set: set of rules [-].

    Returns:
        From and to, centre to centre, in diameters [D].

    Raises:
        OutsideTable: the set has no such range.

    Source:
        NAVEDTRA 14018 ch. 13; READ; the other sets as marked; spacing.csv.
    """
    row = _row("usual pitch", "any", "any", rule_set)
    return row.looked((row.number("min_d"), row.number("max_d")))


def edge_least_mm(diameter_mm: Number, *, rule_set: str) -> Looked[Fraction]:
    """Give a least edge distance that is printed as a length for one diameter.

    Args:
        diameter_mm: rivet diameter [mm].
        rule_set: "MIL-R-47196A" (3/32) or "vehicle body" (3/16) [-].

    Returns:
        Hole centre to free edge [mm].

    Raises:
        OutsideTable: the set prints no length for this diameter.

    Source:
        spacing.csv, status per row.
    """
    rows = read_table("spacing").where(set=rule_set, quantity="edge")
    asked = f"look up an edge distance in set {rule_set}"
    row = row_of_length(rows, diameter_mm, column="rivet_dia_in", asked=asked)
    return row.looked(row.inches_mm("min_in"))


def _least_d(quantity: str, case: str, head: str, rule_set: str) -> Looked[Fraction]:
    """Look up one least multiple of D."""
    row = _row(quantity, case, head, rule_set)
    return row.looked(row.number("min_d"))


def _row(quantity: str, case: str, head: str, rule_set: str) -> Row:
    """Find the row of a rule; a rule for any head serves each of them."""
    table = read_table("spacing")
    for wanted_head in (head, "any"):
        rows = table.where(set=rule_set, quantity=quantity, case=case, head=wanted_head)
        with_multiple = [row for row in rows if row.cells["min_d"]]
        if with_multiple:
            return with_multiple[0]
    having = table.where(quantity=quantity)
    raise outside(
        having,
        asked=f"look up the {quantity}, {case}, {head} head",
        found=f"set {rule_set}",
        allowed="; ".join(
            dict.fromkeys(f"{row.cells['set']} ({row.cells['case']})" for row in having)
        ),
    )

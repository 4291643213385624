"""Limits of the shop head, as named sets that disagree.

MIL-R-47196A asks 1.3 D of width and a height between two limits, MIL-HDBK-5H 1.3 D by
at least 0.3 D, the nominal rule 1.5 D by 0.5 D.  The drawing outranks all of them.
Refuses a diameter that a set does not print.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from rivetwright.standards.source import Looked
from rivetwright.standards.table import (
    outside,
    read_table,
    row_of_length,
    sets_of,
)
from rivetwright.units.tolerance import Number, is_less

DEFAULT_LIMIT_SET = "MIL-R-47196A"
MIL_HDBK = "MIL-HDBK-5H"
NOMINAL = "nominal 1.5 D x 0.5 D"
ALLOY_7050 = "E"

Breach = Literal["too narrow", "too wide", "too low", "too high"]


@dataclass(frozen=True)
class HeadLimits:
    """Least and greatest width and height; None where the set has no such limit."""

    width_least_mm: Fraction | None
    width_most_mm: Fraction | None
    height_least_mm: Fraction | None
    height_most_mm: Fraction | None

    def breaches(
        self, *, width_mm: Number | None = None, height_mm: Number | None = None
    ) -> tuple[Breach, ...]:
        """Name the limits that a measured head breaks.

        Args:
            width_mm: measured width; None where it was not measured [mm].
            height_mm: measured height; None where it was not measured [mm].

        Returns:
            The broken limits; empty for a head within all of them.

        Source:
            The set these limits came from.
        """
        pairs: tuple[tuple[Breach, Number | None, Number | None], ...] = (
            ("too narrow", width_mm, self.width_least_mm),
            ("too wide", self.width_most_mm, width_mm),
            ("too low", height_mm, self.height_least_mm),
            ("too high", self.height_most_mm, height_mm),
        )
        return tuple(
            breach
            for breach, smaller, larger in pairs
            if smaller is not None and larger is not None and is_less(smaller, larger)
        )


def limit_sets() -> tuple[str, ...]:
    """Name the sets of shop-head limits that can be chosen.

    Returns:
        The names in printed order; the default first.

    Source:
        shop_heads.csv and shop_head_rules.csv, status per row.
    """
    return sets_of(read_table("shop_heads")) + sets_of(read_table("shop_head_rules"))


def shop_head_limits(
    diameter_mm: Number,
    *,
    limit_set: str = DEFAULT_LIMIT_SET,
    material: str = "AD",
) -> Looked[HeadLimits]:
    """Look up the limits of a shop head.

    Args:
        diameter_mm: rivet diameter [mm].
        limit_set: a name of ``limit_sets()`` [-].
        material: material letters; 7050 rivets (E) need a wider head [-].

    Returns:
        The limits with their table row.

    Raises:
        OutsideTable: the set does not print this diameter, or has no such name.

    Source:
        shop_heads.csv and shop_head_rules.csv, status per row.
    """
    rules = read_table("shop_head_rules").where(set=limit_set)
    if rules:
        column = "width_min_7050_d" if material == ALLOY_7050 else "width_min_d"
        diameter = Fraction(diameter_mm)
        return rules[0].looked(
            HeadLimits(
                rules[0].number(column) * diameter,
                None,
                rules[0].number("height_min_d") * diameter,
                None,
            )
        )
    asked = f"look up shop-head limits in set {limit_set}"
    rows = read_table("shop_heads").where(set=limit_set)
    if not rows:
        raise outside(
            read_table("shop_heads").rows + read_table("shop_head_rules").rows,
            asked="look up shop-head limits",
            found=f"set {limit_set}",
            allowed="; ".join(limit_sets()),
        )
    row = row_of_length(rows, diameter_mm, column="rivet_dia_in", asked=asked)
    return row.looked(
        HeadLimits(
            row.inches_mm_or_none("width_min_in"),
            row.inches_mm_or_none("width_max_in"),
            row.inches_mm_or_none("height_min_in"),
            row.inches_mm_or_none("height_max_in"),
        )
    )

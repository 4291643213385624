"""Lengths that rivets come in, and how a wanted length is rounded to one of them.

The handbook rule is grip + 1.5 D.  Published texts round differently, so the rounding
is a named set.  Refuses a wanted length that no supplied length stands for, and a
long-grip allowance between the two printed ranges of diameter.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from fractions import Fraction
from functools import cache
from typing import Literal

from rivetwright.errors import OutsideTable
from rivetwright.standards.source import Looked
from rivetwright.standards.table import (
    chosen_set,
    outside,
    read_table,
    sets_of,
    show_plain,
)
from rivetwright.units.drills import MM_PER_INCH
from rivetwright.units.tolerance import TOLERANCE_MM, Number, is_less, is_same
from rivetwright.units.wording import show_both

Supplied = Literal["whole sizes", "whole and half sizes"]

DEFAULT_ROUNDING = "nearest, ties upward"
_NEXT_GREATER = "next greater"
_MM_PER_16TH = MM_PER_INCH / 16


@cache
def supplied_lengths_16ths(
    kind: Supplied = "whole and half sizes",
) -> tuple[Fraction, ...]:
    """List the length codes rivets are supplied in, shortest first.

    Args:
        kind: "whole sizes" or "whole and half sizes" [-].

    Returns:
        Lengths [1/16 in].

    Source:
        FAA AC 43.13-1B p. 4-16; rule READ, numbers DERIVED; lengths.csv.
    """
    table = read_table("lengths")
    rows = table.where(kind="whole size") if kind == "whole sizes" else table.rows
    return tuple(row.number("length_16ths") for row in rows)


def rounding_rules() -> tuple[str, ...]:
    """Name the rounding rules that can be chosen.

    Returns:
        The names; the default first.

    Source:
        length_rounding.csv, status per row.
    """
    return sets_of(read_table("length_rounding"))


def tail_d() -> Looked[Fraction]:
    """Give the handbook's tail: how much longer than the grip a rivet shall be.

    Returns:
        1.5, in diameters [D].

    Source:
        FAA-H-8083-31 "Installation of Rivets"; NAVEDTRA 14018 p. 13-24; READ.
    """
    row = read_table("length_rules").where(quantity="tail")[0]
    return row.looked(row.number("tail_d"))


def long_grip_extra_mm(diameter_mm: Number, grip_mm: Number) -> Looked[Fraction]:
    """Give the length to add for the hole's fill under a long grip.

    Only full steps count; that is our reading of the printed sentence.

    Args:
        diameter_mm: rivet diameter, up to 1/4 in or from 5/16 in [mm].
        grip_mm: grip [mm].

    Returns:
        Length to add to grip + 1.5 D [mm]; 0 for short grips.

    Raises:
        OutsideTable: the diameter lies between the two printed ranges.

    Source:
        TM 9-2320-303-24-2 and TM 9-2320-302-34 Table 5; READ; length_rules.csv.
    """
    rows = read_table("length_rules").where(quantity="long grip")
    for row in rows:
        over = is_less(diameter_mm, row.inches_mm("dia_min_in"))
        under = is_less(row.inches_mm("dia_max_in"), diameter_mm)
        if over or under:
            continue
        if not is_less(row.inches_mm("grip_over_in"), grip_mm):
            return row.looked(Fraction(0))
        steps = int((grip_mm + TOLERANCE_MM) // float(row.inches_mm("per_in")))
        return row.looked(steps * row.inches_mm("add_in"))
    raise outside(
        rows,
        asked="look up the length to add for a long grip",
        found=f"diameter {show_both(diameter_mm)}",
        allowed="diameters up to 1/4 in and from 5/16 in to 1 in",
    )


def round_length_16ths(
    wanted_mm: Number,
    *,
    rule: str = DEFAULT_ROUNDING,
    supplied_16ths: Iterable[Fraction] | None = None,
) -> Looked[Fraction]:
    """Choose the supplied length code that stands for a wanted length.

    The shortest and the longest code stand for half a step beyond themselves, as every
    code between does; further out there is no nearest one.

    Args:
        wanted_mm: wanted length, usually grip + 1.5 D [mm].
        rule: a name of ``rounding_rules()`` [-].
        supplied_16ths: lengths to choose from; all printed ones when not given
            [1/16 in].

    Returns:
        The length code [1/16 in]; its status is weaker where a tie was decided.

    Raises:
        OutsideTable: no supplied length stands for it, or the rule has no such name.

    Source:
        length_rounding.csv, status per row.
    """
    rows = chosen_set(read_table("length_rounding"), rule, asked="round a rivet length")
    given = supplied_lengths_16ths() if supplied_16ths is None else supplied_16ths
    supplied = sorted(set(given))
    shortest_mm, longest_mm = _covered_mm(supplied)
    if is_less(wanted_mm, shortest_mm) or is_less(longest_mm, wanted_mm):
        raise _none_supplied(wanted_mm, supplied)
    if rule == _NEXT_GREATER:
        enough = [
            code for code in supplied if not is_less(code * _MM_PER_16TH, wanted_mm)
        ]
        if not enough:
            raise _none_supplied(wanted_mm, supplied)
        return rows[0].looked(enough[0])
    away_mm = {code: abs(float(code * _MM_PER_16TH - wanted_mm)) for code in supplied}
    least_mm = min(away_mm.values())
    near = [code for code in supplied if is_same(away_mm[code], least_mm)]
    return rows[1 if len(near) > 1 else 0].looked(near[-1])


def _covered_mm(supplied: Sequence[Fraction]) -> tuple[Fraction, Fraction]:
    """Give the shortest and longest wanted length that some code stands for [mm]."""
    if not supplied:
        return Fraction(1), Fraction(0)  # nothing lies between
    first, last = supplied[0], supplied[-1]
    below = (supplied[1] - first) / 2 if len(supplied) > 1 else Fraction(0)
    above = (last - supplied[-2]) / 2 if len(supplied) > 1 else Fraction(0)
    return (first - below) * _MM_PER_16TH, (last + above) * _MM_PER_16TH


def _none_supplied(wanted_mm: Number, supplied: Sequence[Fraction]) -> OutsideTable:
    """Build the refusal of a length that no supplied code stands for."""
    codes = ", ".join(f"-{show_plain(code)}" for code in supplied)
    return outside(
        read_table("lengths").rows,
        asked="choose a supplied rivet length",
        found=f"a wanted length of {show_both(wanted_mm, style='decimal')}",
        allowed=codes or "nothing is supplied",
    )

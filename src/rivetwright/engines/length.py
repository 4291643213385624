"""Grip and wanted length by the handbook rule."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from functools import cache, partial

import numpy as np

from rivetwright.engines.lookups import found_row
from rivetwright.engines.rules import (
    CLASS,
    SEARCH,
    TABLE,
    Column,
    Witness,
    formula,
    rule,
)
from rivetwright.engines.worked import Worked
from rivetwright.errors import OutsideTable
from rivetwright.model.plan import Callout
from rivetwright.standards.codes import RivetCode
from rivetwright.standards.lengths import (
    Supplied,
    long_grip_extra_mm,
    round_length_16ths,
    supplied_lengths_16ths,
)
from rivetwright.standards.source import Looked, Source, Status
from rivetwright.units.tolerance import TOLERANCE_MM

SIXTEENTH_MM = 25.4 / 16

GRIP = Source(
    "FAA-H-8083-31",
    "installation of rivets: grip is the sum of the sheets",
    Status.READ,
)
HANDBOOK = Source(
    "NAVEDTRA 14018 p. 13-24; FAA-H-8083-31",
    "length = grip + 1.5 D",
    Status.READ,
)
SUPPLIED = Source(
    "AC 43.13-1B p. 4-16; lengths the kit supplies",
    "length in sixteenths, half sizes with .5",
    Status.READ,
)

formula(
    "grip_mm",
    "Grip",
    "sum_sheets(sheet_thickness_mm) + sealant_mm",
    unit="mm",
    source=GRIP,
)
formula(
    "handbook_length_mm",
    "Length by the handbook rule",
    "grip_mm + 1.5 * shank_diameter_mm + long_grip_mm",
    unit="mm",
    source=HANDBOOK,
)
formula(
    "callout_length_16ths",
    "Length code of the callout",
    "length_mm / 1.5875",
    unit="1/16 in",
    source=SUPPLIED,
)


def _long_grip(worked: Worked, hole: int) -> Witness | None:
    """The table row behind the extra length."""
    one = worked.stacks.classes[worked.stacks.class_of[hole]]
    found = _extra(one.callout, float(worked.at("grip_mm", hole)))
    return found_row(found)


def _extra(callout: Callout, grip_mm: float) -> Looked[Fraction] | None:
    """Extra length for a callout; None where the table has no row for it."""
    if not isinstance(callout, RivetCode):
        return None
    try:
        return long_grip_extra_mm(callout.nominal_diameter_mm, grip_mm)
    except OutsideTable:
        return None


@rule(
    "long_grip_mm",
    inputs=("grip_mm",),
    formula="1/16 in for every full 2 in of a grip over 2 in; from 5/16 D, every 1 in",
    unit="mm",
    source=HANDBOOK,
    level=CLASS,
    kind=TABLE,
    witness=_long_grip,
)
def long_grip_mm(worked: Worked, grip_mm: Column) -> Column:
    """Extra length for a long grip.

    Source: TM 9-2320-303-24-2 Table 5, READ.
    """
    extra = cache(_extra)
    pairs = zip(worked.stacks.classes, grip_mm.tolist(), strict=True)
    found = [extra(one.callout, grip) for one, grip in pairs]
    return np.array([np.nan if one is None else float(one.value) for one in found])


def supplied_16ths(worked: Worked, diameter_32nds: int) -> tuple[Fraction, ...]:
    """Lengths the kit supplies in a diameter [1/16 in].

    Source: the plan's rule sets; lengths as AC 43.13-1B p. 4-16 counts them.
    """
    whole_only = diameter_32nds in worked.plan.rule_sets.whole_lengths_32nds
    kind: Supplied = "whole sizes" if whole_only else "whole and half sizes"
    return supplied_lengths_16ths(kind)


def choose_length_16ths(
    worked: Worked, diameter_32nds: int, asked_mm: float
) -> float | None:
    """The supplied length that the project's rounding rule takes [1/16 in].

    Source: the project's named rounding rule, standards.lengths.
    """
    if np.isnan(asked_mm):
        return None
    supplied = supplied_16ths(worked, diameter_32nds)
    rounding = worked.plan.rule_sets.length_rounding
    try:
        chosen = round_length_16ths(asked_mm, rule=rounding, supplied_16ths=supplied)
    except OutsideTable:
        return None
    return float(chosen.value)


def choose_lengths_16ths(
    worked: Worked, asked_mm: Column, diameter_32nds: Callable[[RivetCode], int]
) -> Column:
    """The supplied length for each class of equal holes [1/16 in].

    `diameter_32nds` names the diameter that is set there. NaN for blind rivets
    and where no supplied length stands for the one asked.
    Source: the project's named rounding rule, standards.lengths.
    """
    # Many classes ask the same: gauges and diameters are few.
    choose = cache(partial(choose_length_16ths, worked))
    found: list[float | None] = []
    for one, asked in zip(worked.stacks.classes, asked_mm.tolist(), strict=True):
        if isinstance(one.callout, RivetCode):
            found.append(choose(diameter_32nds(one.callout), asked))
        else:
            found.append(None)
    return np.array(found, dtype=float)


def _wanted_witness(worked: Worked, hole: int) -> Witness | None:
    """The supplied lengths either side of the handbook length."""
    one = worked.stacks.classes[worked.stacks.class_of[hole]]
    if not isinstance(one.callout, RivetCode):
        return None
    asked = float(worked.at("handbook_length_mm", hole)) / SIXTEENTH_MM
    lengths = supplied_16ths(worked, one.callout.diameter_32nds)
    near = sorted(lengths, key=lambda length: abs(float(length) - asked))[:2]
    names = ", ".join(f"-{float(length):g}" for length in sorted(near))
    rounding = worked.plan.rule_sets.length_rounding
    return Witness(
        "candidates",
        {"asked_16ths": asked, "nearest": names, "rounding": rounding},
    )


@rule(
    "wanted_length_16ths",
    inputs=("handbook_length_mm",),
    formula="supplied length nearest to handbook_length_mm / 1.5875, ties upward",
    unit="1/16 in",
    source=SUPPLIED,
    level=CLASS,
    kind=SEARCH,
    witness=_wanted_witness,
)
def wanted_length_16ths(worked: Worked, handbook_length_mm: Column) -> Column:
    """Wanted length code.

    Source: AC 43.13-1B p. 4-16; rounding by the project's named rule.
    """
    return choose_lengths_16ths(
        worked, handbook_length_mm, lambda callout: callout.diameter_32nds
    )


def _legal_witness(worked: Worked, hole: int) -> Witness | None:
    """The window and the supplied lengths inside it."""
    lengths = worked.at("legal_length_codes", hole)
    ends = [float(worked.at(f"window_{end}_mm", hole)) for end in ("low", "high")]
    return Witness(
        "window",
        {"lengths": lengths, "window_low_mm": ends[0], "window_high_mm": ends[1]},
    )


@rule(
    "legal_length_codes",
    inputs=("window_low_mm", "window_high_mm"),
    formula="supplied lengths from window_low_mm to window_high_mm",
    unit="text",
    source=SUPPLIED,
    level=CLASS,
    kind=SEARCH,
    witness=_legal_witness,
)
def legal_length_codes(worked: Worked, low_mm: Column, high_mm: Column) -> Column:
    """Length codes that can make a legal head by volume.

    Source: the volume window, over the lengths the kit supplies.
    """
    supplied = cache(partial(supplied_16ths, worked))
    found = []
    ends = zip(low_mm - TOLERANCE_MM, high_mm + TOLERANCE_MM, strict=True)
    for one, (low, high) in zip(worked.stacks.classes, ends, strict=True):
        if isinstance(one.callout, RivetCode):
            codes = np.array(supplied(one.callout.diameter_32nds), dtype=float)
            inside = (codes * SIXTEENTH_MM >= low) & (codes * SIXTEENTH_MM <= high)
            found.append(" ".join(f"{code:g}" for code in codes[inside]))
        else:
            found.append("")
    return np.array(found, dtype=object)

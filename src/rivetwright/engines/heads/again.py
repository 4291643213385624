"""Squeezing a head again: whether it may, how far, and with how much more shim."""

from __future__ import annotations

from dataclasses import dataclass
from math import isnan

from rivetwright.engines.forming import squeeze_force_n
from rivetwright.engines.heads.called import Called
from rivetwright.engines.heads.entry import OUT_OF_SHAPE, Head, Look
from rivetwright.engines.heads.volume import Metal, width_at_mm
from rivetwright.errors import OutsideTable
from rivetwright.standards.spread import Spread
from rivetwright.units.tolerance import is_less

# Heat-treated rivets that go hard: 2017 and 2024 by their letters.
HEAT_TREATED = frozenset({"D", "DD"})
SEEN_AGAINST = OUT_OF_SHAPE | {
    Look.CRACKED,
    Look.GAP_HEAD,
    Look.GAP_SHOP,
    Look.OPEN_SHEETS,
    Look.LOOSE,
    Look.OFF_CENTRE,
}
# A width aimed at stands so far inside its limit: the caliper's reading, doubled.
WIDER_MM = 0.0508
RIGID = Spread(0.0, 0.0, 0.0)


@dataclass(frozen=True)
class Again:
    """What squeezing a head again comes to.

    `shim_more_mm` is how much more shim it takes: the step itself in a rigid yoke, and
    more in one that springs, for the lower head presses harder. `force_n` is NaN where
    the alloy's force is not known.
    """

    target_mm: float
    width_mm: float
    shim_more_mm: Spread
    force_n: float


@dataclass(frozen=True)
class NotAgain:
    """Why a head is not squeezed again: a catalogue key with its figures."""

    key: str
    found_mm: float | None = None
    limit_mm: float | None = None


def squeeze_again(
    head: Head, called: Called, metal: Metal | None, spring_mm_n: Spread = RIGID
) -> Again | NotAgain:
    """How far to squeeze a head again, or why not to.

    Args:
        head: as measured [mm].
        called: what was called for at the hole.
        metal: its volume working; None where a size is missing.
        spring_mm_n: how far one newton opens the yoke; nought where none is known
            [mm/N].
    """
    why_not = _why_not(head, called, metal)
    if why_not is not None:
        return why_not
    assert metal is not None
    assert head.height_mm is not None
    limits = called.limits().value
    least_mm = float(limits.height_least_mm or 0)
    narrowest_mm = float(limits.width_least_mm or called.shank_mm)
    # Height at which this metal is wide enough, and no higher than is aimed at.
    wide_mm = called.shank_mm**3 * metal.found / (narrowest_mm + WIDER_MM) ** 2
    target_mm = min(called.aim_mm, wide_mm, head.height_mm)
    if is_less(target_mm, least_mm):
        return NotAgain("too little metal", target_mm, least_mm)
    if not is_less(target_mm, head.height_mm):
        return NotAgain("nothing to gain", head.height_mm, target_mm)
    width_mm = width_at_mm(called, metal.found, target_mm)
    widest = limits.width_most_mm
    if widest is not None and is_less(float(widest), width_mm):
        return NotAgain("would be too wide", width_mm, float(widest))
    return _again(head.height_mm, target_mm, width_mm, called, metal, spring_mm_n)


def _why_not(head: Head, called: Called, metal: Metal | None) -> NotAgain | None:
    """What forbids a second squeeze whatever the sizes."""
    if called.code.material in HEAT_TREATED:
        return NotAgain("heat-treated rivet")
    if head.looks & SEEN_AGAINST or head.offset_mm or head.lean_deg:
        return NotAgain("out of shape or damaged")
    if metal is None:
        return NotAgain("not measured")
    try:
        called.limits()
    except OutsideTable:
        return NotAgain("no limits for this size")
    return None


def _again(
    now_mm: float,
    target_mm: float,
    width_mm: float,
    called: Called,
    metal: Metal,
    spring_mm_n: Spread,
) -> Again:
    """The step, and what the spring of the yoke adds to it."""
    before, after = (
        float(squeeze_force_n(called.shank_mm, high, metal.found, called.factor))
        for high in (now_mm, target_mm)
    )
    step_mm, more_n = now_mm - target_mm, after - before
    if isnan(more_n):
        more_n = 0.0
    ends = (spring_mm_n.low, spring_mm_n.central, spring_mm_n.high)
    shim = Spread(*(step_mm + more_n * one for one in ends))
    return Again(target_mm, width_mm, shim, after)

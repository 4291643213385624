"""Which combination of dies and shims to put in: three rules tried on made-up heads.

Run `python design/squeeze_choice.py` to print the table of squeeze_choice.md. Stacks,
yokes and pieces are those of a home shop, INVENTED. For each rule the gap it chooses
is squeezed many times by chance: one head scatters, the set-up is out by an offset,
the yoke springs or does not, and the choice knows of neither.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rivetwright.engines.squeeze.choosing import Asked, choose
from rivetwright.engines.squeeze.heads import Metal, head_of_gap_mm
from rivetwright.engines.squeeze.stacking import (
    Combinations,
    Owned,
    combinations,
    for_rivet,
)
from rivetwright.model.shop import Die, Tool
from rivetwright.standards.squeeze import squeeze_figure
from rivetwright.units.force import N_PER_LBF

IN = 25.4
SCATTER_IN = squeeze_figure("head scatter") / IN
OFFSET_IN = squeeze_figure("offset spread") / IN
# Stiffness of the yokes squeezed in, and how unlike each other yokes are.
STIFFNESS_N_MM = 3e5 * float(N_PER_LBF) / IN
STIFFNESS_SPREAD = 0.4
SET_UPS_EACH, HEADS_EACH = 6, 10
SEED = 7
# The volume of metal of a rivet of the right length, in pi/4 D^3.
VOLUME = 1.2
RULES = ("thicker", "thicker, clear", "nearest the aim")


@dataclass(frozen=True)
class Size:
    """A rivet: 1/32 in, seat of its universal head, least and most of its band [in]."""

    diameter_32nds: int
    seat: float
    least: float
    most: float


SIZES = (Size(3, 0.040, 0.038, 0.050), Size(4, 0.054, 0.050, 0.070))
GRIPS_IN = tuple(mils / 1000 for mils in range(40, 161, 5))
OWNED = Owned(
    (
        *(Die("flat", mils * IN / 1000) for mils in (125, 250, 375)),
        Die("cup", 0.230 * IN, 4),
        Die("cup", 0.240 * IN, 3),
    ),
    (),
    tuple(mils * IN / 1000 for mils in (10, 20, 32, 63)),
)
YOKE = Tool("Y", "yoke", closed_height_mm=0.760 * IN)


@dataclass(frozen=True)
class Case:
    """A size in a stack [in], and what the pieces owned leave for it."""

    size: Size
    grip: float
    found: Combinations

    @property
    def under(self) -> float:
        """What lies under the shop head [in]."""
        return self.grip + self.size.seat

    def gaps(self) -> dict[str, float] | None:
        """The gap that each rule chooses [in]; None where no gap holds the band."""
        low, high = self.under + self.size.least, self.under + self.size.most
        gaps = self.found.gap_mm / IN
        inside = gaps[(gaps >= low - 1e-9) & (gaps <= high + 1e-9)]
        if not len(inside):
            return None
        aim = (low + high) / 2
        ends = (aim, low, high, low + SCATTER_IN, high - SCATTER_IN)
        chosen = choose(self.found, Asked(*(np.array([e * IN]) for e in ends)))
        nearest = inside[np.argmin(np.abs(inside - aim))]
        named = (inside.max(), chosen.gap_mm[0] / IN, nearest)
        return dict(zip(RULES, map(float, named), strict=True))


def cases() -> Iterator[Case]:
    """Every size in every stack."""
    for size in SIZES:
        wanted = for_rivet(size.diameter_32nds, False)
        found = combinations(OWNED, wanted, YOKE)
        for grip in GRIPS_IN:
            yield Case(size, grip, found)


def heads_in(
    case: Case, gap: float, offset: float, springs: bool, chance: np.random.Generator
) -> NDArray[np.float64]:
    """Heads that a gap makes by chance in one set-up [in]."""
    shank = np.full(HEADS_EACH, case.size.diameter_32nds * IN / 32)
    metal = Metal(shank, np.full(HEADS_EACH, VOLUME), np.ones(HEADS_EACH))
    softer = np.exp(STIFFNESS_SPREAD * chance.standard_normal())
    mm_per_n = float(softer / STIFFNESS_N_MM) if springs else 0.0
    out = offset * chance.standard_normal()
    gaps = np.full(HEADS_EACH, (gap - case.under + out) * IN)
    made = head_of_gap_mm(gaps, 0.0, metal, mm_per_n) / IN
    return np.asarray(made + SCATTER_IN * chance.standard_normal(HEADS_EACH))


def shares(rule: str, offset: float, springs: bool) -> tuple[float, float, float]:
    """Share of heads over-set, in the band and under-set by one rule."""
    chance = np.random.default_rng(SEED)
    counts = np.zeros(3)
    for case in cases():
        gaps = case.gaps()
        if gaps is None:
            continue
        tried = [
            heads_in(case, gaps[rule], offset, springs, chance)
            for _ in range(SET_UPS_EACH)
        ]
        heads = np.concatenate(tried)
        is_low, is_high = heads < case.size.least, heads > case.size.most
        counts += (is_low.sum(), (~is_low & ~is_high).sum(), is_high.sum())
    low, inside, high = (counts / counts.sum()).tolist()
    return low, inside, high


def report() -> str:
    """The table of squeeze_choice.md."""
    lines = [
        "| yoke | offset, in | rule | over-set | in band | under-set |",
        "|---|---|---|---|---|---|",
    ]
    for springs in (False, True):
        for offset in (0.0, OFFSET_IN / 2, OFFSET_IN):
            for rule in RULES:
                found = shares(rule, offset, springs)
                low, inside, high = (f"{100 * share:.0f} %" for share in found)
                yoke = "springs" if springs else "rigid"
                lines.append(
                    f"| {yoke} | {offset:.3f} | {rule} | {low} | {inside} | {high} |"
                )
    return "\n".join(lines)


if __name__ == "__main__":
    print(report())

"""The squeeze-force law against the measured forces it was chosen by.

Run `python design/force_law.py` to print the tables of force_law.md. A head is taken as
a cylinder into which the whole tail went, as the law was fitted; shares are (worked out
- measured) / measured.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rivetwright.engines.forming import (
    FRICTION,
    HARDENING,
    STRENGTH_KPA,
    flow_stress_kpa,
    friction_ratio,
    head_height_mm,
    strain,
)
from rivetwright.standards.forming import ForcePoint, force_points

Figures = NDArray[np.float64]
FITTED_SERIES, KEPT_APART = "a2", "A1"
ROUNDS = 50


@dataclass(frozen=True)
class Law:
    """A flow curve K strain^n with a friction of head on dies."""

    title: str
    strength_kpa: float
    hardening: float
    friction: float

    def force_n(self, squeezed: Squeezed) -> Figures:
        """Force for each squeezed head [N]."""
        stress = flow_stress_kpa(
            strain(squeezed.shank_mm, squeezed.width_mm),
            strength_kpa=self.strength_kpa,
            hardening=self.hardening,
        )
        return stress * squeezed.loaded_mm2(self.friction) / 1000

    def off(self, squeezed: Squeezed) -> Figures:
        """By how much it is above each measured force, as a share of it."""
        return self.force_n(squeezed) / squeezed.measured_n - 1


@dataclass(frozen=True)
class Squeezed:
    """Measured heads: shank, width, height by constant volume [mm], force [N]."""

    shank_mm: Figures
    width_mm: Figures
    height_mm: Figures
    measured_n: Figures

    def loaded_mm2(self, friction: float) -> Figures:
        """Area of each head, grown by what friction adds."""
        hill = friction_ratio(self.width_mm, self.height_mm, friction=friction)
        return np.pi / 4 * self.width_mm**2 * hill


CHOSEN = Law("chosen", STRENGTH_KPA, HARDENING, FRICTION)
# Laws without friction; the last two are FROM MEMORY for 2117.
PLAIN_LAWS = (
    Law("best without friction", 494e3, 0.198, 0),
    Law("K 544 MPa, n 0.23", 544e3, 0.23, 0),
    Law("K 551 MPa, n 0.15", 551e3, 0.15, 0),
)


def of_series(name: str) -> list[ForcePoint]:
    """The loaded points of a series."""
    points = (found.value for found in force_points())
    return [one for one in points if one.series == name and one.force_n]


def squeezed(points: Sequence[ForcePoint], tail_mm: float | None = None) -> Squeezed:
    """The heads of some points; `tail_mm` in place of the tail of the table."""
    shank = np.array([float(one.shank_mm) for one in points])
    width = shank * [float(one.width_ratio) for one in points]
    tail = np.array([tail_mm or float(one.protrusion_mm) for one in points])
    force = np.array([float(one.force_n) for one in points])
    return Squeezed(shank, width, head_height_mm(shank, width, tail / shank), force)


def fitted(heads: Squeezed, friction: float = FRICTION) -> Law:
    """The law whose shares are least in squares at a friction.

    Straight-line fits of the logarithms, repeated with weights that turn logarithms
    into shares.
    """
    stress = 1000 * heads.measured_n / heads.loaded_mm2(friction)
    x, y = np.log(strain(heads.shank_mm, heads.width_mm)), np.log(stress)
    matrix, weight = np.column_stack([np.ones_like(x), x]), np.ones_like(x)
    for _ in range(ROUNDS):
        weighted = matrix * weight[:, None]
        level, slope = np.linalg.lstsq(weighted, y * weight, rcond=None)[0]
        gap = level + slope * x - y
        # Where the squares of exp(gap) - 1 are least, this times gap is at right
        # angles to level and slope.
        pull = np.expm1(gap) * np.exp(gap)
        weight = np.sqrt(np.divide(pull, gap, out=np.ones_like(gap), where=gap != 0))
    return Law("fitted", float(np.exp(level)), float(slope), friction)


def left_out(points: Sequence[ForcePoint]) -> Figures:
    """Share of each point by the law fitted to all the others."""
    shares = []
    for k, one in enumerate(points):
        others = squeezed([*points[:k], *points[k + 1 :]])
        shares.append(float(fitted(others).off(squeezed([one]))[0]))
    return np.array(shares)


def calculated(points: Sequence[ForcePoint], which: int) -> Figures:
    """Share of the source's own equation, first or second, where it is shown."""
    pairs = [(one.calculated_n[which], one.force_n) for one in points]
    return np.array([float(c / f) - 1 for c, f in pairs if c is not None])


def rms(shares: Figures) -> float:
    """Root of the mean square, in percent."""
    return 100 * float(np.sqrt(np.mean(shares**2)))


def worst(shares: Figures) -> float:
    """The share furthest from nought, in percent."""
    return 100 * float(shares[np.abs(shares).argmax()])


def _line(title: str, law: Law | None, *shares: Figures) -> str:
    """One row of a table: the law's figures, rms and worst of each series."""
    own = f"{law.strength_kpa / 1000:.0f} | {law.hardening:.3f}" if law else "- | -"
    ends = " | ".join(f"{rms(one):.1f} | {worst(one):+.1f}" for one in shares)
    return f"| {title} | {own} | {ends} |"


def report() -> str:
    """The tables of the study."""
    points, apart = of_series(FITTED_SERIES), squeezed(of_series(KEPT_APART))
    heads = squeezed(points)
    head = "| law | K, MPa | n | a2 rms % | a2 worst % | A1 rms % | A1 worst % |"
    lines = [head, "|---|---|---|---|---|---|---|"]
    lines.append(
        _line("chosen, friction 0.15", CHOSEN, CHOSEN.off(heads), CHOSEN.off(apart))
    )
    for friction in (0.0, 0.05, 0.10, 0.15, 0.20, 0.25):
        law = fitted(heads, friction)
        title = f"best at friction {friction:.2f}"
        lines.append(_line(title, law, law.off(heads), law.off(apart)))
    longer = squeezed(points, 6.28)
    law = fitted(longer)
    lines.append(_line("best, a2 tail 6.28 mm", law, law.off(longer), law.off(apart)))
    for law in PLAIN_LAWS[1:]:
        lines.append(_line(law.title, law, law.off(heads), law.off(apart)))
    for which, title in enumerate(("source's Equation (1)", "source's Equation (3)")):
        shares = calculated(points, which), calculated(of_series(KEPT_APART), which)
        lines.append(_line(title, None, *shares))
    alone = left_out(points)
    said = f"Points of a2 left out one by one: rms {rms(alone):.1f} %, worst "
    return "\n".join(lines) + f"\n\n{said}{worst(alone):+.1f} %."


if __name__ == "__main__":
    print(report())

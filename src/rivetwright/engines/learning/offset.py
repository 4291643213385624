"""What a set-up adds to the reckoning: an offset of its dies, the spring of its yoke.

A head comes out thicker than its gap by lift = offset + force / stiffness. All heads
of a yoke share its stiffness, those of one set of dies their offset. Before the first
head the offset is nought give or take wear and dirt, the spring what a yoke of that
reach is judged to give; both give way as heads are measured. What is told is always a
band: with few heads a wide one.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from math import hypot, sqrt

import numpy as np

from rivetwright.engines.learning.measured import Measured, Stretch, metal_of
from rivetwright.engines.learning.robust import Figures, Fit, Prior, fit_robust
from rivetwright.engines.squeeze.heads import head_of_gap_mm
from rivetwright.engines.squeeze.spring import (
    Spring,
    judged_stiffness_n_mm,
    spring_of,
)
from rivetwright.engines.squeeze.taught import (
    OFFSET_SPREAD_MM,
    SCATTER_MM,
    Basis,
    DieSet,
    ShopTaught,
    Taught,
)
from rivetwright.errors import NotFound, nearest_hint
from rivetwright.model.shop import Tool
from rivetwright.standards.learning import learning_figure
from rivetwright.standards.source import Source, Status
from rivetwright.standards.spread import Spread

SPRING_SPREAD = learning_figure("spring spread")
# A head that weighs less than this of a full one is told as a slip.
SLIP_WEIGHT = 0.5
# Half of a stated range as a standard deviation.
HALF_RANGE_SPREADS = 2.0
ROUNDS = 20
# What counts as no further change, in millimetres.
STILL_MM = 1e-6
OWN_HEADS = Source("heads measured in this yoke", "", Status.OWN_TEST)


@dataclass(frozen=True)
class Foretold:
    """A height, or a lift, as foretold from what was learnt.

    `band_mm` is a band of 95 % for the middle of the heads, `spread_mm` its standard
    deviation; one head stands about that middle by `scatter_mm`. `slips_count` of the
    heads it rests on lie so far off that they hardly count.
    """

    band_mm: Spread
    spread_mm: float
    scatter_mm: float
    basis: Basis
    heads_count: int
    slips_count: int

    @property
    def head_spread_mm(self) -> float:
        """Standard deviation of the next head about the middle of the band [mm]."""
        return hypot(self.spread_mm, self.scatter_mm)


@dataclass(frozen=True)
class YokeLearnt:
    """Heads of one yoke and the fit to them; its last unknown is the spring.

    `off_mm` is how far each head stands from the fit.
    """

    yoke: Tool
    stretches: tuple[Stretch, ...]
    heads: tuple[Measured, ...]
    fit: Fit
    off_mm: Figures

    @property
    def opens_mm_n(self) -> Spread:
        """How far one newton opens it, a band of 95 % [mm/N]."""
        middle = float(self.fit.central[-1])
        half = self.fit.band_ratio * sqrt(float(self.fit.covariance[-1, -1]))
        return Spread(max(middle - half, 0.0), middle, middle + half)

    def latest(self, dies: DieSet) -> Stretch | None:
        """The stretch of some dies that counts now; None where none was measured."""
        mine = [period for one, period in self.stretches if one == dies]
        return (dies, max(mine)) if mine else None

    def offsets_mm(self, stretch: Stretch) -> list[float]:
        """The offset each head of a stretch shows, the spring taken off [mm]."""
        middle = float(self.fit.central[self.stretches.index(stretch)])
        return [
            middle + float(off)
            for one, off in zip(self.heads, self.off_mm, strict=True)
            if one.stretch == stretch
        ]

    def lift(self, dies: DieSet, force_n: float) -> Foretold:
        """How much thicker than in a rigid tool heads come out at a force [N] [mm]."""
        asked = self._asked(dies, force_n)
        return self._foretold(dies, float(asked @ self.fit.central), asked)

    def head(self, rivet: Measured) -> Foretold:
        """The height that a rivet's gap makes; its own height is not looked at [mm]."""
        metal, rigid = metal_of([rivet]), np.array([rivet.rigid_mm])
        opens = float(self.fit.central[-1])
        offset = float(self._asked(rivet.dies, 0.0) @ self.fit.central)
        height = head_of_gap_mm(rigid, -offset, metal, opens)
        force = float(metal.spring_force_n(height)[0])
        reaches = 1 / (1 - opens * float(metal.slope_n_mm(height)[0]))
        asked = reaches * self._asked(rivet.dies, force)
        return self._foretold(rivet.dies, float(height[0]), asked, reaches)

    def taught(self, dies: DieSet) -> Taught | None:
        """Offset of some dies beside the spring; None where none was measured."""
        stretch = self.latest(dies)
        if stretch is None:
            return None
        at, covariance = self.stretches.index(stretch), self.fit.covariance
        return Taught(
            float(self.fit.central[at]),
            Basis.HEADS,
            *self._counts(stretch),
            float(covariance[at, at]),
            float(covariance[at, -1]),
            float(covariance[-1, -1]),
            float(self.fit.scatter),
            self.fit.band_ratio,
        )

    def _counts(self, stretch: Stretch | None) -> tuple[int, int]:
        """How many heads of a stretch there are, and how many of them are slips."""
        mine = np.array([one.stretch == stretch for one in self.heads], dtype=bool)
        return int(mine.sum()), int(np.sum(mine & (self.fit.weight < SLIP_WEIGHT)))

    def _asked(self, dies: DieSet, force_n: float) -> Figures:
        """How much each unknown adds to the lift of some dies at a force [N]."""
        stretch = self.latest(dies)
        asked = np.zeros(len(self.fit.central))
        asked[-1] = force_n
        if stretch is not None:
            asked[self.stretches.index(stretch)] = 1.0
        return asked

    def _foretold(
        self, dies: DieSet, middle_mm: float, asked: Figures, reaches: float = 1.0
    ) -> Foretold:
        """A middle with its band, by how much each unknown adds to it."""
        stretch = self.latest(dies)
        variance = float(asked @ self.fit.covariance @ asked)
        if stretch is None:
            variance += (reaches * OFFSET_SPREAD_MM) ** 2
        spread = sqrt(variance)
        half = self.fit.band_ratio * spread
        heads, slips = self._counts(stretch)
        return Foretold(
            Spread(middle_mm - half, middle_mm, middle_mm + half),
            spread,
            float(self.fit.scatter),
            self._basis(heads > 0),
            heads,
            slips,
        )

    def _basis(self, has_own: bool) -> Basis:
        """What a lift rests on."""
        if has_own:
            return Basis.HEADS
        # A stiffness that was given is not learnt from heads.
        is_learnt = self.heads and not spring_of(self.yoke).is_known
        return Basis.YOKE if is_learnt else Basis.PHYSICS


@dataclass(frozen=True)
class Learnt:
    """What the measured heads of a shop taught, by yoke."""

    yokes: Mapping[str, YokeLearnt]

    def _of(self, yoke: str) -> YokeLearnt:
        """What was learnt of a yoke of the shop."""
        if yoke not in self.yokes:
            raise NotFound(
                asked="foretell heads of a yoke",
                found=f"{yoke}, which the shop does not have",
                allowed=", ".join(self.yokes) + nearest_hint(yoke, self.yokes),
                do="name one of the shop's own",
            )
        return self.yokes[yoke]

    def lift(self, dies: DieSet, force_n: float) -> Foretold:
        """How much thicker heads of some dies come out, at a force [N] [mm]."""
        return self._of(dies.yoke).lift(dies, force_n)

    def head(self, rivet: Measured) -> Foretold:
        """The height that a rivet's gap makes; its own height is not looked at [mm]."""
        return self._of(rivet.dies.yoke).head(rivet)

    def spring(self, yoke: str) -> Spring:
        """Spring of a yoke: given, judged while it has no heads, else learnt."""
        learnt = self._of(yoke)
        before = spring_of(learnt.yoke)
        if before.is_known or not learnt.heads:
            return before
        opens = learnt.opens_mm_n
        return Spring(opens.low, opens.central, opens.high, OWN_HEADS)

    def taught(self) -> ShopTaught:
        """What the set-ups take: each set of dies as it stands now, and the springs."""
        dies = {
            one: told
            for learnt in self.yokes.values()
            for one in dict.fromkeys(dies for dies, _ in learnt.stretches)
            if (told := learnt.taught(one))
        }
        springs = {
            yoke: self.spring(yoke)
            for yoke, learnt in self.yokes.items()
            if learnt.heads and not spring_of(learnt.yoke).is_known
        }
        return ShopTaught(dies, springs)


def learn(heads: Iterable[Measured], yokes: Iterable[Tool]) -> Learnt:
    """Learn from heads what dies and yokes add to the reckoning.

    Args:
        heads: measured heads; stalled ones, and those of other yokes, are passed over.
        yokes: the yokes of the shop.

    Returns:
        What was learnt, for every yoke; by physics alone where it has no heads.
    """
    by_yoke: dict[str, list[Measured]] = {}
    for one in heads:
        if not one.is_stalled:
            by_yoke.setdefault(one.dies.yoke, []).append(one)
    return Learnt(
        {yoke.id: _learn_yoke(yoke, by_yoke.get(yoke.id, [])) for yoke in yokes}
    )


def spring_before(yoke: Tool) -> tuple[float, float]:
    """Spring of a yoke before a head is measured, and its standard deviation [mm/N]."""
    known = spring_of(yoke)
    if known.is_known:
        return known.mm_n, 0.0
    judged = 1 / judged_stiffness_n_mm(yoke.reach_mm)
    return judged, SPRING_SPREAD * judged


def offset_spread_mm(heads: Iterable[Measured]) -> float:
    """Spread of an offset before it is learnt: wear, dirt, gauge, dimple and head [mm].

    Args:
        heads: the heads that share it.
    """
    unsure_mm = max((one.unsure_mm for one in heads), default=0.0)
    return hypot(OFFSET_SPREAD_MM, unsure_mm / HALF_RANGE_SPREADS)


def _learn_yoke(yoke: Tool, heads: Sequence[Measured]) -> YokeLearnt:
    """Fit the offsets of all dies of a yoke, and its spring, to its heads."""
    stretches = tuple(dict.fromkeys(one.stretch for one in heads))
    prior = _prior(stretches, heads, *spring_before(yoke))
    fit, off_mm = _fit(stretches, heads, prior)
    if fit.central[-1] < 0:
        # No yoke springs shut under load: the nearest that can be is a rigid one.
        fit, off_mm = _fit(stretches, heads, _prior(stretches, heads, 0.0, 0.0))
    return YokeLearnt(yoke, stretches, tuple(heads), fit, off_mm)


def _fit(
    stretches: Sequence[Stretch], heads: Sequence[Measured], prior: Prior
) -> tuple[Fit, Figures]:
    """Fit heights; the force is taken where the fit has the head, not where a slip may.

    What a head adds to offset and spring is straightened about the heights fitted so
    far, again and again until these stand still. The second is how far each measured
    height lies from the fit [mm].
    """
    metal = metal_of(heads)
    rigid, height = (
        np.array([getattr(one, name) for one in heads], dtype=float)
        for name in ("rigid_mm", "height_mm")
    )
    shares = np.array([[one.stretch == each for each in stretches] for one in heads])
    shares = shares.reshape(len(heads), len(stretches)).astype(float)
    unknown = np.array(prior.central)
    for _ in range(ROUNDS):
        opens, offset = max(float(unknown[-1]), 0.0), shares @ unknown[:-1]
        fitted = head_of_gap_mm(rigid, -offset, metal, opens)
        force = metal.spring_force_n(fitted)
        reaches = 1 / (1 - opens * metal.slope_n_mm(fitted))
        design = reaches[:, None] * np.column_stack([shares, force])
        fit = fit_robust(design, height - fitted + design @ unknown, prior)
        moved, unknown = np.abs(design @ (fit.central - unknown)), fit.central
        if not np.any(moved > STILL_MM):
            break
    return fit, height - fitted


def _prior(
    stretches: Sequence[Stretch],
    heads: Sequence[Measured],
    opens_mm_n: float,
    spread_mm_n: float,
) -> Prior:
    """Offsets about nought, wider where dimple or head are unsure; and the spring."""
    spreads = [
        offset_spread_mm([one for one in heads if one.stretch == stretch])
        for stretch in stretches
    ]
    return Prior(
        (*(0.0 for _ in stretches), opens_mm_n), (*spreads, spread_mm_n), SCATTER_MM
    )

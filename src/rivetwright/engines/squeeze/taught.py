"""What measured heads taught of dies and yokes, in the form the set-ups take it.

`engines.learning` makes it; without it every set-up is by physics. The offset is
beside the spring of the yoke: a head comes out thicker by offset + force x spring.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from math import hypot, sqrt

from rivetwright.engines.squeeze.spring import Spring, spring_of
from rivetwright.model.shop import Tool
from rivetwright.standards.squeeze import squeeze_figure

SCATTER_MM = squeeze_figure("head scatter")
OFFSET_SPREAD_MM = squeeze_figure("offset spread")
# A band of 95 % where the spread is well known, in standard deviations.
BAND_RATIO = 1.96


class Basis(StrEnum):
    """What a lift rests on."""

    PHYSICS = "by physics"
    YOKE = "from heads of other rivets in this yoke"
    HEADS = "from your heads"


@dataclass(frozen=True)
class DieSet:
    """What shares one offset: squeezer, yoke, and the dies of a size and kind of head.

    `is_dimpled` where the sheet under the shop head is dimpled: how far its dimple
    stands proud is then part of the offset.
    """

    squeezer: str
    yoke: str
    diameter_32nds: int
    is_flush: bool
    is_dimpled: bool = False


@dataclass(frozen=True)
class Taught:
    """What is known of the offset of one set of dies, and what that rests on.

    `variance_mm2` is that of the offset, `shared_mm2_n` what it has in common with the
    spring's, `spring_mm2_n2` the spring's own. One head stands about the middle by
    `scatter_mm`; a band of 95 % is `band_ratio` standard deviations either way.
    """

    offset_mm: float = 0.0
    basis: Basis = Basis.PHYSICS
    heads_count: int = 0
    slips_count: int = 0
    variance_mm2: float = OFFSET_SPREAD_MM**2
    shared_mm2_n: float = 0.0
    spring_mm2_n2: float = 0.0
    scatter_mm: float = SCATTER_MM
    band_ratio: float = BAND_RATIO

    @property
    def is_own(self) -> bool:
        """Whether heads of these very dies were measured."""
        return self.basis is Basis.HEADS

    @property
    def offset_spread_mm(self) -> float:
        """Standard deviation of the offset by itself [mm]."""
        return sqrt(self.variance_mm2)

    def spread_mm(self, force_n: float) -> float:
        """Standard deviation of the middle of the lift at a force [N] [mm]."""
        shared = 2 * force_n * self.shared_mm2_n
        return sqrt(self.variance_mm2 + shared + force_n**2 * self.spring_mm2_n2)

    def middle_half_mm(self, force_n: float) -> float:
        """Half a band of 95 % for the middle of the lift at a force [N] [mm]."""
        return self.band_ratio * self.spread_mm(force_n)

    def head_half_mm(self, force_n: float, reaches: float = 1.0) -> float:
        """Half of what 19 of 20 heads keep to, at a force [N] [mm].

        `reaches` is how much a head moves for what its lift moves [-].
        """
        return self.band_ratio * hypot(
            reaches * self.spread_mm(force_n), self.scatter_mm
        )


BY_PHYSICS = Taught()
BY_YOKE = Taught(basis=Basis.YOKE)


@dataclass(frozen=True)
class ShopTaught:
    """What the heads of a shop taught: each set of dies, and the spring of each yoke.

    A yoke whose spring was not learnt is not among `springs`.
    """

    dies: Mapping[DieSet, Taught] = field(default_factory=dict)
    springs: Mapping[str, Spring] = field(default_factory=dict)

    def of(self, dies: DieSet) -> Taught:
        """What is known of a set of dies; by physics where nothing is."""
        found = self.dies.get(dies)
        if found is not None:
            return found
        return BY_YOKE if dies.yoke in self.springs else BY_PHYSICS

    def spring(self, yoke: Tool) -> Spring:
        """The spring that a yoke is counted with: learnt, given, or judged."""
        return self.springs.get(yoke.id) or spring_of(yoke)


UNTAUGHT = ShopTaught()

"""One set-up: what goes on the squeezer for a rivet in a stack, and what comes of it.

Everything a card shows stands in it as figures, with the rule by which it was chosen
and the weakest status it rests on. Nothing here holds a sentence.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from rivetwright.engines.squeeze.buying import ShimToBuy
from rivetwright.engines.squeeze.choosing import Rule
from rivetwright.engines.squeeze.opening import Engaged, Opening
from rivetwright.engines.squeeze.spring import Spring
from rivetwright.engines.squeeze.stacking import Pieces
from rivetwright.engines.squeeze.taught import DieSet, Taught
from rivetwright.model.shop import Squeezer, Tool
from rivetwright.standards.source import Status
from rivetwright.standards.spread import Spread
from rivetwright.units.tolerance import is_less


class Verdict(StrEnum):
    """What comes of a set-up; the first that holds is told."""

    NOT_MEASURED = "closed height not measured"
    NO_DIE = "no die fits"
    NO_METAL = "no metal for a head"
    BAND_LOST = "cannot hold the band"
    DOES_NOT_OPEN = "does not open over the rivet"
    STALLS = "stalls"
    TOO_NARROW = "head too narrow"
    IN_BAND = "in band"


@dataclass(frozen=True)
class Band:
    """Least, aimed at and most height of the shop head."""

    min_mm: float
    aim_mm: float
    most_mm: float

    def has(self, height_mm: float) -> bool:
        """Whether a height lies inside [mm]."""
        is_low = is_less(height_mm, self.min_mm)
        return not is_low and not is_less(self.most_mm, height_mm)


@dataclass(frozen=True)
class Met:
    """Where in its stroke the ram meets the rivet, and what it could press there.

    `into_mm` is None where the stroke is not known, the force where that is not.
    `starts_n` is about what makes the shank give way.
    """

    left_mm: float
    into_mm: float | None
    gives_n: float | None
    gives_at_end_n: float | None
    starts_n: float


@dataclass(frozen=True)
class Stall:
    """Where the ram stops if it stalls, for the usual and for the most force needed."""

    is_stalled: bool
    left_mm: float
    head_mm: float
    may_stall: bool
    left_high_mm: float
    head_high_mm: float


@dataclass(frozen=True)
class Force:
    """What the head needs and what the squeezer gives at its end.

    `is_measured`: heads so wide were squeezed and measured; beyond them the law is
    only carried on. `hand_n` is the greatest pull at the handles of a hand squeezer,
    to be held against what the hand has; a hand does not stall, so neither an end
    force nor a stall is told for it.
    """

    needed_n: Spread | None
    is_measured: bool
    available_n: float | None
    pressure_kpa: float | None
    least_pressure_kpa: Spread | None
    hand_n: Spread | None
    stall: Stall | None


@dataclass(frozen=True)
class SetUp:
    """One class of holes, one squeezer, one yoke.

    What is None is not known, or there is nothing to put in. `head_mm` is what the
    set-up makes, a stall counted: once heads of its own were measured what 19 of 20
    keep to, before that a range of what is known of spring, stand-off and seat, beside
    which every set-up is out by `offset_spread_mm` either way. `taught` is what
    measured heads taught of its `dies`; `stand_off_mm` is to be measured on scrap.
    """

    hole_class: int
    diameter_32nds: int
    is_flush: bool
    squeezer: Squeezer
    yoke: Tool
    spring: Spring
    wanted_mm: Spread
    band: Band
    stand_off_mm: Spread
    grip_mm: float
    seat_mm: float
    verdict: Verdict
    rule: Rule
    pieces: Pieces | None
    gap_mm: float | None
    head_mm: Spread | None
    width_mm: Spread | None
    force: Force
    met: Met | None
    opening: Opening | None
    engaged: tuple[Engaged, ...]
    changes: int
    least_change: Pieces | None
    buy: ShimToBuy | None
    dies: DieSet
    taught: Taught
    status: Status

    @property
    def offset_spread_mm(self) -> float:
        """How far its dies are out either way, as far as is known [mm]."""
        return self.taught.offset_spread_mm

    @property
    def under_mm(self) -> float:
        """What lies under the head when the dies are closed, as usual [mm]."""
        return self.grip_mm + self.stand_off_mm.central + self.seat_mm

    @property
    def is_range_in_band(self) -> bool:
        """Whether the whole range of the head lies inside the band."""
        head = self.head_mm
        return head is not None and self.band.has(head.low) and self.band.has(head.high)

    @property
    def needs_scrap(self) -> bool:
        """Whether the stand-off of a dimple has still to be measured on scrap."""
        return self.stand_off_mm.high > 0 and not self.taught.is_own

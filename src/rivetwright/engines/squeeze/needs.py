"""What each class of equal holes asks of a squeezer, as columns side by side."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from rivetwright.engines.rules import Column
from rivetwright.engines.squeeze.choosing import Asked
from rivetwright.engines.squeeze.heads import Metal, gap_of_head_mm
from rivetwright.engines.squeeze.stacking import Ints
from rivetwright.engines.worked import Worked
from rivetwright.standards.codes import RivetCode
from rivetwright.standards.squeeze import squeeze_figure

SCATTER_MM = squeeze_figure("head scatter")
LOW, CENTRAL, HIGH = 0, 1, 2
ENDS = ("_low", "", "_high")


@dataclass(frozen=True)
class Needs:
    """Classes and their figures, shape (n,); with an end: (3, n), low to high.

    `under_mm` is what lies under the head: stack, stand-off and seat. Its low is the
    least of them, which leaves most for the head.
    """

    classes: Ints
    diameter_32nds: Ints
    is_flush: Column
    shank_mm: Column
    grip_mm: Column
    length_mm: Column
    seat_mm: Column
    stand_off_mm: Column
    under_mm: Column
    height_min_mm: Column
    height_aim_mm: Column
    height_most_mm: Column
    volume_ratio: Column
    factor: Column

    def __len__(self) -> int:
        """How many classes."""
        return len(self.classes)

    @property
    def is_dimpled(self) -> Column:
        """Whether the sheet under the shop head is dimpled."""
        return np.asarray(self.stand_off_mm[HIGH] > 0)

    def metal(self, end: int = CENTRAL) -> Metal:
        """What is squeezed, with the force of its alloy low, central or high."""
        return Metal(self.shank_mm, self.volume_ratio, self.factor[end])

    def asked(self, mm_per_n: float, offset_mm: Column) -> Asked:
        """The gaps that make the head aimed at and the ends of the band.

        With a spring [mm/N] and a learned offset, shape (n,) [mm].
        """
        under, metal = self.under_mm[CENTRAL] - offset_mm, self.metal()
        heights = (
            self.height_aim_mm,
            self.height_min_mm,
            self.height_most_mm,
            self.height_min_mm + SCATTER_MM,
            self.height_most_mm - SCATTER_MM,
        )
        return Asked(*(gap_of_head_mm(h, under, metal, mm_per_n) for h in heights))

    def part(self, which: Ints) -> Needs:
        """Some of the classes."""
        fields = {name: column[..., which] for name, column in vars(self).items()}
        return Needs(**fields)


def solid_classes(worked: Worked) -> Ints:
    """The classes whose callout is a solid rivet of a known shank."""
    is_known = np.isfinite(worked["shank_diameter_mm"])
    solid = np.asarray(worked["is_solid"], dtype=bool)
    return np.flatnonzero(solid & is_known)


def needs_of(worked: Worked, classes: Ints) -> Needs:
    """The figures of some classes, all of them solid rivets."""

    def of(name: str) -> Column:
        return np.asarray(worked[name], dtype=float)[classes]

    def ends(name: str, unit: str = "") -> Column:
        return np.stack([of(f"{name}{end}{unit}") for end in ENDS])

    codes = [worked.stacks.classes[k].callout for k in classes.tolist()]
    aim = of("squeeze_aim_mm")
    return Needs(
        classes,
        np.array([c.diameter_32nds for c in codes if isinstance(c, RivetCode)]),
        np.array([c.is_flush for c in codes], dtype=bool),
        of("shank_diameter_mm"),
        of("grip_mm"),
        of("length_mm"),
        of("manufactured_seat_mm"),
        ends("stand_off", "_mm"),
        ends("closed_gap", "_mm") - aim,
        of("head_height_min_mm"),
        aim,
        of("squeeze_height_most_mm"),
        of("head_volume_ratio"),
        ends("force_factor"),
    )

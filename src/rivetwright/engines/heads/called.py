"""What was called for at a hole, as one checks its head against it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction
from math import nan

from rivetwright.engines.length import supplied_16ths
from rivetwright.engines.worked import Worked
from rivetwright.model.plan import DIMPLE
from rivetwright.standards.codes import RivetCode
from rivetwright.standards.shop_heads import HeadLimits, shop_head_limits
from rivetwright.standards.source import Looked
from rivetwright.standards.spread import Spread


@dataclass(frozen=True)
class Called:
    """A solid rivet in its stack; NaN where no table gives a figure.

    `volume` is the metal for the shop head in pi/4 D^3, `shop_dimpled` whether the
    sheet under the shop head is dimpled. `head_width_mm` and `head_height_mm` are the
    manufactured head's. `factor` is the alloy's force against 2117-T4.
    """

    code: RivetCode
    shank_mm: float
    grip_mm: float
    stand_off_mm: Spread
    hole_mm: Spread
    volume: Spread
    limit_set: str
    supplied_16ths: tuple[Fraction, ...]
    head_width_mm: float
    head_height_mm: float
    shop_dimpled: bool
    aim_mm: float
    factor: float

    @property
    def length_mm(self) -> float:
        """Length of the rivet called for [mm]."""
        return float(self.code.length_mm)

    @property
    def tail_mm(self) -> float:
        """Shank standing out before it is set [mm]."""
        return self.length_mm - self.grip_mm - self.stand_off_mm.central

    @property
    def fill_ratio(self) -> float:
        """Metal that goes into the hole [pi/4 D^3]."""
        return self.tail_mm / self.shank_mm - self.volume.central

    def volume_of_16ths(self, length_16ths: Fraction) -> float:
        """Metal that a rivet of another length would leave for the head [pi/4 D^3]."""
        longer_mm = float((length_16ths - self.code.length_16ths) * 254 / 160)
        return self.volume.central + longer_mm / self.shank_mm

    def limits(self, limit_set: str = "") -> Looked[HeadLimits]:
        """Limits of its shop head [mm], by the project's set or a named one.

        Raises:
            OutsideTable: the set does not print this diameter.
        """
        return shop_head_limits(
            self.code.nominal_diameter_mm,
            limit_set=limit_set or self.limit_set,
            material=self.code.material,
        )


def called_with(called: Called, code: RivetCode) -> Called:
    """The same hole with the rivet that was really set.

    Of another diameter neither metal nor height aimed at are known: NaN.

    Args:
        called: what the plan calls for.
        code: the rivet set.
    """
    if code.diameter_32nds == called.code.diameter_32nds:
        longer = called.volume_of_16ths(code.length_16ths) - called.volume.central
        ends = (called.volume.low, called.volume.central, called.volume.high)
        return replace(called, code=code, volume=Spread(*(v + longer for v in ends)))
    shank_mm = float(code.nominal_diameter_mm)
    return replace(
        called,
        code=code,
        shank_mm=shank_mm,
        hole_mm=Spread(shank_mm, shank_mm, shank_mm),
        volume=Spread(nan, nan, nan),
        aim_mm=nan,
    )


def called_at(worked: Worked, hole: int) -> Called | None:
    """What the plan calls for at a hole; None where it is no solid rivet.

    A rivet whose shank is not known is None too: nothing can be judged in D.

    Args:
        worked: the worked plan.
        hole: the hole's index.
    """
    one = worked.stacks.classes[int(worked.stacks.class_of[hole])]
    callout = one.callout

    def of(name: str) -> float:
        return float(worked.at(name, hole))

    if not isinstance(callout, RivetCode) or of("shank_diameter_mm") != of(
        "shank_diameter_mm"
    ):
        return None
    volume = of("head_volume_ratio")
    return Called(
        callout,
        of("shank_diameter_mm"),
        of("grip_mm"),
        Spread(of("stand_off_low_mm"), of("stand_off_mm"), of("stand_off_high_mm")),
        Spread(of("hole_low_mm"), of("filled_hole_mm"), of("hole_high_mm")),
        Spread(
            volume - of("volume_under_ratio"), volume, volume + of("volume_over_ratio")
        ),
        worked.plan.rule_sets.head_limits,
        supplied_16ths(worked, callout.diameter_32nds),
        of("head_diameter_mm"),
        of("head_height_mm"),
        bool(one.sheets) and one.sheets[-1].preparation == DIMPLE,
        of("squeeze_aim_mm"),
        of("force_factor"),
    )

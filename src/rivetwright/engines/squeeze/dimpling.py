"""Setting the squeezer up for dimples: the dies touch at the end of the stroke.

With nothing between, the faces of the pair meet; with the sheet between, its
thickness springs the yoke and presses. Too wide, and the sheet is not pressed with
all the squeezer gives; too narrow, and the dies hit each other. How much press a
sheet needs was found in no source: what the set-up gives is told.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from rivetwright.engines.given import DIMPLED
from rivetwright.engines.squeeze.batch import Asking, owned_of, takes, yokes_of
from rivetwright.engines.squeeze.buying import ShimToBuy, shim_to_buy
from rivetwright.engines.squeeze.choosing import TELLS_APART_MM
from rivetwright.engines.squeeze.set_up import Verdict
from rivetwright.engines.squeeze.spring import Spring, spring_of
from rivetwright.engines.squeeze.stacking import (
    Combinations,
    OnTool,
    Pieces,
    combinations,
    dimple,
)
from rivetwright.engines.squeeze.stall import end_force_n, press_of
from rivetwright.engines.worked import Worked
from rivetwright.model.shop import Shop, Squeezer, Tool
from rivetwright.standards.codes import RivetCode
from rivetwright.standards.source import Status, weakest
from rivetwright.standards.spread import Spread
from rivetwright.standards.squeeze import squeeze_constant
from rivetwright.units.tolerance import TOLERANCE_MM

OFF_TOUCH = squeeze_constant("dimple off touch")


@dataclass(frozen=True)
class DimpleSetUp:
    """One size of dimple in one sheet, one squeezer, one yoke.

    The gap wanted is 0: the dies just touch. `low_mm` to `high_mm` will do: past
    touching by a little, and no wider than leaves all the force to press, or by as
    little. `press_n` is what presses the sheet.
    """

    diameter_32nds: int
    sheet_mm: float
    squeezer: Squeezer
    yoke: Tool
    low_mm: float
    high_mm: float
    verdict: Verdict
    pieces: Pieces | None
    gap_mm: float | None
    press_n: Spread | None
    changes: int
    buy: ShimToBuy | None
    status: Status


def _press(
    sheet_mm: float, gap_mm: float, spring: Spring, given_n: float | None
) -> Spread | None:
    """What presses the sheet: the spring of the yoke, at most what is given."""
    if given_n is None:
        return None
    closed_mm = max(sheet_mm - gap_mm, 0.0)

    def pressed(mm_n: float) -> float:
        return min(given_n, closed_mm / mm_n) if mm_n else given_n

    by_stiffness = (spring.high_mm_n, spring.mm_n, spring.low_mm_n)
    return Spread(*(pressed(mm_n) for mm_n in by_stiffness))


def _nearest_to_touch(found: Combinations, low_mm: float, high_mm: float) -> int:
    """The combination whose dies come nearest to touching, -1 where none may do.

    Those that a caliper does not tell apart cost fewer changes, then fewer shims.
    """
    gap_mm = found.gap_mm
    fits = (gap_mm >= low_mm - TOLERANCE_MM) & (gap_mm <= high_mm + TOLERANCE_MM)
    if not fits.any():
        return -1
    off = np.where(fits, np.abs(gap_mm), np.inf)
    near = np.flatnonzero(off <= off.min() + TELLS_APART_MM + TOLERANCE_MM)
    return int(min(near, key=lambda k: (found.changes[k], found.shims[k], off[k])))


def dimple_set_up(
    diameter_32nds: int,
    sheet_mm: float,
    squeezer: Squeezer,
    yoke: Tool,
    asking: Asking,
) -> DimpleSetUp:
    """The set-up for dimples of one size [1/32 in] in a sheet [mm].

    Source: own geometry; how far off of squeeze_constants.csv, JUDGEMENT.
    """
    spring = spring_of(yoke)
    given = end_force_n(press_of(squeezer), asking.pressure_kpa)
    off_mm = float(OFF_TOUCH.value)
    low = -off_mm
    high = max(off_mm, sheet_mm - (given or 0.0) * spring.high_mm_n)
    verdict, pieces, gap, changes, buy = Verdict.NOT_MEASURED, None, None, 0, None
    if yoke.closed_height_mm is not None:
        found = combinations(
            asking.owned,
            dimple(diameter_32nds),
            yoke,
            squeezer=squeezer.title,
            on_tool=asking.on_tool,
        )
        at = _nearest_to_touch(found, low, high)
        verdict = Verdict.BAND_LOST if len(found) else Verdict.NO_DIE
        if at >= 0:
            verdict, pieces = Verdict.IN_BAND, found.pieces[at]
            gap, changes = float(found.gap_mm[at]), int(found.changes[at])
        else:
            buy = shim_to_buy(found.gap_mm, low, 0.0, high)
    return DimpleSetUp(
        diameter_32nds,
        sheet_mm,
        squeezer,
        yoke,
        low,
        high,
        verdict,
        pieces,
        gap,
        None if gap is None else _press(sheet_mm, gap, spring, given),
        changes,
        buy,
        weakest(OFF_TOUCH.status, spring.source.status),
    )


def dimples_of(worked: Worked) -> list[tuple[int, float]]:
    """Every size of dimple [1/32 in] and sheet [mm] that a plan asks for."""
    found = set()
    thickness = worked["sheet_thickness_mm"]
    dimpled = worked["sheet_preparation"] == DIMPLED
    for k, one in enumerate(worked.stacks.classes):
        if isinstance(one.callout, RivetCode):
            for sheet_mm in thickness[k][dimpled[k]].tolist():
                found.add((one.callout.diameter_32nds, sheet_mm))
    return sorted(found)


def dimple_set_ups(
    worked: Worked,
    shop: Shop,
    *,
    on_tool: OnTool | None = None,
    pressure_kpa: float | None = None,
) -> Iterator[DimpleSetUp]:
    """The set-ups of every dimple of a plan, in each squeezer and yoke that takes it.

    Args:
        worked: the worked-out plan.
        shop: what the builder owns.
        on_tool: what is on the squeezer now.
        pressure_kpa: pressure at the tool; None as each squeezer is rated [kPa].

    Yields:
        One set-up at a time.

    Source: own search, exact.
    """
    asking = Asking(owned_of(shop), on_tool, pressure_kpa)
    for diameter, sheet_mm in dimples_of(worked):
        for squeezer in shop.squeezers:
            for yoke in yokes_of(shop):
                if takes(squeezer, diameter) and takes(yoke, diameter):
                    yield dimple_set_up(diameter, sheet_mm, squeezer, yoke, asking)

"""One row of a batch worked out to the end: the whole answer that a card shows."""

from __future__ import annotations

import numpy as np

from rivetwright.engines.force import WIDTH_RATIO_LEAST, WIDTH_RATIO_MOST
from rivetwright.engines.forming import head_width_mm
from rivetwright.engines.rules import Column
from rivetwright.engines.squeeze.batch import Batch
from rivetwright.engines.squeeze.buying import ShimToBuy, shim_to_buy
from rivetwright.engines.squeeze.change import least_change
from rivetwright.engines.squeeze.choosing import Rule
from rivetwright.engines.squeeze.heads import gap_of_head_mm
from rivetwright.engines.squeeze.needs import CENTRAL, HIGH, LOW, Needs
from rivetwright.engines.squeeze.one_row import OneRow, spread_of
from rivetwright.engines.squeeze.opening import Opening, engagement_of, opening_of
from rivetwright.engines.squeeze.set_up import Band, Force, Met, SetUp, Stall, Verdict
from rivetwright.engines.squeeze.stacking import Combinations, Pieces, changes_between
from rivetwright.engines.squeeze.stall import Stop, end_force_n, press_of
from rivetwright.engines.worked import Worked, working
from rivetwright.standards.source import Status, weakest
from rivetwright.standards.spread import Spread
from rivetwright.standards.squeeze import squeeze_constant, squeeze_figure
from rivetwright.units.tolerance import is_less

OFFSET_SPREAD = squeeze_constant("offset spread")
YIELD_KPA = squeeze_figure("yield")
RESTS_ON = ("closed_gap_high_mm", "squeeze_height_most_mm", "force_factor")


def _stall(stops: list[Stop]) -> Stall | None:
    """What is known of a stall."""
    if not stops:
        return None
    _, usual, most = stops
    return Stall(
        usual.is_stalled,
        usual.left_mm,
        usual.head_mm,
        most.is_stalled,
        most.left_mm,
        most.head_mm,
    )


def _met(one: OneRow) -> Met | None:
    """Where the ram meets the rivet."""
    if one.pieces is None:
        return None
    left = one.met_left_mm
    stroke = one.batch.squeezer.stroke_mm
    at_kpa = one.batch.asking.pressure_kpa
    there = one.press.gives_n(np.array([left]), at_kpa) if one.press else None
    area = np.pi / 4 * one.needs.shank_mm[0] ** 2
    factor = np.nan_to_num(one.needs.factor[CENTRAL, 0], nan=1.0)
    return Met(
        left,
        None if stroke is None else stroke - left,
        None if there is None else float(there[0]),
        end_force_n(one.press, at_kpa),
        float(area * YIELD_KPA * factor / 1000),
    )


def _opening(one: OneRow, flange_mm: float) -> Opening | None:
    """Whether it opens over rivet and flange."""
    stroke = one.batch.squeezer.stroke_mm
    if one.pieces is None or stroke is None:
        return None
    over = float(one.needs.seat_mm[0] + one.needs.length_mm[0])
    return opening_of(one.gap_mm, stroke, one.pieces, over, flange_mm)


def _is_narrow(worked: Worked, one: OneRow, width: Spread | None) -> bool:
    """Whether even the widest head that may come out is under the least width."""
    least = float(worked["head_width_min_mm"][one.needs.classes[0]])
    return width is not None and is_less(width.high, least)


def _verdict(
    one: OneRow, stall: Stall | None, opening: Opening | None, is_narrow: bool
) -> Verdict:
    """The first thing that holds."""
    if one.batch.yoke.closed_height_mm is None:
        return Verdict.NOT_MEASURED
    if one.pieces is None:
        return Verdict.NO_DIE
    if not one.has_metal:
        return Verdict.NO_METAL
    if one.batch.rule[one.row] > Rule.THICKER:
        return Verdict.BAND_LOST
    if opening is not None and not opening.is_over_rivet:
        return Verdict.DOES_NOT_OPEN
    if stall and stall.is_stalled and not _band(one.needs).has(stall.head_mm):
        return Verdict.STALLS
    return Verdict.TOO_NARROW if is_narrow else Verdict.IN_BAND


def _head(one: OneRow, stops: list[Stop]) -> Spread | None:
    """Height of the head: by its own measured heads, else a range by physics."""
    ends = np.array([stop.head_mm for stop in stops])
    heights = ends if stops else one.batch.head_mm[:, one.row]
    physics = spread_of(heights)
    if not one.taught.is_own or physics is None:
        return physics
    middle = float(heights[CENTRAL])
    half_mm = _half_mm(one, heights[[CENTRAL]])
    # A ram that may stall leaves a thicker head, whatever heads were measured.
    most = stops[HIGH].head_mm if stops and stops[HIGH].is_stalled else middle
    return Spread(middle - half_mm, middle, max(middle + half_mm, most))


def _half_mm(one: OneRow, height_mm: Column) -> float:
    """Half of what 19 of 20 heads of a middle height keep to [mm]."""
    metal = one.needs.metal()
    slope = float(metal.slope_n_mm(height_mm)[0])
    reaches = 1 / (1 - one.batch.spring.mm_n * slope)
    force_n = float(metal.spring_force_n(height_mm)[0])
    return one.taught.head_half_mm(force_n, reaches)


def _width(worked: Worked, one: OneRow, head: Spread | None) -> Spread | None:
    """Width of the head made; a thicker one, or one of less metal, is narrower."""
    if head is None or head.low <= 0:
        return None
    k = int(one.needs.classes[0])
    volume = float(one.needs.volume_ratio[0])
    less = float(worked["volume_under_ratio"][k])
    more = float(worked["volume_over_ratio"][k])
    heights = np.array([head.high, head.central, head.low])
    volumes = np.array([volume - less, volume, volume + more])
    return spread_of(head_width_mm(one.needs.shank_mm[0], heights, volumes))


def _is_measured(one: OneRow, width: Spread | None) -> bool:
    """Whether heads so wide were measured for the force law."""
    if width is None:
        return False
    ratio = width.central / float(one.needs.shank_mm[0])
    return WIDTH_RATIO_LEAST <= ratio <= WIDTH_RATIO_MOST


def _status(worked: Worked, one: OneRow, hole: int) -> Status:
    """The weakest status that the answer rests on."""
    found = [working(worked, name, hole).status for name in RESTS_ON]
    press = [one.press.source.status] if one.press else []
    spring = one.batch.spring.source.status
    offset = Status.OWN_TEST if one.taught.is_own else OFFSET_SPREAD.status
    return weakest(offset, spring, *found, *press)


def _wanted(one: OneRow) -> Spread:
    """Gap with no load that makes the head aimed at: the yoke's spring taken off."""
    needs, spring = one.needs, one.batch.spring
    offset = float(one.batch.offset_mm[one.row])
    if one.taught.is_own:
        return _wanted_by_heads(one, offset)
    ends = (
        (LOW, HIGH, spring.high_mm_n),
        (CENTRAL, CENTRAL, spring.mm_n),
        (HIGH, LOW, spring.low_mm_n),
    )
    gaps = [
        gap_of_head_mm(
            needs.height_aim_mm, needs.under_mm[lies] - offset, needs.metal(end), opens
        )
        for lies, end, opens in ends
    ]
    return Spread(*sorted(float(gap[0]) for gap in gaps))


def _wanted_by_heads(one: OneRow, offset_mm: float) -> Spread:
    """The same where its own heads tell the lift, with their band [mm]."""
    metal, aim, spring = one.needs.metal(), one.needs.height_aim_mm, one.batch.spring
    under = one.needs.under_mm[CENTRAL] - offset_mm
    middle = float(gap_of_head_mm(aim, under, metal, spring.mm_n)[0])
    half = one.taught.middle_half_mm(float(metal.spring_force_n(aim)[0]))
    return Spread(middle - half, middle, middle + half)


def _gaps(one: OneRow) -> tuple[Combinations, float, float, float]:
    """What the pieces owned leave; gap of the least head, aimed at, of the most."""
    batch = one.batch
    offset = np.array([batch.offset_mm[one.row]])
    asked = one.needs.asked(batch.spring.mm_n, offset)
    low, aim, high = asked.low_mm[0], asked.aim_mm[0], asked.high_mm[0]
    found = batch.found[batch.group(one.row)]
    return found, float(low), float(aim), float(high)


def _buy(one: OneRow) -> ShimToBuy | None:
    """The shim to buy where the band is lost."""
    if one.pieces is None or one.batch.rule[one.row] != Rule.NEAREST:
        return None
    found, low, aim, high = _gaps(one)
    return shim_to_buy(found.gap_mm, low, aim, high)


def _least_change(one: OneRow) -> Pieces | None:
    """What holds the band with fewest changes, where something is on the tool."""
    if one.pieces is None or one.batch.asking.on_tool is None:
        return None
    found, low, _, high = _gaps(one)
    return least_change(found, low, high)


def _force(one: OneRow, stall: Stall | None, width: Spread | None) -> Force:
    """What is needed and what is given."""
    batch, row = one.batch, one.row
    asked_kpa = batch.asking.pressure_kpa
    return Force(
        spread_of(batch.force_n[:, row]),
        _is_measured(one, width),
        end_force_n(one.press, asked_kpa),
        asked_kpa or batch.squeezer.pressure_kpa,
        spread_of(batch.least_pressure_kpa[:, row]),
        one.hand_n(),
        stall,
    )


def _band(needs: Needs) -> Band:
    """The heights between which the head has to come."""
    ends = (needs.height_min_mm, needs.height_aim_mm, needs.height_most_mm)
    return Band(*(float(end[0]) for end in ends))


def _changes(one: OneRow) -> int:
    """Changes against what is on the tool."""
    if one.pieces is None:
        return 0
    batch = one.batch
    now = batch.asking.on_tool
    return changes_between(now, batch.squeezer.title, batch.yoke.id, one.pieces)


def set_up_at(
    worked: Worked, batch: Batch, row: int, *, hole: int, flange_mm: float = 0.0
) -> SetUp:
    """The whole set-up of one row of a batch, for a hole of its class.

    `flange_mm` is the flange that the jaws pass on the way to it [mm].
    """
    needs = batch.needs.part(np.array([row]))
    one = OneRow(batch, row, needs, batch.pieces(row), press_of(batch.squeezer))
    band, stops = _band(needs), one.stops()
    head = _head(one, stops)
    width = _width(worked, one, head)
    stall, opening = _stall(stops), _opening(one, flange_mm)
    diameter, is_flush = batch.group(row)
    return SetUp(
        hole_class=int(needs.classes[0]),
        diameter_32nds=diameter,
        is_flush=is_flush,
        squeezer=batch.squeezer,
        yoke=batch.yoke,
        spring=batch.spring,
        wanted_mm=_wanted(one),
        band=band,
        stand_off_mm=Spread(*sorted(needs.stand_off_mm[:, 0].tolist())),
        grip_mm=float(needs.grip_mm[0]),
        seat_mm=float(needs.seat_mm[0]),
        verdict=_verdict(one, stall, opening, _is_narrow(worked, one, width)),
        rule=Rule(int(batch.rule[row])),
        pieces=one.pieces,
        gap_mm=None if one.pieces is None else one.gap_mm,
        head_mm=head,
        width_mm=width,
        force=_force(one, stall, width),
        met=_met(one),
        opening=opening,
        engaged=engagement_of(one.pieces) if one.pieces else (),
        changes=_changes(one),
        least_change=_least_change(one),
        buy=_buy(one),
        dies=batch.dies(row),
        taught=one.taught,
        status=_status(worked, one, hole),
    )

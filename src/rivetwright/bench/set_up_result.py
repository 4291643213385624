"""Set-ups as JSON: plain values with the unit in each key and a format version."""

from __future__ import annotations

from typing import Any

from rivetwright.bench.dimple_set_ups import DimpleLine, dimple_lines
from rivetwright.bench.set_ups import SetUpLine, step_set_ups
from rivetwright.engines.plan import WorkedPlan
from rivetwright.engines.squeeze.buying import ShimToBuy
from rivetwright.engines.squeeze.set_up import SetUp
from rivetwright.engines.squeeze.stacking import Pieces
from rivetwright.model.shop import Die, Shop
from rivetwright.standards.spread import Spread

FORMAT = "rivetwright set-ups 1"
DIGITS = 6


def set_ups_result(
    worked_plan: WorkedPlan, shop: Shop, hole: int | None = None
) -> dict[str, Any]:
    """Every set-up of a plan in the order of its steps; of one hole where asked.

    A range is written as its low, usual and high figure; what is not known is null.
    """
    plan, steps = worked_plan.worked.plan, step_set_ups(worked_plan, shop)
    lines = [
        _line(worked_plan, step.name, line)
        for step in steps
        for line in (*step.lines, *step.without)
        if hole is None or hole in line.holes
    ]
    dimples = dimple_lines(worked_plan, shop) if hole is None else ()
    return {
        "format": FORMAT,
        "assembly": plan.id,
        "revision": plan.revision,
        "set_ups": lines,
        "dimples": [_dimple(worked_plan, line) for line in dimples],
    }


def _line(worked_plan: WorkedPlan, step: str, line: SetUpLine) -> dict[str, Any]:
    """One line of the list with its set-up."""
    name = worked_plan.worked.holes.name
    return {
        "step": step,
        "holes": [name(hole) for hole in line.holes],
        "callout": line.callout,
        "stack": line.stack,
        "is_tight": line.is_tight,
        "changes": line.changes if line.set_up else None,
        "set_up": set_up_values(line.set_up) if line.set_up else None,
    }


def set_up_values(one: SetUp) -> dict[str, Any]:
    """One set-up as plain values."""
    force, stall = one.force, one.force.stall
    return {
        "squeezer": one.squeezer.title,
        "yoke": one.yoke.id,
        "verdict": str(one.verdict),
        "put_in": _pieces(one.pieces),
        "gap_mm": _figure(one.gap_mm),
        "gap_wanted_mm": _spread(one.wanted_mm),
        "head_height_mm": _spread(one.head_mm),
        "head_height_limits_mm": [
            _figure(one.band.min_mm),
            _figure(one.band.aim_mm),
            _figure(one.band.most_mm),
        ],
        "head_width_mm": _spread(one.width_mm),
        "force_needed_n": _spread(force.needed_n),
        "is_force_measured": force.is_measured,
        "force_available_n": _figure(force.available_n),
        "pressure_least_kpa": _spread(force.least_pressure_kpa),
        "hand_n": _spread(force.hand_n),
        "is_stalled": stall.is_stalled if stall else None,
        "may_stall": stall.may_stall if stall else None,
        "shim_to_buy_mm": _buy(one.buy),
        "rests_on": str(one.taught.basis),
        "own_heads_count": one.taught.heads_count,
        "offset_mm": _figure(one.taught.offset_mm),
        "offset_spread_mm": _figure(one.offset_spread_mm),
        "status": str(one.status),
    }


def _dimple(worked_plan: WorkedPlan, line: DimpleLine) -> dict[str, Any]:
    """One dimpling set-up."""
    one = line.set_up
    return {
        "parts": list(line.parts),
        "first_hole": worked_plan.worked.holes.name(line.hole),
        "hole_count": line.hole_count,
        "set_up": one
        and {
            "diameter_32nds": one.diameter_32nds,
            "sheet_mm": _figure(one.sheet_mm),
            "squeezer": one.squeezer.title,
            "yoke": one.yoke.id,
            "verdict": str(one.verdict),
            "put_in": _pieces(one.pieces),
            "gap_bare_mm": _figure(one.gap_mm),
            "press_n": _spread(one.press_n),
            "shim_to_buy_mm": _buy(one.buy),
            "status": str(one.status),
        },
    }


def _pieces(pieces: Pieces | None) -> dict[str, Any] | None:
    """What is put in, from the ram to the fixed jaw."""
    if pieces is None:
        return None
    return {
        "pin_mm": _figure(pieces.pin_mm),
        "shims_mm": [_figure(shim) for shim in pieces.shims_mm],
        "ram_die": _die(pieces.ram),
        "fixed_die": _die(pieces.fixed) if pieces.fixed else None,
        "turned_mm": _figure(pieces.turned_mm),
    }


def _die(die: Die) -> dict[str, Any]:
    """A die."""
    return {
        "kind": die.kind,
        "diameter_32nds": die.diameter_32nds,
        "length_mm": _figure(die.length_mm),
    }


def _buy(buy: ShimToBuy | None) -> list[float | None] | None:
    """Thickness of a shim to buy: least, best and most."""
    if buy is None:
        return None
    return [_figure(one) for one in (buy.low_mm, buy.best_mm, buy.high_mm)]


def _spread(spread: Spread | None) -> list[float | None] | None:
    """A range: low, usual, high."""
    if spread is None:
        return None
    return [_figure(one) for one in (spread.low, spread.central, spread.high)]


def _figure(value: float | None) -> float | None:
    """A figure without noise at its end; null where it is not known."""
    return None if value is None or value != value else round(value, DIGITS)

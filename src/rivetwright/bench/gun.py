"""The gun and bar card of one hole: set, bars that reach it, pressure, words."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from rivetwright.bench.evening import Evening
from rivetwright.bench.second_person import BACK_RIVET as PLATE
from rivetwright.bench.second_person import BAR
from rivetwright.engines.air_supply import work_out_air
from rivetwright.engines.figure import Figure
from rivetwright.engines.gun import (
    BACK_RIVET,
    GUN_AND_BAR,
    OWNED,
    BarChoice,
    GunCard,
    gun_air,
    gun_card,
)
from rivetwright.engines.plan import WorkedPlan
from rivetwright.engines.reach.fit import ToolFit, fits, tools_at
from rivetwright.errors import NotFound
from rivetwright.model.columns import parse_hole_range
from rivetwright.standards.codes import RivetCode


@dataclass(frozen=True)
class BarAtHole:
    """A bar, or a plate, with how its weight suits and whether it gets there."""

    choice: BarChoice
    fit: ToolFit | None


@dataclass(frozen=True)
class GunAtHole:
    """The card of one hole; `ways` are those by which its rivet may be set."""

    name: str
    row: str
    callout: str
    way: str
    ways: tuple[str, ...]
    card: GunCard
    bars: tuple[BarAtHole, ...]
    figures: Mapping[str, Figure]


def gun_at(worked_plan: WorkedPlan, name: str, way: str = "") -> GunAtHole:
    """The gun and bar card of a hole; by the way that the plan names, unless asked.

    Raises:
        NotFound: no such hole, a blind rivet, a way that does not suit, or no shop.
        OutsideTable: no figures are known for its size.
    """
    worked = worked_plan.worked
    hole = worked.holes.index(name)
    callout = worked.holes.callout(hole)
    shop = worked.shop
    if shop is None:
        raise _refused(name, "no shop file in this folder", "a folder with a shop file")
    if not isinstance(callout, RivetCode):
        raise _refused(name, f"{callout}, a blind rivet", "a solid rivet")
    is_flush = bool(worked.at("is_flush", hole))
    ways = (GUN_AND_BAR, BACK_RIVET) if is_flush else (GUN_AND_BAR,)
    on_plate = is_flush and bool(fits(worked).asked.on_plate[hole])
    way = way or (BACK_RIVET if on_plate else GUN_AND_BAR)
    if way not in ways:
        raise _refused(name, way, " or ".join(ways))
    card = gun_card(shop, callout.diameter_32nds, is_flush=is_flush, way=way)
    return GunAtHole(
        worked.holes.name(hole),
        worked.holes.row_of(hole).name,
        str(callout),
        way,
        ways,
        card,
        _bars(worked_plan, hole, card),
        {**card.figures, **gun_air(work_out_air(shop))},
    )


def gun_figure_of(card: GunAtHole, name: str) -> Figure:
    """One figure of the card with its working.

    Raises:
        NotFound: the card has no such figure.
    """
    if name not in card.figures:
        raise NotFound(
            asked=f"open the working of {name}",
            found="no such figure on the gun and bar card",
            allowed=", ".join(card.figures),
            do="choose a figure on the card",
        )
    return card.figures[name]


def _bars(worked_plan: WorkedPlan, hole: int, card: GunCard) -> tuple[BarAtHole, ...]:
    """The card's bars, those first that get there and are owned."""
    at_hole = {one.tool.id: one for one in tools_at(worked_plan.worked, hole)}
    bars = [BarAtHole(one, at_hole.get(one.tool.id)) for one in card.bars]
    return tuple(
        sorted(
            bars,
            key=lambda bar: (
                bar.fit is None or not bar.fit.gets_there,
                bar.choice.tool.state != OWNED,
            ),
        )
    )


def first_gun_hole(evening: Evening) -> str:
    """The first hole that is left to set with the gun; empty where none is."""
    if not any(card.way in (BAR, PLATE) for card in evening.cards):
        return ""
    for run in evening.runs:
        for names in run.names:
            first = parse_hole_range(names)
            return f"{first.row}:{first.first}"
    return ""


def _refused(name: str, found: str, allowed: str) -> NotFound:
    """A card that cannot be made."""
    return NotFound(
        asked=f"make the gun and bar card of {name}",
        found=found,
        allowed=allowed,
        do="look at the tools on the hole's card",
    )

"""The squeezer's set-ups for dimples: every size of dimple and sheet of an assembly."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from rivetwright.bench.set_up_card import needed_shop
from rivetwright.bench.set_ups import OWNED, VERDICTS
from rivetwright.engines.plan import WorkedPlan
from rivetwright.engines.reach.fit import ToolFit
from rivetwright.engines.reach.preparing import preparing_at
from rivetwright.engines.squeeze.dimpling import DimpleSetUp, dimple_set_ups
from rivetwright.engines.squeeze.stall import HAND
from rivetwright.engines.worked import Worked
from rivetwright.errors import NotFound
from rivetwright.model.plan import DIMPLE
from rivetwright.model.shop import Shop
from rivetwright.standards.codes import RivetCode
from rivetwright.units.tolerance import is_same

Sheet = tuple[int, float]


@dataclass(frozen=True)
class DimpleLine:
    """One size of dimple in one thickness of sheet, and the best set-up for it.

    `parts` are the sheets dimpled so, `hole` the first that is, in `part`.
    """

    hole: int
    part: str
    parts: tuple[str, ...]
    hole_count: int
    set_up: DimpleSetUp | None


@dataclass(frozen=True)
class DimpleCard:
    """Everything that stands on the card of a dimpling set-up.

    `fit` says how the yoke gets to this dimple with the part in hand.
    """

    hole: int
    name: str
    part: str
    callout: str
    set_up: DimpleSetUp
    fit: ToolFit | None
    choices: tuple[DimpleSetUp, ...]


def dimple_lines(worked_plan: WorkedPlan, shop: Shop) -> tuple[DimpleLine, ...]:
    """Every size of dimple and sheet of a plan, smallest first."""
    worked = worked_plan.worked
    found: dict[Sheet, list[DimpleSetUp]] = {}
    for one in dimple_set_ups(worked, shop):
        found.setdefault((one.diameter_32nds, one.sheet_mm), []).append(one)
    return tuple(
        DimpleLine(
            hole=holes[0][0],
            part=holes[0][1],
            parts=tuple(dict.fromkeys(part for _, part in holes)),
            hole_count=len(holes),
            set_up=_best(worked, found.get(sheet, ()), *holes[0]),
        )
        for sheet, holes in sorted(_dimpled(worked).items())
    )


def _dimpled(worked: Worked) -> dict[Sheet, list[tuple[int, str]]]:
    """The holes and parts of every size of dimple [1/32 in] and sheet [mm]."""
    thick = {part.name: part.thickness_mm for part in worked.plan.parts}
    found: dict[Sheet, list[tuple[int, str]]] = {}
    for hole, of in enumerate(worked.stacks.class_of.tolist()):
        kind = worked.stacks.classes[of]
        if isinstance(kind.callout, RivetCode):
            for sheet in kind.sheets:
                if sheet.preparation == DIMPLE:
                    key = kind.callout.diameter_32nds, thick[sheet.part]
                    found.setdefault(key, []).append((hole, sheet.part))
    return found


def _best(
    worked: Worked, set_ups: Iterable[DimpleSetUp], hole: int, part: str
) -> DimpleSetUp | None:
    """The best of some set-ups at a hole of a part; a yoke that gets there first."""
    reach = _fits(worked, hole, part)

    def rank(set_up: DimpleSetUp) -> tuple[int, ...]:
        fit = reach.get(set_up.yoke.id)
        return (
            fit is not None and not fit.gets_there,
            VERDICTS.index(set_up.verdict),
            set_up.yoke.state != OWNED,
            set_up.squeezer.kind == HAND,
        )

    return min(set_ups, key=rank, default=None)


def dimple_card(
    worked_plan: WorkedPlan,
    shop: Shop | None,
    name: str,
    part: str,
    *,
    yoke: str = "",
    squeezer: str = "",
) -> DimpleCard:
    """The card for the dimple of a part at a hole.

    Raises:
        NotFound: no shop, no such hole, or the part is not dimpled there.
    """
    shop = needed_shop(shop, name)
    worked = worked_plan.worked
    hole = worked.holes.index(name)
    diameter, thick = _asked_sheet(worked, hole, part)
    choices = tuple(
        one
        for one in dimple_set_ups(worked, shop)
        if one.diameter_32nds == diameter and is_same(one.sheet_mm, thick)
    )
    asked = [
        one
        for one in choices
        if yoke in ("", one.yoke.id) and squeezer in ("", one.squeezer.title)
    ]
    if not asked:
        raise NotFound(
            asked=f"dimple {part} at {name} with {squeezer or 'a squeezer'} and "
            f"{yoke or 'a yoke'}",
            found="no such pair in the shop for a dimple of this size",
            allowed=", ".join(f"{c.squeezer.title} with {c.yoke.id}" for c in choices)
            or "a squeezer and a yoke rated for it",
            do="choose one of these, or dimple it in another way",
        )
    chosen = _best(worked, asked, hole, part)
    assert chosen is not None
    return DimpleCard(
        hole,
        worked.holes.name(hole),
        part,
        str(worked.holes.callout(hole)),
        chosen,
        _fits(worked, hole, part).get(chosen.yoke.id),
        choices,
    )


def _asked_sheet(worked: Worked, hole: int, part: str) -> Sheet:
    """Size of the dimple [1/32 in] and thickness [mm] of a part at a hole.

    Raises:
        NotFound: the part is not dimpled there for a solid rivet.
    """
    kind = worked.stacks.classes[int(worked.stacks.class_of[hole])]
    dimpled = [s.part for s in kind.sheets if s.preparation == DIMPLE]
    if part not in dimpled or not isinstance(kind.callout, RivetCode):
        raise NotFound(
            asked=f"set the squeezer up to dimple {part} at {worked.holes.name(hole)}",
            found=f"dimpled there: {', '.join(dimpled) or 'nothing'}",
            allowed="a sheet that the drawing has dimpled for a solid rivet",
            do="choose it from the list of set-ups",
        )
    thick = {one.name: one.thickness_mm for one in worked.plan.parts}
    return kind.callout.diameter_32nds, thick[part]


def _fits(worked: Worked, hole: int, part: str) -> dict[str, ToolFit]:
    """How each yoke with its dimple dies gets to a hole of a part alone."""
    return {
        fit.tool.id: fit
        for work in preparing_at(worked, hole)
        if work.part == part and work.operation == DIMPLE
        for fit in work.tools
    }

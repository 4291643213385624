"""Stock of a project: what is needed of each code, what is there, what to order.

Plans count as they are in force: after a bulletin that came in. Counts, orders and
deliveries are the record's; without one, those of the shop file.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date

from rivetwright.bench.hours import zone_of
from rivetwright.bench.now import HoleIds, hole_now
from rivetwright.bench.open import Assembly, Project
from rivetwright.bench.work import counting
from rivetwright.bench.workshop import Workshop
from rivetwright.engines.order.holders import size_of
from rivetwright.engines.plan import WorkedPlan
from rivetwright.engines.stock.holders import HolderNeed, holder_needs
from rivetwright.engines.stock.need import (
    Arrival,
    CodeNeed,
    Drawer,
    OrderLine,
    OrderRules,
    code_needs,
    order_lines,
)
from rivetwright.engines.stock.stand_ins import StandIn, stand_ins
from rivetwright.engines.stock.times import HERE
from rivetwright.engines.stock.wants import Wanted, wanted_of
from rivetwright.engines.stock.weighing import PieceWeight, piece_weight
from rivetwright.errors import CodeRefused
from rivetwright.model.bulletin import Bulletin
from rivetwright.model.opening import Delivery
from rivetwright.model.shop import Shop
from rivetwright.record.kinds import PART, STOCK
from rivetwright.record.state import State
from rivetwright.standards.codes import parse_rivet_code

SHOP = "shop"
ORDERED = ("on order", "back order")


@dataclass(frozen=True)
class KitHere:
    """A bulletin's kit whose part is here, while its rivets were not booked in."""

    bulletin: str
    kit: str
    code: str
    count: int


@dataclass(frozen=True)
class Stock:
    """What the page about stock shows.

    `unknown` are holes of which nobody knows yet what goes in. `kits` ask for a
    count: their rivets should have come.
    """

    today: date
    assemblies: tuple[Assembly, ...]
    shop: Shop | None
    rules: OrderRules
    needs: tuple[CodeNeed, ...]
    orders: tuple[OrderLine, ...]
    unknown: tuple[Wanted, ...]
    kits: tuple[KitHere, ...]
    holders: tuple[HolderNeed, ...]
    has_record: bool

    def need(self, code: str) -> CodeNeed | None:
        """One code; None where nothing needs it and nobody counted it."""
        return next((one for one in self.needs if one.code == code), None)

    def stand_ins(self, need: CodeNeed) -> tuple[StandIn, ...]:
        """What may stand in for a code that is short."""
        plans = [one.worked_plan for one in self.assemblies]
        return stand_ins(need, self.needs, plans)

    def assembly_of(self, wanted: Wanted) -> Assembly:
        """The assembly that some holes belong to."""
        return self.assemblies[wanted.plan]


def stock_of(workshop: Workshop) -> Stock:
    """The stock of a folder, by its record where it has one.

    Raises:
        Refusal: the folder, or a file in it, cannot be read.
    """
    with workshop.lock:
        project = workshop.now().project
        state = workshop.state() if workshop.has_record else None
        today = workshop.clock().astimezone(zone_of(workshop.time_zone)).date()
        return stock_of_project(project, state, today)


def stock_of_project(project: Project, state: State | None, today: date) -> Stock:
    """The stock of a project on a day."""
    assemblies = tuple(counting(project.assemblies))
    shop = project.shop
    rules = _rules(shop)
    wants = [
        one
        for k, assembly in enumerate(assemblies)
        for one in wanted_of(
            assembly.worked_plan, k, sits(assembly.worked_plan, state), today
        )
    ]
    coming, kits = _coming(assemblies, state)
    drawers = _drawers(shop, state, coming)
    needs = code_needs(wants, drawers, rules)
    plans = [one.worked_plan.worked for one in assemblies]
    return Stock(
        today,
        assemblies,
        shop,
        rules,
        needs,
        order_lines(needs, rules, today),
        tuple(one for one in wants if not one.code),
        kits,
        holder_needs(plans, shop, _holders_in(assemblies, state)),
        state is not None,
    )


def sits(worked_plan: WorkedPlan, state: State | None) -> Mapping[int, str] | None:
    """The code that sits in each set hole; the plan's own where a reason was given.

    None where no record tells.
    """
    holes = worked_plan.worked.holes
    if state is None or holes.plan.id not in state.openings:
        return None
    ids = HoleIds(holes)
    found = {}
    for hole in range(len(holes)):
        rivet = hole_now(ids, state, hole).rivet if holes.is_set[hole] else None
        if rivet is not None and not rivet.reason:
            found[hole] = rivet.callout
    return found


def _rules(shop: Shop | None) -> OrderRules:
    if shop is None:
        return OrderRules()
    return OrderRules(
        shop.spare_ratio, shop.spare_count_min, shop.order_count_min, shop.reorder_days
    )


def _drawers(
    shop: Shop | None, state: State | None, coming: Mapping[str, Sequence[Arrival]]
) -> dict[str, Drawer]:
    """What is there of each code, and what is on its way."""
    found = {code: Drawer(code) for code in coming}
    if state is None or SHOP not in state.openings:
        day = shop.opening_day.isoformat() if shop and shop.opening_day else ""
        counts = shop.stock if shop else ()
        found |= {one.code: Drawer(one.code, one.count, day) for one in counts}
    for (what, code), now in state.stock.items() if state else ():
        if what == STOCK:
            gone = now.spoilt + now.lost
            day = now.counted_at[:10]
            found[code] = Drawer(code, now.on_hand, day, now.received, now.used, gone)
    return {
        code: replace(one, arrivals=tuple(coming.get(code, ())))
        for code, one in found.items()
    }


def _coming(
    assemblies: Iterable[Assembly], state: State | None
) -> tuple[dict[str, list[Arrival]], tuple[KitHere, ...]]:
    """What is on its way by code, ordered or in a bulletin's kit; kits that came."""
    coming: dict[str, list[Arrival]] = {}
    kits = []
    for (what, code), told in state.deliveries.items() if state else ():
        if what == STOCK and told.ordered:
            coming.setdefault(code, []).append(Arrival(told.ordered, _day(told.due)))
    for assembly in assemblies:
        bulletin = assembly.bulletin
        part = _kit_part(assembly) if bulletin else None
        if bulletin is None or part is None:
            continue
        for code, count in _kit_rivets(assembly, bulletin):
            if part.state not in HERE:
                left = count - _received(code, state)
                if left > 0:
                    kit = Arrival(left, part.due, bulletin.kit)
                    coming.setdefault(code, []).append(kit)
            elif not _booked_in(code, part.part, state):
                kits.append(KitHere(bulletin.id, bulletin.kit, code, count))
    return coming, tuple(kits)


def _kit_part(assembly: Assembly) -> Delivery | None:
    """Where the parts of a bulletin's kit stand: the first that is ordered or here."""
    bulletin = assembly.bulletin
    assert bulletin is not None, "a plan after a bulletin"
    contents = {name for name, _ in bulletin.kit_contents}
    stands = assembly.worked_plan.worked.plan.opening.deliveries
    for one in stands:
        if one.part in contents and (one.state in (*HERE, *ORDERED) or one.due):
            return one
    return None


def _kit_rivets(assembly: Assembly, bulletin: Bulletin) -> Iterable[tuple[str, int]]:
    """What of a kit is no part of the plan: rivets by code."""
    parts = {part.name for part in assembly.worked_plan.worked.plan.parts}
    return [(name, n) for name, n in bulletin.kit_contents if name not in parts]


def _received(code: str, state: State | None) -> int:
    """Pieces of a code that were booked in since the last count."""
    now = state.stock.get((STOCK, code)) if state else None
    return now.received if now else 0


def _booked_in(code: str, part: str, state: State | None) -> bool:
    """Whether a kit's rivets were counted or received since its part came."""
    now = state.stock.get((STOCK, code)) if state else None
    came = state.deliveries.get((PART, part)) if state else None
    if now is None or came is None:
        return False
    return now.received > 0 or now.counted_at > came.at


def _holders_in(
    assemblies: Sequence[Assembly], state: State | None
) -> dict[int, dict[int, int]]:
    """Sheet holders in the holes of each plan, by size, as the record has them."""
    found: dict[int, dict[int, int]] = {}
    for k, assembly in enumerate(assemblies):
        worked = assembly.worked_plan.worked
        rows = state.assembly(worked.plan.id).rows if state else {}
        ids = HoleIds(worked.holes)
        sizes = found.setdefault(k, {})
        for row, numbers in rows.items():
            for number, hole in numbers.items():
                at = ids.index(row, number) if hole.holder else None
                if at is not None:
                    size = size_of(worked, at)
                    sizes[size] = sizes.get(size, 0) + 1
    return found


def weight_of(code: str) -> PieceWeight | None:
    """What one rivet of a code weighs; None for what is no solid rivet."""
    try:
        return piece_weight(parse_rivet_code(code))
    except CodeRefused:
        return None


def _day(written: str) -> date | None:
    return date.fromisoformat(written) if written else None

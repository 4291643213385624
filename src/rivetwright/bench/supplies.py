"""Names of what may arrive: parts of the plans, tools and codes of the shop."""

from __future__ import annotations

from rivetwright.bench.meaning import parts_named
from rivetwright.bench.workshop import Workshop
from rivetwright.model.shop import Shop
from rivetwright.record.kinds import PART, STOCK, TOOL


def tool_names(shop: Shop) -> list[str]:
    """Tools by id, squeezers by title."""
    return [*(one.title for one in shop.squeezers), *(one.id for one in shop.tools)]


def supply_names(workshop: Workshop) -> dict[str, tuple[str, ...]]:
    """Every known name by its kind: part, tool, stock; in order, none twice."""
    with workshop.lock:
        project = workshop.known().project
        state = workshop.state()
        plans = [one.worked_plan.worked.plan for one in project.assemblies]
        shop = project.shop
        callouts = [str(row.callout) for plan in plans for row in plan.rows]
        found = {
            PART: parts_named(plans),
            TOOL: tool_names(shop) if shop else [],
            STOCK: [*callouts, *(name for what, name in state.stock if what == STOCK)],
        }
    return {what: tuple(sorted(set(names))) for what, names in found.items()}

"""The gun and bar card of a hole, for phone and paper."""

from __future__ import annotations

from typing import Any

from fastapi import APIRouter, Request, Response

from rivetwright.bench.gun import GunAtHole, gun_at, gun_figure_of
from rivetwright.texts.say import System
from rivetwright.texts.shop_words import say_figure, say_with
from rivetwright.texts.tool_words import say_fit, say_state
from rivetwright.web.addresses import gun_address
from rivetwright.web.figures import system_of
from rivetwright.web.pages.assembly import opened_assembly
from rivetwright.web.pages.show import show
from rivetwright.web.shop_figures import shown_figure, shown_law

router = APIRouter()

# What stands large on the card, in the order in which it is set.
FIRST = ("start_kpa", "learner_kpa", "trigger_fall_kpa", "strip_count", "blow_s")


@router.get("/assembly/{key}/gun/{name}")
def gun_show(request: Request, key: str, name: str, way: str = "") -> Response:
    """The card of a hole."""
    opened, assembly = opened_assembly(request, key)
    card = gun_at(assembly.worked_plan, name, way)
    system = system_of(assembly.worked_plan)
    return show(
        request,
        "gun.html",
        opened=opened,
        assembly=assembly,
        plan=assembly.worked_plan.worked.plan,
        gun=card,
        **gun_words(card, system),
    )


def gun_words(card: GunAtHole, system: System) -> dict[str, Any]:
    """What the card's template needs in words."""
    said = {name: say_figure(one, system).main for name, one in card.figures.items()}
    mass = card.figures.get("bar_mass_kg")
    return {
        "figures": [
            shown_figure(card.figures[name], system)
            for name in FIRST
            if name in card.figures
        ],
        "mass": mass and shown_figure(mass, system),
        "steps": [
            (say_with("gun_step", one.value.key, said), one.source)
            for one in card.card.steps
        ],
        "calls": [one.value for one in card.card.calls],
        "bars": [
            (one, say_state(one.choice.tool), one.fit and say_fit(one.fit, system))
            for one in card.bars
        ],
    }


@router.get("/assembly/{key}/gun/{name}/why/{figure}")
def gun_why(
    request: Request, key: str, name: str, figure: str, way: str = ""
) -> Response:
    """How one figure of the card came about."""
    opened, assembly = opened_assembly(request, key)
    card = gun_at(assembly.worked_plan, name, way)
    found = gun_figure_of(card, figure)
    return show(
        request,
        "why_shop.html",
        opened=opened,
        back=gun_address(key, card.name, card.way),
        back_words=request.app.state.renderer.say("gun.title", hole=card.name),
        hole=card.name,
        working=shown_law(found, system_of(assembly.worked_plan)),
        unit=found.unit,
        picture=None,
    )

"""Tools: what is owned, what the project needs, and which get to each row."""

from __future__ import annotations

from typing import Any

from fastapi import APIRouter, Request, Response

from rivetwright.bench.tools import NeededTools, needed_tools
from rivetwright.bench.workshop import Workshop
from rivetwright.texts.say import System
from rivetwright.texts.tool_words import say_die, say_largest, say_size
from rivetwright.web.pages.air import project_notes
from rivetwright.web.pages.assembly import opened_assembly
from rivetwright.web.pages.show import show
from rivetwright.web.shop_figures import system_of_shop
from rivetwright.web.tool_lines import (
    die_lines,
    gun_set_words,
    job_links,
    owned_tables,
    row_lines,
    sizes_in_words,
    waiting_lines,
)

router = APIRouter()


@router.get("/tools")
def tools_show(request: Request) -> Response:
    """What is owned, and what would be needed."""
    workshop: Workshop = request.app.state.workshop
    opened = workshop.now()
    needs = needed_tools(opened.project.assemblies, opened.project.shop)
    shop = needs.shop
    system = system_of_shop(shop)
    return show(
        request,
        "tools.html",
        here="/tools",
        opened=opened,
        notes=project_notes(opened),
        shop=shop,
        tables=owned_tables(shop, system),
        dies=die_lines(shop.dies, system),
        shims=sizes_in_words(shop.shims_mm, system),
        pins=sizes_in_words(shop.pins_mm, system),
        gun_sets=[gun_set_words(one) for one in shop.gun_sets],
        holders=[(say_largest(h.diameter_32nds), h.count) for h in shop.holders],
        **needed_words(needs, system),
    )


def needed_words(needs: NeededTools, system: System) -> dict[str, Any]:
    """What the page's template needs of the project's needs, in words."""
    chosen = needs.cover
    return {
        "assemblies": needs.assemblies,
        "waiting": waiting_lines(needs.waiting),
        "nobody": waiting_lines(needs.nobody),
        "tight": waiting_lines(needs.tight),
        "done_count": len(chosen.done),
        "yokes": chosen.yokes,
        "needed_dies": [
            f"{say_die(one)} {say_size(one.length_mm, system).main}"
            for one in chosen.dies
        ],
        "needed_shims": sizes_in_words(chosen.shims_mm, system),
        "needed_pins": sizes_in_words(chosen.pins_mm, system),
        "shims_to_buy": [
            (
                *(
                    say_size(mm, system)
                    for mm in (one.best_mm, one.low_mm, one.high_mm)
                ),
                job_links(needs, one.jobs),
            )
            for one in chosen.shims_to_buy
        ],
        "dies_to_buy": [
            (
                one,
                say_largest(one.diameter_32nds),
                one.low_mm is not None and say_size(one.low_mm, system),
                one.high_mm is not None and say_size(one.high_mm, system),
                job_links(needs, (one.job,)),
            )
            for one in chosen.dies_to_buy
        ],
        "lost": job_links(needs, chosen.lost),
    }


@router.get("/assembly/{key}/tools")
def row_tools_show(request: Request, key: str) -> Response:
    """The tools of every row of an assembly."""
    opened, assembly = opened_assembly(request, key)
    return show(
        request,
        "row_tools.html",
        opened=opened,
        assembly=assembly,
        plan=assembly.worked_plan.worked.plan,
        has_shop=opened.project.shop is not None,
        lines=row_lines(assembly),
    )

"""The squeezer's set-ups: the list of an assembly, one card, one dimpling card."""

from __future__ import annotations

import math

from fastapi import APIRouter, Request, Response

from rivetwright.bench.dimple_set_ups import dimple_lines
from rivetwright.bench.set_up_card import BARE, set_up_card, set_up_choices
from rivetwright.bench.set_ups import StepSetUps, step_set_ups
from rivetwright.web.pages.assembly import opened_assembly
from rivetwright.web.pages.show import show
from rivetwright.web.set_up_lines import (
    dimple_line,
    line_of_list,
    shop_of,
    shown_card,
    shown_dimple,
)

router = APIRouter()
# What may be chosen on a card.
ASKED = ("yoke", "squeezer")


@router.get("/assembly/{key}/set-ups")
def set_ups_show(request: Request, key: str) -> Response:
    """Every set-up of an assembly, step by step."""
    opened, assembly = opened_assembly(request, key)
    shop = shop_of(assembly, opened.project.shop)
    worked_plan = assembly.worked_plan
    steps: tuple[StepSetUps, ...] = step_set_ups(worked_plan, shop) if shop else ()
    dimples = dimple_lines(worked_plan, shop) if shop else ()
    return show(
        request,
        "set_ups.html",
        opened=opened,
        assembly=assembly,
        plan=worked_plan.worked.plan,
        has_shop=shop is not None,
        steps=[
            (
                step,
                [line_of_list(assembly, line) for line in step.lines],
                [line_of_list(assembly, line) for line in step.without],
            )
            for step in steps
        ],
        dimples=[dimple_line(assembly, line) for line in dimples],
    )


@router.get("/assembly/{key}/set-up/{hole}")
def set_up_show(request: Request, key: str, hole: str) -> Response:
    """The card of one set-up."""
    opened, assembly = opened_assembly(request, key)
    shop = shop_of(assembly, opened.project.shop)
    worked_plan, query = assembly.worked_plan, request.query_params
    asked = {name: query.get(name, "") for name in ASKED}
    now = query.get("now", "")
    gap_mm = read_gap(query.get("gap", ""))
    card = set_up_card(
        worked_plan,
        shop,
        hole,
        yoke=asked["yoke"],
        squeezer=asked["squeezer"],
        now=now,
        gap_mm=gap_mm,
    )
    choices = set_up_choices(worked_plan, shop, card.hole)
    holes = worked_plan.worked.holes
    steps = step_set_ups(worked_plan, shop) if shop else ()
    return show(
        request,
        "set_up.html",
        opened=opened,
        assembly=assembly,
        plan=worked_plan.worked.plan,
        shown=shown_card(assembly, card, choices),
        part="",
        now=now,
        bare=BARE,
        befores=[holes.name(line.hole) for step in steps for line in step.lines],
        yoke=card.set_up.yoke.id,
        squeezer=card.set_up.squeezer.title,
    )


def read_gap(text: str) -> float | None:
    """A gap in mm that a hole shares with other stacks; None where none is asked."""
    try:
        gap_mm = float(text)
    except ValueError:
        return None
    return gap_mm if math.isfinite(gap_mm) else None


@router.get("/assembly/{key}/dimpling/{hole}/{part}")
def dimple_show(request: Request, key: str, hole: str, part: str) -> Response:
    """The card of a dimpling set-up."""
    opened, assembly = opened_assembly(request, key)
    shop = shop_of(assembly, opened.project.shop)
    asked = {name: request.query_params.get(name, "") for name in ASKED}
    shown = shown_dimple(assembly, shop, hole, part, **asked)
    return show(
        request,
        "set_up.html",
        opened=opened,
        assembly=assembly,
        plan=assembly.worked_plan.worked.plan,
        shown=shown,
        part=part,
    )

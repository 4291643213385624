"""All heads of an assembly: the table, trends by tool and rivet, what they teach."""

from __future__ import annotations

from fastapi import APIRouter, Request, Response

from rivetwright.bench.head_groups import HeadGroup
from rivetwright.bench.head_table import HeadTable, head_table
from rivetwright.bench.workshop import Workshop
from rivetwright.drawing.group_trend import group_trend_svg
from rivetwright.engines.heads.sampling import sampling_plan
from rivetwright.texts.head_card import say_cause
from rivetwright.texts.head_group_words import (
    say_capability,
    say_count,
    say_group,
    say_taught,
    say_warnings,
)
from rivetwright.texts.head_line import say_line
from rivetwright.texts.say import System
from rivetwright.web.figures import system_of
from rivetwright.web.head_groups import ShownGroup
from rivetwright.web.pages.show import show
from rivetwright.web.pictures import sized

router = APIRouter()


@router.get("/assembly/{key}/heads")
def heads_show(request: Request, key: str) -> Response:
    """Every head of an assembly, and what the heads show together."""
    workshop: Workshop = request.app.state.workshop
    opened, table = head_table(workshop, key)
    assembly = opened.assembly(key)
    system = system_of(table.worked_plan)
    return show(
        request,
        "heads.html",
        opened=opened,
        assembly=assembly,
        plan=table.worked_plan.worked.plan,
        lines=[say_line(one, system) for one in table.lines],
        wanting=[one.made.name for one in table.wanting],
        groups=[shown_group(one, system) for one in table.groups],
        patterns=_patterns(table, system),
        stated=sampling_plan(),
        has_record=workshop.has_record,
    )


def shown_group(group: HeadGroup, system: System) -> ShownGroup:
    """A group in words, with the picture of its trend."""
    picture = group_trend_svg(group, system=system) if group.measured else ""
    return ShownGroup(
        say_group(group),
        say_count(group),
        say_warnings(group, system),
        say_capability(group),
        say_taught(group, system),
        sized(picture) if picture else None,
    )


def _patterns(table: HeadTable, system: System) -> list[str]:
    """What many heads point at together, the likeliest first."""
    return [say_cause(one, system).title for one in table.patterns]

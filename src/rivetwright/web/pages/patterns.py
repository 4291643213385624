"""Every component in every state on one page: the first thing to look at after a
change of style.
"""

from __future__ import annotations

from fastapi import APIRouter, Request, Response

from rivetwright.drawing.signs import STATES
from rivetwright.errors import Fault
from rivetwright.model.severity import Severity
from rivetwright.standards.source import Status
from rivetwright.texts.say import FindingWords
from rivetwright.web.bench_samples import sample_screens
from rivetwright.web.figures import Figure
from rivetwright.web.forecast_samples import sample_forecast
from rivetwright.web.group_samples import sample_groups
from rivetwright.web.head_samples import sample_heads
from rivetwright.web.order_samples import (
    SampleMarking,
    sample_holders,
    sample_order,
)
from rivetwright.web.pages.show import show
from rivetwright.web.pictures import legend_picture
from rivetwright.web.set_up_samples import sample_set_ups
from rivetwright.web.stock_samples import sample_stock
from rivetwright.web.tool_samples import sample_tools
from rivetwright.web.work_samples import sample_far, sample_held, sample_turns

router = APIRouter()


@router.get("/patterns")
def patterns_show(request: Request) -> Response:
    """The page of patterns; everything on it is INVENTED."""
    say = request.app.state.renderer.say
    screens = sample_screens(say)
    return show(
        request,
        "patterns.html",
        severities=list(Severity),
        states=STATES,
        statuses=list(Status),
        figures=[
            Figure("grip_mm", say("patterns.grip"), ".070 in", "1.78 mm"),
            Figure("drill_name", say("patterns.drill"), "No. 40", ""),
        ],
        words=FindingWords(
            say("patterns.title"),
            say("patterns.found"),
            say("patterns.allowed"),
            say("patterns.source"),
            say("patterns.do"),
        ),
        faults=[
            Fault(
                "panel.yaml",
                12,
                "parts.11.thickness",
                say("patterns.fault_found"),
                say("patterns.fault_allowed"),
                say("patterns.fault_do"),
            )
        ],
        legend=legend_picture(),
        order_line=sample_order(),
        order_sample=SampleMarking(),
        holder_samples=sample_holders(),
        work_turns=sample_turns(),
        work_held=sample_held(),
        work_far=sample_far(),
        **sample_tools(say),
        **sample_stock(),
        **sample_heads(),
        **sample_forecast(),
        **sample_groups(),
        **screens,
        **sample_set_ups(say, screens["evening"].runs[0].key),
    )

"""Hours: spent, left, until when, and what that rests on."""

from __future__ import annotations

from typing import Any

from anyio.to_thread import run_sync
from fastapi import APIRouter, Request, Response

from rivetwright.bench.forecast import OWN_HOURS, Outlook, outlook
from rivetwright.bench.workshop import Workshop
from rivetwright.engines.forecast.trials import TRIALS
from rivetwright.standards.forecast import forecast_figure
from rivetwright.texts.forecast_words import (
    forecast_word,
    say_basis,
    say_day,
    say_days,
    say_each,
    say_hours,
    say_hours_range,
    say_link,
    say_operation,
)
from rivetwright.web.forecast_lines import (
    HOUR,
    LAST_LINKS,
    finish_picture,
    hours_picture,
    left_out_lines,
    replay_picture,
    spare_lines,
)
from rivetwright.web.pages.air import project_notes
from rivetwright.web.pages.show import show

router = APIRouter()
DAY_NAMES = (
    *("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday"),
)


@router.get("/hours")
async def hours_show(request: Request) -> Response:
    """Hours spent and left, and the day on which it may be done."""
    workshop: Workshop = request.app.state.workshop
    # Futures take a second for a whole aircraft: others are served meanwhile.
    found = await run_sync(outlook, workshop)
    opened = workshop.now()
    return show(
        request,
        "hours.html",
        here="/hours",
        opened=opened,
        notes=project_notes(opened),
        found=found,
        say_hours=say_hours,
        say_range=say_hours_range,
        say_day=say_day,
        say_days=say_days,
        say_each=say_each,
        say_basis=say_basis,
        operation=say_operation,
        own_hours=f"{OWN_HOURS:.0f}",
        trials=f"{TRIALS:,}",
        unforeseen=f"{100 * forecast_figure('unforeseen'):.0f}",
        **_shown(found),
    )


def _shown(found: Outlook) -> dict[str, Any]:
    """Charts and lines."""
    low, likely, high = found.days
    pace = found.told.known.pace
    return {
        "low": low,
        "likely": likely,
        "high": high,
        "finish": finish_picture(found) if likely and found.told.ahead.tasks else None,
        "bars": hours_picture(found) if found.operations else None,
        "replay": replay_picture(found) if found.replay.lines else None,
        "spares": spare_lines(found),
        "left_out": left_out_lines(found),
        "links": [say_link(found, link) for link in found.course.links[-LAST_LINKS:]],
        "week_hours": say_hours(pace.week_minutes / HOUR),
        "planned_hours": say_hours(pace.weekly.week_minutes / HOUR),
        "kept": [(DAY_NAMES[k.weekday], k.worked, k.planned) for k in pace.kept],
        "slope": [f"{one:.2f}" for one in found.rates.slope],
        "sums": [
            (
                one.day.isoformat(),
                forecast_word(
                    "from_to",
                    low=say_hours(one.told_minutes.low / HOUR),
                    high=say_hours(one.told_minutes.high / HOUR),
                ),
                say_hours(one.took_minutes / HOUR),
                one.held,
            )
            for one in found.replay.sums
        ],
    }

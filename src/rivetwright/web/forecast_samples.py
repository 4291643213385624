"""Steps and charts as the page of patterns shows them; every figure is INVENTED."""

from __future__ import annotations

from typing import Any

from rivetwright.drawing.forecast_charts import (
    HoursBar,
    Mark,
    Told,
    Week,
    finish_svg,
    hours_svg,
    replay_svg,
)
from rivetwright.drawing.steps_picture import StepBox, steps_svg
from rivetwright.texts.forecast_words import forecast_word, say_operation
from rivetwright.web.pictures import sized

DAYS = ("2027-01-04", "2027-01-11", "2027-01-18", "2027-01-25", "2027-02-01")
SHARES = (0.1, 0.3, 0.3, 0.2, 0.1)
MARKS = (("low_mark", 0.9), ("middle_mark", 2.2), ("high_mark", 3.9))
TOLD = ((1.0, True), (1.7, False), (0.8, True))


def sample_forecast() -> dict[str, Any]:
    """What the patterns of steps and charts need."""
    weeks = [Week(day, share) for day, share in zip(DAYS, SHARES, strict=True)]
    marks = [
        Mark(at, forecast_word(key, day=DAYS[int(at)]), key == "middle_mark")
        for key, at in MARKS
    ]
    bars = [HoursBar(say_operation("deburr"), 2.0, 1.0)]
    told = [Told(DAYS[0], 0.7, took, 1.4, held) for took, held in TOLD]
    return {
        "step_boxes": sized(steps_svg("P", _boxes(), _depth())),
        "forecast_charts": [
            sized(finish_svg(weeks, marks)),
            sized(hours_svg(bars)),
            sized(replay_svg(told)),
        ],
    }


def _boxes() -> list[StepBox]:
    """A step in every state, one that is inspected, one that closes."""
    state = forecast_word
    return [
        StepBox("P-1", "", "done", (state("state_done"),), ()),
        StepBox(
            "P-2", "", "under way", (state("state_under_way"),), ("P-1",), is_chain=True
        ),
        StepBox("P-3", "", "not started", (state("state_not_started"),), ("P-1",)),
        StepBox(
            *("P-4", "", "not started", (state("inspection"),), ("P-2",)),
            is_inspection=True,
            is_chain=True,
        ),
        StepBox(
            *("P-5", "", "not started", (state("closes", faces="F"),), ("P-3", "P-4")),
            is_closing=True,
        ),
    ]


def _depth() -> dict[str, int]:
    return {"P-1": 0, "P-2": 1, "P-3": 1, "P-4": 2, "P-5": 3}

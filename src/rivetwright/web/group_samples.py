"""Heads over time as the page of patterns shows them; every figure is INVENTED."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

from rivetwright.drawing.head_trend import (
    Band,
    Change,
    Trend,
    TrendHead,
    head_trend_svg,
)
from rivetwright.engines.learning.drift import Alarm
from rivetwright.standards.source import Status
from rivetwright.standards.spread import Spread
from rivetwright.texts.head_line import HeadLineWords
from rivetwright.texts.learning_words import say_alarm, say_of_hundred
from rivetwright.texts.say import Said
from rivetwright.web.head_groups import ShownGroup
from rivetwright.web.pictures import sized

INVENTED = str(Status.INVENTED)
HEIGHT, WIDTH = Band(1.27, 1.52, 1.78), Band(4.14)
HEIGHTS_MM = (1.55, 1.50, 1.58, 1.52, 1.72, 1.80, 1.76)
ALARM = Alarm(6, 4, 0.2)


def sample_groups() -> dict[str, Any]:
    """What the patterns of heads over time need: a group, and lines of a card."""
    return {
        "sample_group": ShownGroup(
            title=INVENTED,
            count="",
            warnings=say_alarm(ALARM, "P1:5"),
            capability=(say_of_hundred(Spread(2.0, 12.0, 30.0), "too_high"),),
            taught=(),
            picture=sized(_picture()),
        ),
        "sample_lines": [_line("stop", "1.80 mm"), _line("fine", "1.55 mm")],
        "sample_assembly": SimpleNamespace(key="sample"),
    }


def _picture() -> str:
    """Seven heads: a change before the third, an alarm at the last."""
    heads = tuple(
        TrendHead(f"P1:{k}", "2026-10-17", height_mm, 8.2 / height_mm)
        for k, height_mm in enumerate(HEIGHTS_MM, start=1)
    )
    changes = (Change(2, INVENTED), Change(6, INVENTED, is_alarm=True))
    return head_trend_svg(Trend(INVENTED, INVENTED, heads, HEIGHT, WIDTH, changes))


def _line(tone: str, height: str) -> HeadLineWords:
    """One look of a card."""
    return HeadLineWords(
        name="P1:6",
        day="2026-10-17",
        rivet="MS20470AD4-4.5",
        tool=INVENTED,
        width=Said("5.30 mm"),
        height=Said(height),
        seen="",
        verdict=INVENTED,
        tone=tone,
        decided="",
        became="",
        note="",
    )

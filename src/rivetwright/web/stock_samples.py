"""Stock and revisions for the page of patterns: all of it is INVENTED."""

from __future__ import annotations

from datetime import date
from typing import Any

from rivetwright.engines.revise.compare import Aspect, Difference, Kind
from rivetwright.engines.stock.times import When
from rivetwright.texts.revision_words import say_difference, say_kind
from rivetwright.texts.stock_words import say_when, stock_word
from rivetwright.web.revision_lines import ChangeLine
from rivetwright.web.stock_lines import WantedLine

DAY = date(2026, 12, 9)
DIFFERENCES = (
    Difference(Aspect.STACK, "602 + 611", "621 + 602 + 611"),
    Difference(Aspect.GRIP, 2.413, 3.429),
    Difference(Aspect.CALLOUT, "MS20470AD4-4.5", "MS20470AD4-5"),
    Difference(Aspect.OPEN, "", "621"),
)


def sample_stock() -> dict[str, Any]:
    """Holes by step with every kind of waiting, and changes of every kind."""
    when = (
        When(False, DAY, 0),
        When(False, DAY, 3),
        When(False, DAY, 1, "621"),
        When(True, DAY, 2, "wing kit"),
    )
    steps = [
        WantedLine(f"rib-{k}, Root rib", "root-rib", f"B{k}:1-4", 4, say_when(one), "")
        for k, one in enumerate(when, start=1)
    ]
    doubt = stock_word("if_so", code="LENGTH-01")
    steps.append(
        WantedLine("rib-5, Root rib", "root-rib", "B5:1-7", 7, say_when(when[0]), doubt)
    )
    told = tuple(say_difference(one, "in") for one in DIFFERENCES)
    lines = [
        ChangeLine("#p-revision_line", say_kind(Kind.CHANGED), "B9:1-4", 4, "", told),
        ChangeLine("#p-revision_line", say_kind(Kind.ADDED), "B19:1-5", 5, "", ()),
        ChangeLine("", say_kind(Kind.GONE), "B20:1", 1, "", ()),
    ]
    return {"stock_steps": steps, "revision_lines": lines}
